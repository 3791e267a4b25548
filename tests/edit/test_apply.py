"""Ways out written into the outing: every one works, whatever is rounded."""

from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from explain.answers import shipped
from explain.hard_cases import FILE, hard_case
from keelwatt.choose.best import choose
from keelwatt.choose.question import Question
from keelwatt.choose.search import Search
from keelwatt.choose.solver import Status
from keelwatt.edit.apply import apply_way, first_that_works, settings
from keelwatt.edit.edit import edited
from keelwatt.errors import InputError, InternalError
from keelwatt.explain.advise import Advice, advise
from keelwatt.explain.prices import Found
from keelwatt.explain.ways import Change, WayOut, ways_out
from keelwatt.files.kit import Kit
from keelwatt.files.outing import Outing, outing_from_text, read_text
from oracle.cheap_water import CheapLoadCase
from samples import small_outing_text

EXAMPLE = Path(__file__).parents[2] / "examples" / "reservoir-winter-impossible" / "outing.toml"
KIT = Kit("b", 1, 1, "stern", "m", "transom", None, "c", 1.0, "f", "p", None)


@cache
def impossible() -> Advice:
    return advise(outing_from_text(read_text(EXAMPLE), str(EXAMPLE)), shipped())


def way_out(*changes: Change) -> WayOut:
    return WayOut(changes, Found(KIT, 1, 1, 1), 0.0)


def ways_tried(seed: int) -> dict[str, int]:
    """Applies every way out of a random case; how often each wish was given up."""
    text, case = hard_case(seed)
    search = case.search
    counts: dict[str, int] = {}

    def kit_of(outing: Outing) -> Kit | None:
        return choose(Search(CheapLoadCase(outing), case.catalog), "cost").kit

    impossible = search.best(Question("cost")) is None
    for way in ways_out(search, "cost") if impossible else ():
        made, kit = first_that_works(text, FILE, way, kit_of)
        assert kit is not None
        assert made.outing == outing_from_text(made.text, FILE)
        for name in way.limits:
            counts[name] = counts.get(name, 0) + 1
    return counts


@pytest.mark.few(1)
@pytest.mark.parametrize("block", range(2))
def test_every_way_out_works_when_applied(block: int) -> None:
    counts = [ways_tried(seed) for seed in range(35 * block, 35 * block + 35)]
    assert sum(map(bool, counts)) >= 8


@pytest.mark.slow
@pytest.mark.parametrize("block", range(6))
def test_every_way_out_works_when_applied_at_length(block: int) -> None:
    seeds = range(10000 + 150 * block, 10000 + 150 * block + 150)
    given_up = [ways_tried(seed) for seed in seeds]
    names = {name for counts in given_up for name in counts}
    assert {
        "budget",
        "kit_mass",
        "lift",
        "hours",
        "leg_speed",
        "top_speed",
        "trim",
        "heel",
    } <= names


@pytest.mark.parametrize("seed", range(20, 26))
def test_every_way_out_works_on_true_water(seed: int) -> None:
    text, case = hard_case(seed)
    advice = advise(case.outing, case.catalog)
    for number, way in enumerate(advice.ways_out, start=1):
        applied = apply_way(text, advice, number)
        assert applied.way == way
        assert applied.advice.status == "best"


@pytest.mark.parametrize("number", [1, 3, 5])
def test_every_way_out_of_the_example_works(number: int) -> None:
    applied = apply_way(read_text(EXAMPLE), impossible(), number)
    assert applied.advice.status == "best"
    assert applied.advice.outing == outing_from_text(applied.edited.text, str(EXAMPLE))
    changed = {edit.key.rsplit(".", 1)[0] for edit in applied.edited.edits}
    wishes = set(applied.way.limits)
    assert ("limits" in changed) == bool(wishes - {"hours", "leg_speed"})
    assert any(key.startswith("leg.") for key in changed) == ("hours" in wishes)


def test_the_difference_shows_what_changes_and_nothing_else() -> None:
    applied = apply_way(read_text(EXAMPLE), impossible(), 2)
    lines = applied.difference.splitlines()
    assert [line for line in lines[2:] if line.startswith(("+", "-"))] == [
        '-distance = "6 mi"',
        '+distance = "2.88 mi"',
        '-hours = "2 h 30 min"',
        '+hours = "1 h 12 min"',
        '-hours = "1 h 15 min"',
        '+hours = "36 min"',
        '-distance = "6 mi"',
        '+distance = "2.88 mi"',
        '-hours = "7 h"',
        '+hours = "3 h 22 min"',
        '-budget = "500"',
        '+budget = "1103"',
    ]
    assert lines[0].startswith(f"--- {EXAMPLE}")


@pytest.mark.parametrize("number", [-1, 0, 6, 99])
def test_a_way_out_that_is_not_there(number: int) -> None:
    with pytest.raises(InputError) as caught:
        apply_way(read_text(EXAMPLE), impossible(), number)
    (problem,) = caught.value.problems
    assert (problem.file, problem.value) == ("--apply", str(number))
    assert "choose from 1 to 5" in problem.remedy


