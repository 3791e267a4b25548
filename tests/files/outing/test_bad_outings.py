"""Outings to be put right: each problem names its line, key, value and remedy."""

import re
from collections.abc import Sequence

import pytest

from keelwatt.errors import InputError, Problem
from keelwatt.files.outing import outing_from_text
from keelwatt.files.outing.rules import MOST
from samples import assert_says, row_of, small_outing_text

GOOD = small_outing_text()


def problems_of(text: str) -> Sequence[Problem]:
    with pytest.raises(InputError) as caught:
        outing_from_text(text, "outing.toml")
    return caught.value.problems


@pytest.mark.parametrize(
    ("old", "new", "key", "value", "says"),
    [
        ('title = "Round the island"', "title = 3", "title", "3", "not text; put it in quotes"),
        ('title = "Round the island"', 'title = " "', "title", " ", "is empty; write a few words"),
        ('title = "Round the island"', r'title = "\u001b[31m"', "title", "\x1b[31m", "unprintable"),
        ('kind = "fresh"', 'kind = "frehs"', "water.kind", "frehs", 'did you mean "fresh"'),
        ('kind = "fresh"', 'kind = "brackish"', "water.kind", "brackish", '"fresh" or "salt"'),
        ('"15 degC"', '"15"', "water.temperature", "15", "has no unit.*degC"),
        ('"15 degC"', '"15 km"', "water.temperature", "15 km", "is a length, not a temperature"),
        ('"15 degC"', '"40 degC"', "water.temperature", "40 degC", "above 35 degC; write 35"),
        ('"15 degC"', '"20 F"', "water.temperature", "20 F", "is below 0"),
        ('shape = "canoe"', 'shape = "kanoe"', "craft.shape", "kanoe", 'did you mean "canoe"'),
        ('"4.8 m"', '"nan m"', "craft.waterline_length", "nan m", "begin with a number"),
        ('"4.8 m"', '"inf m"', "craft.waterline_length", "inf m", "begin with a number"),
        ('"4.8 m"', "nan", "craft.waterline_length", "nan", "has no unit.*quotes"),
        ('"4.8 m"', '"-4.8 m"', "craft.waterline_length", "-4.8 m", "below 1.2 m; write 1.2 m"),
        ('"4.8 m"', '"4,800 mm"', "craft.waterline_length", "4,800 mm", "4800 if thousands"),
        ('"4.8 m"', "4.8", "craft.waterline_length", "4.8", 'unit.*"1.2 m"'),
        ('"4.8 m"', "true", "craft.waterline_length", "True", "not a quantity"),
        ('"4.8 m"', "2024-01-01", "craft.waterline_length", "2024-01-01", "not a quantity"),
        ('"4.8 m"', '["4.8 m"]', "craft.waterline_length", None, "not a quantity"),
        ('"32 kg"', '"32 W"', "craft.hull_mass", "32 W", 'is a power, not a mass; write "22 lb"'),
        ('"0.15 m"\npayload', '"0.15 ft/s"\npayload', "craft.hull_height", "0.15 ft/s", "a speed"),
        ('x = "-1.2 m",', "", "craft.controller_at.x", None, "is missing; add x ="),
        ('max_load = "60 kg"', 'max_load = "60 Ah"', "craft.compartment.2.max_load", "60 Ah",
         "is a capacity, not a mass"),
        ('opening_width = "0.40 m"\n', "", "craft.compartment.2.opening_width", None, "has both"),
        ('name = "bow"', 'name = "stern"', "craft.compartment.2.name", "stern", "earlier comp"),
        ('name = "bow"', 'name = "b/w"', "craft.compartment.2.name", "b/w", "holds a /"),
        ('name = "gear"', 'name = "paddler"', "aboard.2.name", "paddler", "another name"),
        ('mass = "12 kg"', 'mass = "-1 kg"', "aboard.2.mass", "-1 kg", "is below 0"),
        ('name = "back"', 'name = "out"', "leg.2.name", "out", "earlier leg; give it another"),
        ('"stern/transom"', '"stern/transon"', "craft.cable_run.stern/transon", "2.1 m",
         'no run between a compartment.*did you mean "stern/transom".*"stern/control"'),
        ('"stern/transom"', '"control/control"', "craft.cable_run.control/control", "2.1 m",
         "no run between a compartment"),
        ('name = "bow"', 'name = "control"', "craft.compartment.2.name", "control", "another name"),
        ('"2.1 m"', '"0 m"', "craft.cable_run.stern/transom", "0 m", "not above 0 m"),
        ('"2.1 m"', "2.1", "craft.cable_run.stern/transom", "2.1", "has no unit"),
        ('hours = "1 h 15 min"\n', "", "leg.2.hours", None, "missing, and so is distance"),
        ('distance = "6 km"', 'distance = "6 km"\nhours = "1 h"', "leg.1.distance", "6 km",
         "given along with hours; leave out one"),
        ('distance = "6 km"', 'distance = "0 km"', "leg.1.distance", "0 km", "not above 0"),
        ('distance = "6 km"', 'distance = "6 h"', "leg.1.distance", "6 h", "a duration, not a len"),
        ('speed = "5 km/h"\ndistance', 'speed = "0 km/h"\ndistance', "leg.1.speed", "0 km/h",
         "never covered; write a speed, or hours"),
        ('speed = "5 km/h"\nhours', 'speed = "-5 km/h"\nhours', "leg.2.speed", "-5 km/h", "is"),
        ('"1 h 15 min"', '"1:15"', "leg.2.hours", "1:15", "6 h 30 min"),
        ('"1 h 15 min"', '"0 h"', "leg.2.hours", "0 h", "not above 0"),
        ('"1 h 15 min"', "01:15:00", "leg.2.hours", "01:15:00", "not a quantity.*quotes"),
        ("budget = 1200", "budget = -1", "limits.budget", "-1", "is below 0"),
        ("budget = 1200", "budget = nan", "limits.budget", "nan", "not a number"),
        ("budget = 1200", 'budget = "plenty"', "limits.budget", "plenty", "not a number"),
        ("budget = 1200", "budget = 12.345", "limits.budget", "12.345", "more than two decimals"),
        ("budget = 1200", "budget = true", "limits.budget", "True", "not an amount of money"),
        ('reserve = "20 %"', 'reserve = "5 %"', "limits.reserve", "5 %", "is below 10 %"),
        ('reserve = "20 %"', "reserve = 20", "limits.reserve", "20", 'below 100 %.*"20 %" or 0.2'),
        ('reserve = "20 %"', "reserve = nan", "limits.reserve", "nan", "not a number"),
        ('reserve = "20 %"', 'max_trim = "4 deg"', "limits.max_trim", "4 deg", "above 3 deg"),
        ('reserve = "20 %"', 'max_heel = "6 deg"', "limits.max_heel", "6 deg", "above 5 deg"),
        ('reserve = "20 %"', 'max_heel = "0 deg"', "limits.max_heel", "0 deg", "not above 0"),
        ('reserve = "20 %"', 'voltage_drop = "11 %"', "limits.voltage_drop", "11 %", "10 %"),
        ('reserve = "20 %"', "voltage_drop = 0", "limits.voltage_drop", "0", "not above 0"),
        ('reserve = "20 %"', 'resrve = "20 %"', "limits.resrve", "20 %", 'did you mean "reserve"'),
        ('reserve = "20 %"', 'health = "90 %"', "limits.health", "90 %", r"below \[policy\]"),
        ('reserve = "20 %"', 'title = "x"', "limits.title", "x", "above the first line"),
        ('by = "cost"', 'by = "price"', "wish.by", "price", '"cost", "mass" or "season"'),
        ("season = 20", "season = 2.5", "wish.outings_per_season", "2.5", "not a whole number"),
        ("season = 20", 'season = "20"', "wish.outings_per_season", "20", "without quotes"),
        ("season = 20", "season = true", "wish.outings_per_season", "True", "not a whole number"),
        ("season = 20", "season = 0", "wish.outings_per_season", "0", "is below 1"),
        ("own = []", 'own = "agm-100"', "parts.own", "agm-100", r'not a list; .*\["first"'),
        ("own = []", "own = [3]", "parts.own.1", "3", "is not text"),
        ("own = []", 'own = ["a"]\nown_pieces = { b = 2 }', "parts.own_pieces.b", "2",
         r'not among the parts owned; .*own = \["b"\]'),
        ("own = []", 'own = ["a"]\nown_pieces = { a = 0 }', "parts.own_pieces.a", "0",
         "is below 1; write 1 or more"),
        ("own = []", "own_pieces = 3", "parts.own_pieces", "3", "is not a table"),
        ("require = []\nrefuse = []", 'require = ["a"]\nrefuse = ["b", "a"]', "parts.require.1",
         "a", "both required and refused"),
        ("[[device]]", "[[gadget]]", "gadget", None, "not a key known here.*device"),
        ("[wish]", "[wishes]", "wishes", None, 'did you mean "wish"'),
        ("[[craft.mount]]", "[craft.mount]", "craft.mount", None, r"write \[\[craft.mount\]\]"),
        ("[water]", "[[water]]", "water", None, r"not a single table; write \[water\]"),
    ],
)  # fmt: skip
def test_a_bad_key_is_told(*, old: str, new: str, key: str, value: str | None, says: str) -> None:
    assert GOOD.count(old) >= 1
    at = GOOD.index(old)
    problems = problems_of(GOOD[:at] + new + GOOD[at + len(old) :])
    assert len(problems) == 1, problems
    problem = problems[0]
    assert (problem.file, problem.key, problem.value) == ("outing.toml", key, value)
    if value is not None:
        first = GOOD[:at].count("\n") + 1
        assert problem.row is not None
        assert first <= problem.row <= first + new.count("\n")
    assert_says(problem, says)


