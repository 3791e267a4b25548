"""What each rule on wiring costs the chosen kit: told as a fact, never offered for loosening."""

from keelwatt.choose.block import Block
from keelwatt.choose.question import Pick, Question
from keelwatt.choose.search import SIZES, Search
from keelwatt.choose.sums import Measure
from keelwatt.explain.prices import Price, maybe
from keelwatt.kits import Found, Pairs, table_of
from keelwatt.kits.wiring import WIRING_RULES

Part = tuple[Found, Pairs]
"""Some couples and what they may weigh."""


def rule_prices(search: Search, by: Measure, best: Pick) -> tuple[Price, ...]:
    """Each wiring rule with the best kit there would be without it alone."""
    question = Question(by, below=best.value(by))
    few = search.worth_keeping(question, any_wiring=True)
    starts = range(0, few.floor.size, SIZES[0])
    parts = [few[at : at + SIZES[0]] for at in starts]
    known: list[Part] = []

    def part(number: int) -> Part:
        if number == len(known):
            known.append((parts[number], search.pairs(parts[number])))
        return known[number]

    def lifted(rule: str) -> Pick | None:
        found: Pick | None = None
        for number in range(len(parts)):
            couples, pairs = part(number)
            if found and couples.floor[0] > found.value(by):
                break
            block = Block.of(table_of(search.types, pairs, rule), search.names)
            new = search.first([block], question)
            if new and (found is None or new.key(question) < found.key(question)):
                found = new
        return found

    return tuple(Price(search, by, best, rule, maybe(lifted(rule))) for rule in WIRING_RULES)
