"""Why a part is in the best kit or not, against enumeration with the part required or refused."""

from dataclasses import replace
from functools import cache
from random import Random
from typing import Any

import pytest

from keelwatt.errors import InputError
from keelwatt.explain.attempt import WEIGHED
from keelwatt.explain.why import Why, why
from keelwatt.files.catalog.reader import Catalog
from keelwatt.files.outing import Outing
from keelwatt.proof import WISHES
from oracle.cheap_water import CheapAssessor, CheapLoadCase
from oracle.enumeration import THEN, Answer, Measure, best_by_enumeration, priced_kits
from oracle.random_cases import Case, random_case

MEASURES: tuple[Measure, ...] = ("cost", "mass", "season")
PARTS_A_CASE = 3
SEEDS = (9200, 9201, 9202, 9204, 9206, 9207)

MAY_BREAK = {*WISHES, *WEIGHED, "stability"} - {"parts"}
"""Limits weighed on whole kits; all others shut a part out before."""


@pytest.fixture(autouse=True)
def _cheap_water(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("keelwatt.explain.advise.LoadCase", CheapLoadCase)
    monkeypatch.setattr("keelwatt.explain.advise.Assessor", CheapAssessor)


def ids(answer: Answer) -> set[str | None]:
    kit = answer.kit
    return {
        kit.battery, kit.motor, kit.controller, kit.cable, kit.fuse, kit.connector, kit.charger,
        kit.box,
    }  # fmt: skip


def best_of(outing: Outing, catalog: Catalog, by: Measure) -> Answer | None:
    assessor = CheapAssessor(outing, catalog)
    return best_by_enumeration(
        lambda kit: assessor.assess(kit).holds, priced_kits(outing, catalog), by
    )


def with_parts(outing: Outing, **changes: Any) -> Outing:
    return outing.model_copy(update={"parts": outing.parts.model_copy(update=changes)})


def requiring(case: Case, part: str, kind: str) -> Outing:
    parts = case.outing.parts
    rivals = {p.id for p in case.catalog.kinds()[kind]}
    return with_parts(
        case.outing,
        require=(*(id_ for id_ in parts.require if id_ not in rivals), part),
        refuse=tuple(id_ for id_ in parts.refuse if id_ != part),
    )


def refusing(case: Case, part: str) -> Outing:
    parts = case.outing.parts
    return with_parts(
        case.outing,
        require=tuple(id_ for id_ in parts.require if id_ != part),
        refuse=(*parts.refuse, part),
    )


def priced(catalog: Catalog, kind: str, part_id: str, cents: int) -> Catalog:
    """The catalog with another price for one part."""
    name = "price_cents_m" if kind == "cables" else "price_cents"
    shelf = tuple(
        part.model_copy(update={name: cents}) if part.id == part_id else part
        for part in catalog.kinds()[kind]
    )
    changes: Any = {kind: shelf}
    return replace(catalog, **changes)


def asked(seed: int) -> list[tuple[str, str]]:
    """Some parts of a case, with their kinds."""
    case = random_case(seed)
    may_hold = case.outing.policy.battery_box != "never"
    every = [
        (part.id, kind)
        for kind, parts in case.catalog.kinds().items()
        for part in parts
        if kind != "boxes" or (part.id.startswith("case") and may_hold)
    ]
    return Random(seed).sample(every, PARTS_A_CASE)


def check(seed: int) -> None:
    case, by = random_case(seed), MEASURES[seed % 3]
    best = best_of(case.outing, case.catalog, by)
    for part, _ in asked(seed):
        result = why(case.outing, case.catalog, part, by=by)
        assert (result.best and result.best.kit) == (best and best.kit)
        assert result.part == part
        assert part in {each.id for each in case.catalog.kinds()[result.kind]}
        if best and part in ids(best):
            assert result.verdict == "in the kit"
            check_rival(result, best_of(refusing(case, part), case.catalog, by))
        else:
            check_absent(case, by, result, best)


def check_rival(result: Why, answer: Answer | None) -> None:
    assert (result.rival and result.rival.kit) == (answer and answer.kit)
    if result.rival and answer:
        assert result.rival.cost_cents == answer.measures["cost"]
        assert result.rival.mass_g == answer.measures["mass"]


def check_absent(case: Case, by: Measure, result: Why, best: Answer | None) -> None:
    outing = requiring(case, result.part, result.kind)
    assessor = CheapAssessor(outing, case.catalog)
    kits = priced_kits(outing, case.catalog)
    broken = [{limit.name for limit in assessor.assess(answer.kit).broken} for answer in kits]
    check_rival(result, best_of(outing, case.catalog, by))
    if not any(names <= MAY_BREAK for names in broken):
        assert result.verdict == "shut out"
        assert result.rules or result.attempt is None or result.attempt.broken
        return
    held = any(not names for names in broken)
    assert result.verdict == ("beaten" if held else "breaks limits")
    if not held:
        for conflict in result.conflicts:
            assert all({*conflict} & names for names in broken if names <= MAY_BREAK), conflict
    if not result.set_aside:
        check_price(case, by, result, best)


def check_price(case: Case, by: Measure, result: Why, best: Answer | None) -> None:
    """At the price told the best kit holds the part; a cent above it does not."""

    def wins(cents: int) -> bool:
        """Whether it is in the best kit, and catalog order did not decide: the part's price may be
        in the branches of any kit."""
        catalog = priced(case.catalog, result.kind, result.part, cents)
        answer = best_of(case.outing, catalog, by)
        if answer is None or result.part not in ids(answer):
            return False
        old = best and next(k for k in priced_kits(case.outing, catalog) if k.kit == best.kit)
        return not old or any(answer.measures[m] != old.measures[m] for m in (by, THEN[by]))

    if result.wins_at_cents is None:
        assert not wins(0)
        return
    assert wins(result.wins_at_cents)
    assert result.wins_at_cents >= result.price_cents or not wins(result.wins_at_cents + 1)


@pytest.mark.few(2)
@pytest.mark.parametrize("seed", SEEDS)
def test_the_answer_is_that_of_enumeration(seed: int) -> None:
    check(seed)


@pytest.mark.slow
@pytest.mark.parametrize("seed", sorted({*range(9200, 9700)} - {*SEEDS}))
def test_the_answer_is_that_of_enumeration_at_length(seed: int) -> None:
    check(seed)


@cache
def verdicts() -> list[str]:
    return [
        why(random_case(seed).outing, random_case(seed).catalog, part).verdict
        for seed in SEEDS
        for part, _ in asked(seed)
    ]


def test_every_verdict_comes_up() -> None:
    assert {*verdicts()} == {"in the kit", "shut out", "beaten", "breaks limits"}


def test_an_unknown_part_is_a_problem_with_a_hint() -> None:
    case = random_case(9200)
    with pytest.raises(InputError) as raised:
        why(case.outing, case.catalog, "battery-00")
    (problem,) = raised.value.problems
    assert problem.value == "battery-00"
    assert "did you mean battery-0?" in problem.remedy