@pytest.mark.parametrize(
    ("removed", "key", "table", "says"),
    [
        ('title = "Round the island"\n', "title", None, 'is missing; add title = "..."'),
        (
            'shape = "canoe"\n',
            "craft.shape",
            "[craft]",
            'is missing; add shape = "canoe".*fineness',
        ),
        (
            'hull_mass = "32 kg"\n',
            "craft.hull_mass",
            "[craft]",
            'is missing; add hull_mass = "22 lb"',
        ),
        ('name = "transom"\n', "craft.mount.1.name", "[[craft.mount]]", "is missing; add name"),
        (
            'mass = "12 kg"\n',
            "aboard.2.mass",
            '[[aboard]]\nname = "gear"',
            'is missing; add mass = "22 lb"',
        ),
        ('power = "5 W"\n', "device.1.power", "[[device]]", 'is missing; add power = "10 W"'),
    ],
)
def test_a_missing_key_is_told_at_its_table(
    removed: str, key: str, table: str | None, says: str
) -> None:
    text = GOOD.replace(removed, "", 1)
    (problem,) = problems_of(text)
    assert problem.row == (row_of(text, table) if table else None)
    assert (problem.key, problem.value) == (key, None)
    assert_says(problem, says)


def test_a_misspelled_key_is_not_told_as_missing_too() -> None:
    (problem,) = problems_of(GOOD.replace("hull_mass", "hul_mass"))
    assert (problem.key, problem.row) == ("craft.hul_mass", row_of(GOOD, "hull_mass"))
    assert_says(problem, 'did you mean "hull_mass"')


