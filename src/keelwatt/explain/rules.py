"""What each rule on wiring costs the chosen kit: told as a fact, never offered for loosening."""

from keelwatt.choose.answers import first
from keelwatt.choose.question import Pick, Question
from keelwatt.choose.search import SIZES, Search
from keelwatt.choose.sums import Measure
from keelwatt.explain.prices import Price, maybe
from keelwatt.kits.wiring import WIRING_RULES


def rule_prices(search: Search, by: Measure, best: Pick) -> tuple[Price, ...]:
    """Each wiring rule with the best kit there would be without it alone."""
    question = Question(by, below=best.value(by))
    every = search.contenders.any_wiring(question)

    def lifted(rule: str) -> Pick | None:
        few, found = search.contenders.without(rule, every, question), None
        for at in range(0, few.floor.size, SIZES[0]):
            couples = few[at : at + SIZES[0]]
            if found and couples.floor[0] > found.value(by):
                break
            block = search.block(couples, question, rule)
            new = first(search.contenders, [block], question)
            if new and (found is None or new.key(question) < found.key(question)):
                found = new
        return found

    return tuple(Price(search, by, best, rule, maybe(lifted(rule))) for rule in WIRING_RULES)
