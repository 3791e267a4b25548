"""What binds, against the ledger of every kit and against enumeration."""

import pytest

from explain.every_kit import is_such, judged, seeds
from keelwatt.choose.block import loosest
from keelwatt.choose.question import Pick, Question
from keelwatt.choose.search import Search
from keelwatt.choose.sums import Measure
from keelwatt.explain.prices import Price, prices
from keelwatt.files.kit import Kit
from keelwatt.limits import LIMITS
from oracle.ledger import Ledger
from oracle.random_cases import Case, random_case

MEASURES: tuple[Measure, ...] = ("cost", "mass", "season")


def priced(case: Case, by: Measure) -> tuple[Pick, tuple[Price, ...]] | None:
    search = Search(case.load_case, case.catalog)
    pick = search.best(Question(by))
    return (pick, prices(search, by, pick)) if pick else None


def check_against_the_ledger(seed: int) -> int:
    """Every price of a case with a kit; how many there were."""
    case, by = random_case(seed), MEASURES[seed % 3]
    found, ledger = priced(case, by), Ledger.of(random_case(seed).search, by)
    if found is None:
        assert ledger.best is None
        return 0
    pick, told = found
    assert pick.block.kit(pick.row) == ledger.kit(ledger.best)
    assert tuple(price.name for price in told) == ledger.names
    for price in told:
        assert (price.lifted and price.lifted.kit) == ledger.lifted(price.name), price
        if price.wish and price.name != "leg_speed":
            check_steps(price, ledger)
    return len(told)


def check_steps(price: Price, ledger: Ledger) -> None:
    step = ledger.next_step(price.name)
    assert (price.next_step and price.next_step.kit) == (step and step[1]), price
    if price.next_step and step:
        assert price.next_step.amount == pytest.approx(step[0], rel=1e-9)
    assert (price.headroom and price.headroom.kit) == ledger.headroom(price.name), price


@pytest.mark.few(12)
@pytest.mark.parametrize("seed", range(7000, 7030))
def test_prices_are_those_of_the_ledger(seed: int) -> None:
    check_against_the_ledger(seed)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(7030, 8200))
def test_prices_are_those_of_the_ledger_at_length(seed: int) -> None:
    check_against_the_ledger(seed)


@pytest.mark.parametrize("seed", [7554, 7637, 7909])
def test_cases_that_once_failed_are_those_of_the_ledger(seed: int) -> None:
    """7637: no next step of trim was found, from 0.30 to 0.685 deg; 7554, 7909: none just at it."""
    check_against_the_ledger(seed)


@pytest.mark.slow
def test_what_binds_is_what_enumeration_finds() -> None:
    for seed in seeds(possible=True):
        check_against_enumeration(seed)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(7016, 7100))
def test_what_binds_is_what_enumeration_finds_at_length(seed: int) -> None:
    if is_such(seed, possible=True):
        check_against_enumeration(seed)


def check_against_enumeration(seed: int) -> None:
    case, by = random_case(seed), MEASURES[seed % 3]
    found = priced(case, by)
    assert found is not None
    pick, told = found
    cheaper = [
        (answer, next(iter(broken)))
        for answer, broken in judged(seed, case.search.names)
        if len(broken) == 1 and answer.measures[by] < pick.value(by)
    ]
    within = {
        name
        for answer, name in cheaper
        if not LIMITS[name].loosest or holds_at_the_loosest(case, name, answer.kit)
    }
    assert {price.name for price in told if price.binding} == within


def holds_at_the_loosest(case: Case, name: str, kit: Kit) -> bool:
    field = LIMITS[name].field
    angle = getattr(loosest(case.outing).limits, field)
    limits = case.outing.limits.model_copy(update={field: angle})
    outing = case.outing.model_copy(update={"limits": limits})
    return type(case.assessor)(outing, case.catalog).assess(kit).holds


@pytest.mark.slow
def test_there_is_something_to_compare() -> None:
    told = [priced(random_case(seed), "cost") for seed in seeds(possible=True)]
    assert len(told) >= 8
    assert sum(any(price.binding for price in found[1]) for found in told if found) >= 4
