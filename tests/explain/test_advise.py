"""The main job on small cases: what is chosen, what is said of it, and what is refused."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

import keelwatt.explain.advise
from keelwatt.choose.best import Choice, choose
from keelwatt.choose.search import Search
from keelwatt.choose.sums import Measure
from keelwatt.errors import InputError, InternalError
from keelwatt.explain.advise import advise
from keelwatt.files.catalog.reader import Catalog
from keelwatt.files.kit import Kit
from keelwatt.files.outing import Outing, Parts, Wish
from oracle.one_of_each import (
    BATTERY,
    CATALOG,
    KIT,
    OUTING,
    with_craft,
    with_limits,
    with_part,
)

LIGHT = BATTERY.model_copy(update={"id": "light", "mass_kg": 15.0, "price_cents": 30000})
TWO = replace(CATALOG, batteries=(BATTERY, LIGHT))


def test_the_kit_reckoned_by_hand_with_its_proof() -> None:
    advice = advise(OUTING, CATALOG)
    assert advice.status == "best"
    assert advice.proof is not None
    assert advice.proof.holds
    assert advice.proof.assessment.kit == KIT
    assert advice.proof.assessment.totals.price_cents == 33500
    assert advice.excluded == ()
    assert not (advice.conflicts or advice.ways_out or advice.empty)


def test_what_binds_and_what_it_costs() -> None:
    """22 kg leave the lighter battery only, 20.6 kg in all, 100.00 dearer."""
    advice = advise(with_limits(kit_mass_kg=22.0), TWO)
    assert advice.proof is not None
    assert advice.proof.assessment.kit == replace(KIT, battery="light")
    assert advice.binding == {"kit_mass"}
    (price,) = [price for price in advice.prices if price.name == "kit_mass"]
    assert price.lifted is not None
    assert price.lifted.kit == KIT
    assert price.lifted.cost_cents == 33500
    assert advise(with_limits(kit_mass_kg=26.0), TWO).binding == frozenset()


def test_the_measure_is_the_outings_unless_another_is_asked_for() -> None:
    by_mass = OUTING.model_copy(update={"wish": Wish(by="mass")})
    assert advise(by_mass, TWO).by == "mass"
    chosen = {
        by: advise(OUTING, TWO, by=by).proof.assessment.kit.battery  # type: ignore[union-attr]
        for by in ("cost", "mass")
    }
    assert chosen == {"cost": "battery", "mass": "light"}


def test_both_solvers_give_the_same_advice() -> None:
    outing = with_limits(kit_mass_kg=22.0, budget_cents=50000)
    highs, cbc = (advise(outing, TWO, solver=solver) for solver in ("highs", "cbc"))
    assert highs.proof is not None
    assert cbc.proof is not None
    assert highs.proof.assessment.kit == cbc.proof.assessment.kit
    assert highs.binding == cbc.binding == {"kit_mass"}


def test_a_conflict_and_both_ways_out_of_it() -> None:
    """22 kg ask for the battery of 300.00, 400.00 for the one of 20 kg.

    Out: 435.00 instead of 400.00, or 25.6 kg instead of 22 kg.
    """
    advice = advise(with_limits(kit_mass_kg=22.0, budget_cents=40000), TWO)
    assert (advice.status, advice.proof) == ("impossible", None)
    assert [set(conflict) for conflict in advice.conflicts] == [{"budget", "kit_mass"}]
    batteries = {way.limits: way.found.kit.battery for way in advice.ways_out}
    assert batteries == {("budget",): "light", ("kit_mass",): "battery"}
    to = [change.to for way in advice.ways_out for change in way.changes]
    assert to == pytest.approx([435.0, 25.6])
    assert advice.ways_out[0].limits == ("budget",)


def shallow() -> Outing:
    box = OUTING.craft.compartments[0].model_copy(update={"height_m": 0.1})
    return with_craft(compartments=(box,))


def long_shaft() -> Outing:
    mount = OUTING.craft.mounts[0].model_copy(update={"shaft_needed_m": 0.9})
    return with_craft(mounts=(mount,))


@pytest.mark.parametrize(
    ("outing", "catalog", "word", "rule"),
    [
        (long_shaft(), CATALOG, "motor", "shaft"),
        (shallow(), CATALOG, "battery", "compartment"),
        (OUTING, with_part("fuses", rating_a=20), "fuse", "protection"),
    ],
)
def test_a_shelf_the_rules_left_empty_is_named(
    outing: Outing, catalog: Catalog, word: str, rule: str
) -> None:
    advice = advise(outing, catalog)
    assert advice.status == "impossible"
    assert not (advice.conflicts or advice.ways_out)
    (sentence,) = advice.empty
    assert word in sentence
    assert {excluded.rule for excluded in advice.excluded} == {rule}


def problems(**parts: Any) -> list[tuple[str | None, str | None, str]]:
    with pytest.raises(InputError) as caught:
        advise(OUTING.model_copy(update={"parts": Parts(**parts)}), TWO)
    return [(p.key, p.value, p.remedy) for p in caught.value.problems]


def test_ids_the_catalog_does_not_hold_are_told_all_at_once() -> None:
    assert problems(own=("batery",), require=("xyz",), refuse=("motr",)) == [
        ("parts.own", "batery", "did you mean battery?"),
        ("parts.require", "xyz", "see `keelwatt catalog list`"),
        ("parts.refuse", "motr", "did you mean motor?"),
    ]


def test_two_required_parts_of_one_kind_never_make_a_kit() -> None:
    assert problems(require=("battery", "light")) == [
        ("parts.require", "battery, light", "keep one of them")
    ]


def test_required_and_refused_parts_are_heeded() -> None:
    for parts in (Parts(require=("light",)), Parts(refuse=("battery",))):
        advice = advise(OUTING.model_copy(update={"parts": parts}), TWO)
        assert advice.proof is not None
        assert advice.proof.assessment.kit == replace(KIT, battery="light")


def choosing(monkeypatch: pytest.MonkeyPatch, change: Callable[[Choice], Choice]) -> None:
    """The choice is made, and then changed."""

    def answer(search: Search, by: Measure, **options: Any) -> Choice:
        return change(choose(search, by, **options))

    monkeypatch.setattr(keelwatt.explain.advise, "choose", answer)


@pytest.mark.parametrize("wrong", ["kit", "measures", "run"])
def test_a_kit_that_does_not_hold_when_recomputed_is_never_an_answer(
    wrong: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    class Wrong(Choice):
        @property
        def kit(self) -> Kit | None:
            kit = replace(KIT, battery="light") if wrong == "kit" else KIT
            return replace(kit, run_m=20.0) if wrong == "run" else kit

        @property
        def measures(self) -> dict[Measure, int] | None:
            return {"cost": 33500, "mass": 25600, "season": 535000 + (wrong == "measures")}

    choosing(monkeypatch, lambda choice: Wrong(choice.status, choice.pick, choice.bound))
    with pytest.raises(InternalError, match="does not hold when recomputed"):
        advise(OUTING, TWO)


def test_stopped_before_proof(monkeypatch: pytest.MonkeyPatch) -> None:
    choosing(monkeypatch, lambda choice: replace(choice, status="unproved", bound=33165))
    found = advise(OUTING, TWO)
    assert found.status == "unproved"
    assert found.proof is not None
    assert found.proof.holds
    assert found.prices == ()
    assert found.bound == 331.65
    assert found.gap == pytest.approx(0.01)


def test_a_proved_kit_leaves_no_gap_and_an_impossible_outing_has_none_to_tell() -> None:
    assert (advise(OUTING, TWO).bound, advise(OUTING, TWO).gap) == (335.0, 0.0)
    assert advise(OUTING, TWO, by="mass").bound == 20.6
    impossible = advise(with_limits(kit_mass_kg=22.0, budget_cents=40000), TWO)
    assert (impossible.bound, impossible.gap) == (None, None)
