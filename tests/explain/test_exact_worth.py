"""What a part buys, against enumeration: the best kits, and one kit's exchange."""

from dataclasses import replace

import pytest

from explain.test_exact_why import MEASURES, asked, best_of, requiring, with_parts
from keelwatt.choose.sums import Measure
from keelwatt.explain.changed import PLACES
from keelwatt.explain.compare import Contender
from keelwatt.explain.worth import Worth, worth
from keelwatt.files.kit import Kit
from keelwatt.files.outing import Outing
from keelwatt.proof import WISHES
from oracle.cheap_water import CheapAssessor, CheapLoadCase
from oracle.enumeration import Answer, best_by_enumeration, priced_kits
from oracle.one_of_each import BATTERY, CATALOG, CHARGER, KIT, with_limits
from oracle.random_cases import Case, random_case

SEEDS = (9200, 9202, 9204)
WIRING = {"cable", "fuse", "connector"}


@pytest.fixture(autouse=True)
def _cheap_water(monkeypatch: pytest.MonkeyPatch) -> None:
    for room in ("advise", "compare"):
        monkeypatch.setattr(f"keelwatt.explain.{room}.LoadCase", CheapLoadCase)
        monkeypatch.setattr(f"keelwatt.explain.{room}.Assessor", CheapAssessor)
    monkeypatch.setattr("keelwatt.explain.worth.Assessor", CheapAssessor)


def kit_of(side: Contender | Answer | None) -> Kit | None:
    return side.kit if side else None


def away(case: Case, part: str, kind: str) -> set[str]:
    """Ids of what a kit without the part lacks."""
    every = {control.id for control in case.catalog.controllers}
    return every if kind == "controllers" else {part}


def refusing(case: Case, ids: set[str]) -> Outing:
    parts = case.outing.parts
    require = tuple(id_ for id_ in parts.require if id_ not in ids)
    return with_parts(case.outing, require=require, refuse=(*parts.refuse, *ids))


def exchanged(case: Case, by: Measure, base: Kit, kind: str, part: str | None) -> Kit | None:
    """The kit nearest to ``base`` with the part in it, or with none of its kind."""
    free = with_parts(case.outing, require=(), refuse=())
    timed = case.outing.limits.recharge_within_h is not None
    chargers = () if timed else (base.charger, part if kind == "charger" else None)
    # A charger nobody asked for, or a box that a strap beats, is in a kit only where required.
    required = {*chargers, part if kind == "box" else None} - {None}
    every = priced_kits(free, case.catalog)
    for id_ in required:
        every += priced_kits(with_parts(free, require=(id_,)), case.catalog)
    assessor = CheapAssessor(free, case.catalog)
    loosened = [{kind}, {kind, *WIRING}, {kind, *WIRING, "charger"}]
    if kind in {"battery", "motor"}:
        loosened.append(loosened[-1] | {"controller", "box"})
    spare = {"controller": kind == "battery", "charger": timed and kind != "charger"}

    def kept(kit: Kit) -> bool:
        """Whether neither more nor less is there, where that must not change."""
        return all(
            (getattr(kit, name) is None) == (getattr(base, name) is None)
            for name, must in spare.items()
            if must
        )

    for may_break, placed in (((), False), (WISHES, True), (WISHES, False)):
        for loose in loosened:
            some = [
                answer
                for answer in every
                if getattr(answer.kit, kind) == part
                and kept(answer.kit)
                and alike(base, answer.kit, loose, kind if placed else "")
            ]

            def holds(kit: Kit, may: tuple[str, ...] = may_break) -> bool:
                return {limit.name for limit in assessor.assess(kit).broken} <= {*may}

            if found := best_by_enumeration(holds, tuple(some), by):
                return found.kit
    return None


def alike(base: Kit, kit: Kit, loose: set[str], placed: str) -> bool:
    """Whether two kits differ in loose kinds only, and of one kind not in number and place."""
    for name, (id_, *places) in PLACES.items():
        fixed = [] if name in loose else [id_]
        if name not in loose or name == placed:
            fixed += [field for field in places if field != "run_m"]
        if any(getattr(base, field) != getattr(kit, field) for field in fixed):
            return False
    return True


def check(seed: int) -> None:
    case, by = random_case(seed), MEASURES[seed % 3]
    for part, kind in asked(seed):
        result = worth(case.outing, case.catalog, part, by=by)
        gone = away(case, part, kind)
        with_it = best_of(requiring(case, part, kind), case.catalog, by)
        without = best_of(refusing(case, gone), case.catalog, by)
        assert kit_of(result.best.with_it) == kit_of(with_it)
        assert kit_of(result.best.without) == kit_of(without)
        check_exchange(case, by, result, best_of(case.outing, case.catalog, by))


def check_exchange(case: Case, by: Measure, result: Worth, best: Answer | None) -> None:
    base = kit_of(result.best.with_it) or kit_of(result.best.without) or kit_of(best)
    if base is None:
        assert result.same.without is None
        assert result.same.with_it is None
        return
    has, bare = result.part in base.ids, getattr(base, result.kind) is None
    if not has:
        found = exchanged(case, by, base, result.kind, result.part)
        assert kit_of(result.same.with_it) == found
        assert bool(result.in_the_way) == (found is None)
    else:
        assert kit_of(result.same.with_it) == base
    if result.kind == "controller" and not bare:
        assert kit_of(result.same.without) == exchanged(case, by, base, "controller", None)
    elif not has:
        assert kit_of(result.same.without) == base


def test_another_chemistry_brings_its_own_charger_and_nothing_else() -> None:
    lithium = BATTERY.model_copy(update={"id": "lithium", "chemistry": "lfp"})
    charger = CHARGER.model_copy(update={"id": "its-own", "chemistries": ("lfp",)})
    catalog = replace(CATALOG, batteries=(BATTERY, lithium), chargers=(CHARGER, charger))
    lead = replace(KIT, charger=CHARGER.id)
    found = worth(with_limits(recharge_within_h=20.0), catalog, "lithium", lead)
    assert kit_of(found.same.with_it) == replace(KIT, battery="lithium", charger="its-own")


@pytest.mark.few(1)
@pytest.mark.parametrize("seed", SEEDS)
def test_the_kits_are_those_of_enumeration(seed: int) -> None:
    check(seed)


@pytest.mark.slow
@pytest.mark.parametrize("seed", sorted({*range(9200, 9500)} - {*SEEDS}))
def test_the_kits_are_those_of_enumeration_at_length(seed: int) -> None:
    check(seed)
