"""Floors, blocks and what is remembered of them never change an answer."""

from math import radians

import numpy as np
import pytest

from explain.answers import FILE, example, shipped
from keelwatt.boat.load_case import LoadCase
from keelwatt.choose.best import choose
from keelwatt.choose.question import Question, bounds_of
from keelwatt.choose.search import Search
from keelwatt.choose.sums import Measure
from keelwatt.files.outing import outing_from_text
from keelwatt.limits import LIMITS
from oracle.cheap_water import CheapLoadCase
from oracle.ledger import Ledger
from oracle.one_of_each import CATALOG, OUTING, with_craft, with_limits
from oracle.random_cases import random_case

MEASURES: tuple[Measure, ...] = ("cost", "mass", "season")


@pytest.mark.few(20)
@pytest.mark.parametrize("seed", range(120))
def test_the_best_kit_is_that_of_the_ledger_however_small_the_blocks(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    case = random_case(seed)
    ledgers = {by: Ledger.of(case.search, by) for by in MEASURES}
    monkeypatch.setattr("keelwatt.choose.search.FIRST_COUPLES", 2)
    monkeypatch.setattr("keelwatt.choose.search.SIZES", (1, 2))
    for by, ledger in ledgers.items():
        choice = choose(Search(case.load_case, case.catalog), by)
        assert choice.kit == ledger.kit(ledger.best)
        assert choice.status == ("impossible" if ledger.best is None else "best")


@pytest.mark.few(6)
@pytest.mark.parametrize("seed", range(40))
def test_questions_answered_one_after_the_other_are_answered_as_if_alone(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """With room for one block only, and with room for all."""
    case = random_case(seed)
    questions = [
        Question(by, lifted=frozenset(names))
        for by in MEASURES
        for names in ((), ("hours",), ("trim", "heel"), ("leg_speed", "hours"), ("budget",))
    ]
    alone = [_key(Search(case.load_case, case.catalog), question) for question in questions]
    for room in (1, 1 << 30):
        monkeypatch.setattr("keelwatt.choose.search.MOST_BYTES", room)
        search = Search(case.load_case, case.catalog)
        assert [_key(search, question) for question in questions] == alone
        assert len(search.blocks) <= 1 or room > 1


@pytest.mark.parametrize("within_h", [4.0, 9.0, 14.0])
def test_of_chargers_in_time_the_cheapest_does_unless_the_time_is_asked_after(
    within_h: float,
) -> None:
    """Kits that are not kept for later questions hold one charger alone."""
    outing = outing_from_text(example("reservoir-sampling"), FILE)
    limits = outing.limits.model_copy(update={"recharge_within_h": within_h})
    load_case = LoadCase(outing.model_copy(update={"limits": limits}))
    assert max(map(len, Search(load_case, shipped()).types.chargers_of)) > 3
    chargers = set()
    for names in ((), ("budget",), ("hours", "trim"), ("recharge",)):
        question = Question("cost", lifted=frozenset(names))
        kept, alone = (
            Search(load_case, shipped()).best(question, keep=keep) for keep in (1 << 30, 0)
        )
        assert kept and alone
        assert alone.key(question) == kept.key(question)
        chargers.add(alone.block.kit(alone.row).charger)
    assert len(chargers) > 1


def test_a_lifted_heel_is_not_answered_by_what_was_remembered_of_the_strict_one() -> None:
    """Only the motor turned across leans too far: 0.48 deg of a limit of 0.4."""
    outing = with_limits(turn_heel_rad=radians(0.4))
    search = Search(CheapLoadCase(outing), CATALOG)
    assert search.best(Question("cost")) is None
    assert search.best(Question("cost", lifted=frozenset({"turn_heel"}))) is not None


def test_a_lifted_load_of_a_compartment_shuts_nothing_out() -> None:
    """A battery of 20 kg where 15 kg may stand."""
    compartment = OUTING.craft.compartments[0].model_copy(update={"max_load_kg": 15.0})
    case = CheapLoadCase(with_craft(compartments=(compartment,)))
    lifted = Question("cost", lifted=frozenset({"compartment_load"}))
    assert Search(case, CATALOG).best(Question("cost")) is None
    assert Search(case, CATALOG).best(lifted) is not None


def test_a_margin_is_asked_of_couples_to_the_gram() -> None:
    """A plate of 200 kg, a paddler of 80 and the one kit's 25.6 kg leave 94.4 kg."""
    for margin_kg, left in ((94.4, True), (94.41, False)):
        asked = Question("cost", needed={"payload_margin": margin_kg})
        assert (Search(CheapLoadCase(OUTING), CATALOG).best(asked) is not None) is left


def test_wishes_are_named_before_rules_as_they_are_shown() -> None:
    kinds = [LIMITS[name].kind for name in random_case(7002).search.names]
    assert kinds == sorted(kinds, reverse=True)
    assert {*kinds} == {"wish", "rule"}


def _key(search: Search, question: Question) -> tuple[int, ...] | None:
    pick = search.best(question)
    return pick.key(question) if pick else None


@pytest.mark.few(12)
@pytest.mark.parametrize("seed", range(60))
def test_no_kit_comes_below_its_couple_s_floor_or_is_left_out_by_a_bound(seed: int) -> None:
    case, search = random_case(seed), random_case(seed).search
    for by in MEASURES:
        ledger = Ledger.of(search, by)
        block = ledger.block
        for lifted in (frozenset(), frozenset({"hours"}), frozenset({"leg_speed", "top_speed"})):
            question = Question(by, lifted=lifted)
            kits = np.flatnonzero((block.broken & ~block.bit(lifted) == 0) & (block.beyond == 0))
            couples = search.contenders.couples(question)
            found = couples.up_to(couples.highest)
            floors = dict(
                zip(
                    zip(found.bank.tolist(), found.drive.tolist(), strict=True),
                    found.floor.tolist(),
                    strict=True,
                )
            )
            for kit in kits.tolist():
                couple = int(block.bank_type[kit]), int(block.drive_type[kit])
                assert floors[couple] <= block.measures[by][kit], (case.seed, by, lifted)


def test_bounds_that_are_lifted_ask_for_nothing() -> None:
    load_case = random_case(0).load_case
    names = frozenset({"hours", "leg_speed", "top_speed", "lift", "recharge", "payload", "budget"})
    everything = names | {"season", "kit_mass"}
    bounds = bounds_of(Question("cost", lifted=everything), load_case, charger_required=False)
    assert (bounds.hours, bounds.legs, bounds.top_m_s, bounds.lift_g) == (0.0, 0.0, None, None)
    assert not bounds.charger
    assert dict(bounds.most).keys() == {"cost"}
