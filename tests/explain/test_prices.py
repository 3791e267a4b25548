"""What binds, against the program solved again without one limit and against enumeration."""

from explain.every_kit import judged, seeds
from keelwatt.choose.best import best
from keelwatt.choose.space import Space
from keelwatt.choose.sums import Measure
from keelwatt.explain.ledger import Ledger, loosened
from keelwatt.explain.prices import prices
from keelwatt.limits import LIMITS
from oracle.random_cases import Case, random_case

MEASURES: tuple[Measure, ...] = ("cost", "mass", "season")


def solved_without(case: Case, name: str, by: Measure) -> int | None:
    """The best measure with one limit lifted, by the program."""
    space = Space(case.table)
    lifted = loosened(space, name) if LIMITS[name].loosest else space.lifting(name)
    measures = best(lifted, by).measures
    return None if measures is None else measures[by]


def test_lifting_a_limit_gives_what_the_program_finds_without_it() -> None:
    for seed in seeds(possible=True):
        check_against_the_program(seed)


def check_against_the_program(seed: int) -> None:
    case, by = random_case(seed), MEASURES[seed % 3]
    ledger = Ledger.of(case.table, by)
    assert ledger.best is not None
    value = ledger.value(ledger.best)
    assert ledger.kit(ledger.best) == best(Space(case.table), by).kit
    for price in prices(ledger):
        found = solved_without(case, price.name, by)
        assert found is not None
        if price.lifted is None:
            assert found == value
        else:
            assert found == ledger_units(price.lifted.value(by), by) < value


def ledger_units(value: float, by: Measure) -> int:
    return round(value * (100 if by == "season" else 1))


def test_what_binds_is_what_enumeration_finds() -> None:
    for seed in seeds(possible=True):
        check_against_enumeration(seed)


def check_against_enumeration(seed: int) -> None:
    case, by = random_case(seed), MEASURES[seed % 3]
    ledger = Ledger.of(case.table, by)
    assert ledger.best is not None
    cheaper = [
        (answer, next(iter(broken)))
        for answer, broken in judged(seed, ledger.names)
        if len(broken) == 1 and answer.measures[by] < ledger.value(ledger.best)
    ]
    within = {
        name
        for answer, name in cheaper
        if not LIMITS[name].loosest or holds_at_the_loosest(case, name, answer.kit)
    }
    assert {price.name for price in prices(ledger) if price.binding} == within


def holds_at_the_loosest(case: Case, name: str, kit: object) -> bool:
    space = loosened(Space(case.table), name)
    outing = space.table.facts.outing
    assessor = type(case.assessor)(outing, case.catalog)
    return assessor.assess(kit).holds  # type: ignore[arg-type]


def test_there_is_something_to_compare() -> None:
    bound = 0
    for seed in seeds(possible=True):
        ledger = Ledger.of(random_case(seed).table, "cost")
        bound += any(price.binding for price in prices(ledger))
    assert len(seeds(possible=True)) >= 12
    assert bound >= 6