STATUSES: list[tuple[Status, str]] = [("best", "is not impossible"), ("unproved", "time ran out")]


@pytest.mark.parametrize(("status", "says"), STATUSES)
def test_an_outing_without_ways_out(status: Status, says: str) -> None:
    with pytest.raises(InputError) as caught:
        apply_way(read_text(EXAMPLE), replace(impossible(), status=status), 1)
    assert says in caught.value.problems[0].what


def test_a_way_out_that_never_works_is_a_bug() -> None:
    with pytest.raises(InternalError):
        first_that_works(
            small_outing_text(), FILE, way_out(Change("lift", 5, 6, "kg", 0.2)), lambda _: None
        )


CHANGES = [
    (Change("budget", 1200, 1200.01, "money", 0), "limits.budget=1201"),
    (Change("budget", 90, 99.01, "money", 0), "limits.budget=99.01"),
    (Change("budget", 90, 99.0, "money", 0), "limits.budget=99"),
    (Change("season", 90, 91.0010, "money", 0), "limits.season=91.01"),
    (Change("kit_mass", 45, 45.2, "kg", 0), "limits.kit_mass=45.2 kg"),
    (Change("kit_mass", 45, 45.201, "kg", 0), "limits.kit_mass=45.3 kg"),
    (Change("lift", 5, 0.0512, "kg", 0), "limits.lift=0.052 kg"),
    (Change("lift", 5, 12.34, "kg", 0), "limits.lift=27.3 lb"),
    (Change("top_speed", 2, 1.999, "m/s", 0), "limits.top_speed=7.19 km/h"),
    (Change("recharge", 8, 9.001, "h", 0), "limits.recharge_within=9 h 1 min"),
    (Change("recharge", 8, float("inf"), "h", 0), "limits.recharge_within=none"),
    (Change("trim", 1.5, 1.8401, "deg", 0), "limits.max_trim=1.85 deg"),
    (Change("trim", 1.5, 2.9999, "deg", 0), "limits.max_trim=3 deg"),
    (Change("heel", 3, 4.99999999, "deg", 0), "limits.max_heel=5 deg"),
    (Change("heel", 3, 4.0, "deg", 0), "limits.max_heel=4 deg"),
]


@pytest.mark.parametrize(("change", "setting"), CHANGES)
def test_amounts_go_to_the_safe_side_in_round_steps(change: Change, setting: str) -> None:
    lift = "11 lb" if "lb" in setting else "5 kg"
    more = f'lift = "{lift}"\ntop_speed = "7 km/h"\nrecharge_within = "8 h"\n[wish]'
    text = small_outing_text().replace("[wish]", more)
    assert settings(way_out(change), text) == (setting,)


def test_angles_never_go_beyond_their_loosest() -> None:
    for further in range(9):
        (setting,) = settings(
            way_out(Change("trim", 1.5, 2.98, "deg", 0)), small_outing_text(), further=further
        )
        trim = edited(small_outing_text(), FILE, [setting]).outing.limits.max_trim_rad
        assert 2.98 <= round(trim * 57.29577951308232, 9) <= 3.0


def test_fewer_hours_shorten_every_leg_and_device() -> None:
    """The day of 1 h 12 + 1 h 15 falls to four fifths."""
    day_h = 1.2 + 1.25
    change = Change("hours", day_h, 0.8 * day_h - 1e-4, "h", 0)
    assert settings(way_out(change), small_outing_text()) == (
        "leg.1.distance=4.79 km",
        "leg.2.hours=59 min",
        "device.1.hours=1 h 35 min",
    )


def test_a_slower_leg_never_takes_longer_than_the_way_out_says() -> None:
    """The first leg, 6 km, is given by its distance."""
    speed = 1.2344
    slower = Change("leg_speed", 1, speed / (5 / 3.6), "", 0, (("out", speed),))
    hours = Change("hours", 2.45, 2.0, "h", 0)
    found = dict(item.split("=") for item in settings(way_out(slower), small_outing_text()))
    assert found == {"leg.1.speed": "4.44 km/h"}
    text = small_outing_text()
    outing = edited(text, FILE, settings(way_out(slower, hours), text)).outing
    planned_h = 6000 * 2.0 / 2.45 / speed / 3600
    assert planned_h - 0.01 < outing.legs[0].duration_h <= planned_h


def test_tiny_amounts_are_never_rounded_away() -> None:
    slower = Change("leg_speed", 1, 0.001, "", 0, (("out", 0.0012), ("back", 0.3)))
    hours = Change("hours", 2.45, 0.001, "h", 0)
    outing = edited(
        small_outing_text(), FILE, settings(way_out(slower, hours), small_outing_text())
    ).outing
    assert 0.001 < outing.legs[0].speed_m_s <= 0.0012
    assert all(leg.duration_h > 0 for leg in outing.legs)
    assert all(device.duration_h > 0 for device in outing.devices)
