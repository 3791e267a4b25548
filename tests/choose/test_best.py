"""How the best kit is told apart from its equals, and what happens when a solve goes wrong."""

from dataclasses import replace

import numpy as np
import pytest

from keelwatt.boat.facts import Facts
from keelwatt.choose import best as best_module
from keelwatt.choose.best import Choice, best
from keelwatt.choose.solver import Outcome, minimise
from keelwatt.choose.space import Space
from keelwatt.choose.sums import Measure
from keelwatt.errors import InternalError
from keelwatt.files.catalog.parts import Battery
from keelwatt.files.catalog.reader import Catalog
from keelwatt.files.outing import Outing, Parts
from keelwatt.kits import candidates
from oracle.cheap_water import CheapFacts
from oracle.one_of_each import (
    BATTERY,
    CATALOG,
    CHARGER,
    FUSE,
    KIT,
    MOTOR,
    OUTING,
    with_limits,
)


def chosen(by: Measure = "cost", outing: Outing = OUTING, catalog: Catalog = CATALOG) -> Choice:
    return best(Space(candidates(CheapFacts(outing), catalog)), by)


def battery(id_: str, **update: float) -> Battery:
    return BATTERY.model_copy(update={"id": id_, **update})


def test_the_kit_reckoned_by_hand() -> None:
    """The stepped motor does without the controller's 50.00 and 0.5 kg."""
    choice = chosen()
    assert (choice.status, choice.kit) == ("best", KIT)
    assert choice.measures == {"cost": 33500, "mass": 25600, "season": 535000}


def test_equal_cost_is_settled_by_mass_and_equal_mass_by_cost() -> None:
    heavy, light = battery("heavy", mass_kg=21.0), battery("light", mass_kg=19.0)
    catalog = replace(CATALOG, batteries=(heavy, light))
    assert chosen("cost", catalog=catalog).kit == replace(KIT, battery="light")
    dear, cheap = battery("dear", price_cents=30000), battery("cheap")
    catalog = replace(CATALOG, batteries=(dear, cheap))
    assert chosen("mass", catalog=catalog).kit == replace(KIT, battery="cheap")


def test_of_full_equals_the_first_in_the_catalog_is_chosen() -> None:
    for ids in (("one", "two"), ("two", "one")):
        catalog = replace(
            CATALOG,
            batteries=tuple(battery(id_) for id_ in ids),
            motors=tuple(MOTOR.model_copy(update={"id": f"motor-{id_}"}) for id_ in ids),
            fuses=tuple(FUSE.model_copy(update={"id": f"fuse-{id_}"}) for id_ in ids),
        )
        for by in ("cost", "mass", "season"):
            kit = chosen(by, catalog=catalog).kit
            assert kit == replace(
                KIT, battery=ids[0], motor=f"motor-{ids[0]}", fuse=f"fuse-{ids[0]}"
            )


def test_the_third_measure_is_that_of_the_chosen_kit() -> None:
    """Equal in cost and mass, the first lasts half as long: 200.00 over 2.5 seasons, not 5."""
    brief, lasting = battery("brief", cycles=50), battery("lasting")
    for pair in ((brief, lasting), (lasting, brief)):
        choice = chosen(catalog=replace(CATALOG, batteries=pair))
        assert choice.kit is not None
        assert choice.measures is not None
        assert choice.kit.battery == pair[0].id
        assert choice.measures["season"] == (935000 if pair[0] is brief else 535000)


def test_a_season_counts_the_years_a_bank_lasts() -> None:
    """300.00 over five seasons costs less a season than 200.00 over 2.5."""
    catalog = replace(
        CATALOG, batteries=(battery("brief", cycles=50), battery("lasting", price_cents=30000))
    )
    assert chosen("cost", catalog=catalog).kit == replace(KIT, battery="brief")
    assert chosen("season", catalog=catalog).kit == replace(KIT, battery="lasting")


def test_the_cheapest_charger_that_is_fast_enough_comes_with_the_kit() -> None:
    """8 A refill in 6 h; of the two at 50.00 the first, the 5 A one being too slow."""
    chargers = tuple(
        CHARGER.model_copy(update={"id": id_, "current_a": amperes, "price_cents": cents})
        for id_, amperes, cents in (
            ("slow", 5.0, 3000),
            ("dear", 8.0, 7000),
            ("first", 8.0, 5000),
            ("second", 9.0, 5000),
        )
    )
    catalog = replace(CATALOG, chargers=chargers)
    choice = chosen(outing=with_limits(recharge_within_h=6.0), catalog=catalog)
    assert choice.kit == replace(KIT, charger="first")
    assert choice.measures is not None
    assert choice.measures["cost"] == 33500 + 5000
    assert choice.measures["mass"] == 25600
    assert chosen(catalog=catalog).kit == KIT
    required = OUTING.model_copy(update={"parts": Parts(require=("dear",))})
    assert chosen(outing=required, catalog=catalog).kit == replace(KIT, charger="dear")


@pytest.mark.parametrize("empty", ["batteries", "motors", "cables", "fuses", "connectors"])
def test_a_shelf_without_parts_makes_it_impossible(empty: str) -> None:
    nothing: dict[str, tuple[()]] = {empty: ()}
    choice = chosen(catalog=replace(CATALOG, **nothing))  # type: ignore[arg-type]
    assert (choice.status, choice.kit, choice.measures) == ("impossible", None, None)


def space() -> Space:
    return Space(candidates(Facts(OUTING), CATALOG))


def answering(monkeypatch: pytest.MonkeyPatch, *answers: Outcome | None) -> None:
    """Lets the solves answer in turn; None stands for the true answer."""
    waiting = list(answers)

    def solve(program: object, measure: Measure, **options: object) -> Outcome:
        answer = waiting.pop(0)
        return answer or minimise(program, measure, **options)  # type: ignore[arg-type]

    monkeypatch.setattr(best_module, "minimise", solve)


def test_nothing_found_in_time(monkeypatch: pytest.MonkeyPatch) -> None:
    answering(monkeypatch, Outcome("unproved", None))
    choice = best(space(), "cost")
    assert (choice.status, choice.kit) == ("unproved", None)


def test_a_kit_found_in_time_but_not_proved(monkeypatch: pytest.MonkeyPatch) -> None:
    """The program holds one bank, one drive and one wiring set: all are chosen."""
    answering(monkeypatch, Outcome("unproved", np.ones(3, dtype=bool)))
    choice = best(space(), "cost")
    assert (choice.status, choice.kit) == ("unproved", KIT)
    assert choice.measures == {"cost": 33500, "mass": 25600, "season": 535000}


def test_a_best_kit_whose_equals_are_not_told_apart_in_time(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    answering(monkeypatch, None, Outcome("unproved", None))
    choice = best(space(), "cost")
    assert (choice.status, choice.kit) == ("unproved", KIT)


@pytest.mark.parametrize(
    ("answers", "complaint"),
    [
        ((Outcome("impossible", None),), "no answer, but a kit at 33500 is known"),
        ((None, Outcome("impossible", None)), "gone when sought a second time"),
    ],
)
def test_answers_that_contradict_what_is_known_are_bugs(
    answers: tuple[Outcome | None, ...], complaint: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    answering(monkeypatch, *answers)
    with pytest.raises(InternalError, match=complaint):
        best(space(), "cost")
