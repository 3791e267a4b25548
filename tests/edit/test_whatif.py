"""Before and after: what is said of the change is what two separate answers say."""

import pytest

from explain.answers import FILE, asked, example, shipped
from keelwatt.edit.edit import edited
from keelwatt.edit.whatif import Difference, whatif
from keelwatt.errors import InputError
from keelwatt.explain.advise import Advice, advise
from keelwatt.files.outing import outing_from_text


def same(one: Advice, other: Advice) -> bool:
    """Equal in all but the tables, which hold arrays."""
    return (one.status, one.outing, one.by, one.proof, one.prices, one.conflicts, one.ways_out) == (
        other.status,
        other.outing,
        other.by,
        other.proof,
        other.prices,
        other.conflicts,
        other.ways_out,
    )


CASES = [
    ("reservoir-sampling", "hours=+2h"),
    ("reservoir-sampling", "by=mass", "speed=-10%"),
    ("bird-count-canoe-owned", "hours=-4h", "parts.own=-agm-12v-100ah"),
    ("reservoir-sampling", "budget=100"),
    ("reservoir-winter-impossible", "hours=-70%", "top_speed=none"),
    ("reservoir-winter-impossible", "lift=15 lb"),
]


@pytest.mark.few(2)
@pytest.mark.parametrize("case", CASES, ids=" ".join)
def test_the_side_after_is_what_pick_says_of_the_edited_file(case: tuple[str, ...]) -> None:
    name, *settings = case
    result = asked(*case)
    assert result.before.outing == outing_from_text(example(name), FILE)
    made = edited(example(name), FILE, settings)
    assert result.text == made.text
    assert result.edits == made.edits
    assert same(result.after, advise(outing_from_text(made.text, FILE), shipped()))


def test_the_side_before_is_what_pick_says_of_the_file() -> None:
    for name in ("reservoir-sampling", "reservoir-winter-impossible"):
        before = next(asked(*case).before for case in CASES if case[0] == name)
        assert same(before, advise(outing_from_text(example(name), FILE), shipped()))


def test_more_hours_need_a_thriftier_motor() -> None:
    result = asked("reservoir-sampling", "hours=+2h")
    assert result.before.proof
    assert result.after.proof
    was, now = result.before.proof.assessment, result.after.proof.assessment
    how = {swap.kind: swap.how for swap in result.swaps}
    assert how["motor"] == "replaced"
    assert how["battery"] == "kept"
    for swap in result.swaps:
        assert (swap.how == "kept") <= (swap.before == swap.after)
    assert result.difference
    assert result.difference.cost_cents == now.totals.price_cents - was.totals.price_cents > 0
    assert result.difference.mass_g == now.totals.mass_g - was.totals.mass_g < 0
    assert result.difference.season_cents == now.totals.season_cents - was.totals.season_cents
    hours = next(both for both in result.limits if both.name == "hours")
    assert hours.before in was.limits
    assert hours.after in now.limits


def test_every_limit_of_either_side_is_there_once() -> None:
    result = asked("reservoir-winter-impossible", "hours=-70%", "top_speed=none")
    assert result.after.proof
    names = [both.name for both in result.limits]
    assert names == [limit.name for limit in result.after.proof.assessment.limits]
    assert all(both.before is None for both in result.limits)
    assert "top_speed" not in names


def test_nothing_changes() -> None:
    result = asked("reservoir-sampling", "budget=+1")
    assert {swap.how for swap in result.swaps} == {"kept"}
    assert result.difference
    assert result.difference == Difference(0, 0, 0.0)
    assert [edit.key for edit in result.edits] == ["limits.budget"]


def test_moving_a_part_is_an_alteration() -> None:
    result = asked("reservoir-sampling", "hours=-50%")
    motor = next(swap for swap in result.swaps if swap.kind == "motor")
    assert motor.before == motor.after == "motor-12v-160n-stepped"
    assert motor.how == "altered"


@pytest.mark.parametrize("case", [CASES[3], CASES[5]], ids=" ".join)
def test_an_impossible_side_tells_conflicts_and_ways_out(case: tuple[str, ...]) -> None:
    result = asked(*case)
    assert result.after.status == "impossible"
    assert result.after.conflicts
    assert result.after.ways_out
    assert result.difference is None
    assert result.swaps == ()


def test_by_holds_for_both_sides() -> None:
    result = whatif(
        example("reservoir-sampling"), FILE, shipped(), ["budget=+10%"], by="mass", solver="cbc"
    )
    assert (result.before.by, result.after.by) == ("mass", "mass")
    assert (result.before.solver, result.after.solver) == ("cbc", "cbc")


def test_unknown_parts_are_problems_of_the_setting() -> None:
    with pytest.raises(InputError) as caught:
        asked("reservoir-sampling", "parts.refuse=plug-30b")
    (problem,) = caught.value.problems
    assert (problem.file, problem.key, problem.value) == ("--set", "parts.refuse", "plug-30b")
    assert problem.remedy == "did you mean plug-30a?"


def test_unknown_parts_of_the_file_are_problems_of_the_file() -> None:
    text = example("reservoir-sampling") + '\n[parts]\nown = ["plug-30b"]\n'
    with pytest.raises(InputError) as caught:
        whatif(text, FILE, shipped(), ["parts.refuse=plug-30c"])
    (problem,) = caught.value.problems
    assert (problem.file, problem.key) == (FILE, "parts.own")
