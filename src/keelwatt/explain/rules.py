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
    found = search.worth_keeping(question, any_wiring=True)
    starts = range(0, found.floor.size, SIZES[0])
    parts = [found[at : at + SIZES[0]] for at in starts]
    known: list[Part] = []

    def part(number: int) -> Part:
        if number == len(known):
            known.append((parts[number], search.pairs(parts[number])))
        return known[number]

    def lifted(rule: str) -> Pick | None:
        best: Pick | None = None
        for number in range(len(parts)):
            couples, pairs = part(number)
            if best and couples.floor[0] > best.value(by):
                break
            block = Block.of(table_of(search.types, pairs, rule), search.names)
            new = search.first([block], question)
            if new and (best is None or new.key(question) < best.key(question)):
                best = new
        return best

    return tuple(
        Price(rule, False, "", None, None, maybe(lifted(rule)), None, None) for rule in WIRING_RULES
    )