@pytest.mark.parametrize("table", ["compartment", "mount"])
def test_a_craft_needs_a_compartment_and_a_mount(table: str) -> None:
    text = re.sub(rf"(?s)\[\[craft.{table}\]\].*?\n\n(?=\[)", "", GOOD)
    text = text.replace('[craft.cable_run]\n"stern/transom" = "2.1 m"', "")
    (problem,) = problems_of(text)
    assert problem.key == f"craft.{table}"
    assert_says(problem, rf"is missing; add \[\[craft.{table}\]\]")


def test_an_outing_needs_a_leg() -> None:
    (problem,) = problems_of(re.sub(r"(?s)\[\[leg\]\].*?\n\n(?=\[)", "", GOOD))
    assert problem.key == "leg"
    assert_says(problem, r"is missing; add \[\[leg\]\]")
    (problem,) = problems_of("leg = []\n" + re.sub(r"(?s)\[\[leg\]\].*?\n\n(?=\[)", "", GOOD))
    assert_says(problem, "nothing in it; add at least one")


@pytest.mark.parametrize(
    ("lines", "key", "says"),
    [
        ("fineness = 2", "craft.fullness", "is missing.*both fineness and fullness"),
        ("fullness = 2", "craft.fineness", "is missing.*both fineness and fullness"),
        ("fineness = 9\nfullness = 4", "craft.fineness", "is above 8; write 8 or less"),
        ("fineness = 2\nfullness = 1", "craft.fullness", "is below 2; write 2 or more"),
        ("fineness = 2.5\nfullness = 4", "craft.fineness", "not a whole number"),
        ("fineness = '2'\nfullness = 4", "craft.fineness", "without quotes"),
        ("shape = 'canoe'\nfineness = 2", "craft.fineness", "along with a shape; leave out shape"),
        ("fineness = 4\nfullness = 4\nwaterplane = 3", "craft.waterplane", "is below the fineness"),
        ("shape = 'canoe'\nwaterplane = 9", "craft.waterplane", "is above 8; write 8 or less"),
        ("shape = 'canoe'\ndrag_factor = 0", "craft.drag_factor", "is not above 0"),
        ("shape = 'canoe'\ndrag_factor = '1.3'", "craft.drag_factor", "without quotes"),
        ("shape = 'canoe'\ndrag_factor = nan", "craft.drag_factor", "is not a number"),
    ],
)
def test_a_bad_shape_is_told(lines: str, key: str, says: str) -> None:
    (problem,) = problems_of(GOOD.replace('shape = "canoe"', lines))
    assert problem.key == key
    assert_says(problem, says)


@pytest.mark.parametrize(
    ("lines", "key", "says"),
    [
        ("hours = '1 h'", "leg.1.speed", 'add speed = "3 mph", or motor = "off"'),
        ("motor = 'off'\ndistance = '6 km'", "leg.1.distance", "with the motor off; write hours"),
        ("motor = 'of'\nspeed = 0\nhours = '1 h'", "leg.1.motor", 'did you mean "off"'),
    ],
)
def test_a_bad_leg_without_its_motor_is_told(lines: str, key: str, says: str) -> None:
    given = 'speed = "5 km/h"\ndistance = "6 km"'
    assert given in GOOD
    (problem,) = problems_of(GOOD.replace(given, lines))
    assert problem.key == key
    assert_says(problem, says)


@pytest.mark.parametrize(
    ("line", "key", "says"),
    [
        ("discharge = 'gently'", "policy.discharge", '"everyday", "occasional" or "limit"'),
        ("health = '110 %'", "policy.health", "is above 100 %"),
        ("health = 0", "policy.health", "is not above 0"),
        ("claimed_thrust = '120 %'", "policy.claimed_thrust", "is above 100 %"),
        ("place_temperature = '30 m'", "policy.place_temperature", "a length, not a temperature"),
        ("place_temperature = 30", "policy.place_temperature", "has no unit"),
        ("fuse_over_ampacity = '160 %'", "policy.fuse_over_ampacity", "is above 150 %"),
        ("fuse_over_ampacity = '90 %'", "policy.fuse_over_ampacity", "is below 100 %"),
        ("clearance = '-1 mm'", "policy.clearance", "is below 0"),
    ],
)
def test_a_bad_policy_is_told(line: str, key: str, says: str) -> None:
    text = f"{GOOD}[policy]\n{line}\n"
    (problem,) = problems_of(text)
    assert (problem.key, problem.row) == (key, text.count("\n"))
    assert_says(problem, says)


def test_all_problems_come_together_in_the_order_of_lines() -> None:
    text = (
        GOOD.replace('"15 degC"', '"15 kg"')
        .replace("hull_height", "hull_hight")
        .replace('reserve = "20 %"', 'reserve = "2 %"')
        .replace('distance = "6 km"', "")
        .replace("refuse = []", 'refuse = []\nlike = ["a"]')
    )
    problems = problems_of(text)
    assert [problem.key for problem in problems] == [
        "water.temperature",
        "craft.hull_hight",
        "leg.1.hours",
        "limits.reserve",
        "parts.like",
    ]
    rows = [problem.row or 0 for problem in problems]
    assert rows == sorted(rows)


@pytest.mark.parametrize(
    ("table", "key"),
    [
        ("leg", 'speed = "5 km/h"\nhours = "1 min"'),
        ("device", 'power = "5 W"\nhours = "2 h"'),
        ("aboard", 'mass = "1 kg"\nx = "0 m"\ny = "0 m"\nz = "0 m"'),
    ],
)
def test_more_than_are_taken(table: str, key: str) -> None:
    most, given = MOST[table], GOOD.count(f"[[{table}]]")
    rows = [f'[[{table}]]\nname = "more {n}"\n{key}\n' for n in range(most - given + 1)]
    assert outing_from_text("\n".join([GOOD, *rows[:-1]]), "outing.toml")
    (problem,) = problems_of("\n".join([GOOD, *rows]))
    assert problem.key == f"{table}.{most + 1}.name"
    assert problem.value == f"more {most - given}"
    assert_says(problem, f"one {table} too many: {most} are taken; join some of the {most + 1}")


@pytest.mark.parametrize("table", ["compartment", "mount"])
def test_more_places_than_are_taken(table: str) -> None:
    start = GOOD.index(f"[[craft.{table}]]")
    end = GOOD.index("\n[", start + 1)
    first, name = GOOD[start:end], re.compile('name = "[^"]*"')
    rows = [name.sub(f'name = "more {n}"', first, count=1) for n in range(MOST[table])]
    text = GOOD[:end] + "\n" + "\n".join(rows) + GOOD[end:]
    problem = next(p for p in problems_of(text) if "too many" in p.what)
    assert problem.key == f"craft.{table}.{MOST[table] + 1}.name"
