"""Settings made in an outing's text: good ones, bad ones, and what stays as it was."""

import re
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from keelwatt.edit.document import rewritten
from keelwatt.edit.edit import edited
from keelwatt.edit.keys import known_keys
from keelwatt.errors import InputError, InternalError, Problem
from keelwatt.files.outing import outing_from_text, read_text
from samples import assert_says, small_outing_text

FILE = "outing.toml"
ROOT = Path(__file__).parents[2]
FILES = [*sorted(ROOT.glob("examples/*/outing.toml")), ROOT / "src/keelwatt/files/starter.toml"]
TEXT = small_outing_text().replace(
    "[wish]", 'lift = "30 kg"        # bad back\nrecharge_within = "10 h"\n\n# what for\n[wish]'
)


def edits(*settings: str, text: str = TEXT) -> dict[str, tuple[str | None, str | None]]:
    return {edit.key: (edit.old, edit.new) for edit in edited(text, FILE, settings).edits}


def problems(*settings: str, text: str = TEXT) -> tuple[Problem, ...]:
    with pytest.raises(InputError) as caught:
        edited(text, FILE, settings)
    return caught.value.problems


GOOD = [
    ("budget=900", "limits.budget", "1200", "900"),
    ("budget=900.50", "limits.budget", "1200", "900.5"),
    ("budget=$1,250.00", "limits.budget", "1200", "$1,250.00"),
    ("budget=-10%", "limits.budget", "1200", "1080"),
    ("budget=+0.1", "limits.budget", "1200", "1200.1"),
    ("Budget = +100", "limits.budget", "1200", "1300"),
    ("limits.budget+=100", "limits.budget", "1200", "1300"),
    ("limits.budget==100", "limits.budget", "1200", "100"),
    ("season=90", "limits.season", None, "90"),
    ("season=90.25", "limits.season", None, "90.25"),
    ("lift=+5 kg", "limits.lift", "30 kg", "35 kg"),
    ("lift=+5kg", "limits.lift", "30 kg", "35 kg"),
    ("lift=-11 lb", "limits.lift", "30 kg", "25.0105 kg"),
    ("lift-=3 kg", "limits.lift", "30 kg", "27 kg"),
    ("lift=+25 %", "limits.lift", "30 kg", "37.5 kg"),
    ("lift=66 lb", "limits.lift", "30 kg", "66 lb"),
    ("lift=none", "limits.lift", "30 kg", None),
    ("kit_mass=-10%", "limits.kit_mass", "45 kg", "40.5 kg"),
    ("reserve=25 %", "limits.reserve", "20 %", "25 %"),
    ("reserve=0.3", "limits.reserve", "20 %", "0.3"),
    ("reserve=+5%", "limits.reserve", "20 %", "25 %"),
    ("reserve=-5%", "limits.reserve", "20 %", "15 %"),
    ("reserve=+0.05", "limits.reserve", "20 %", "25 %"),
    ("recharge=+2h", "limits.recharge_within", "10 h", "12 h"),
    ("recharge=90 min", "limits.recharge_within", "10 h", "90 min"),
    ("trim=+0.5 deg", "limits.max_trim", None, "2.5 deg"),
    ("heel=5 deg", "limits.max_heel", None, "5 deg"),
    ("top_speed=7 km/h", "limits.top_speed", None, "7 km/h"),
    ("payload_margin=+5 kg", "limits.payload_margin", None, "5 kg"),
    ("by=mass", "wish.by", "cost", "mass"),
    ('by="mass"', "wish.by", "cost", "mass"),
    ("wish.outings_per_season=+5", "wish.outings_per_season", "20", "25"),
    ("wish.outings_per_season=12", "wish.outings_per_season", "20", "12"),
    ("policy.discharge=limit", "policy.discharge", None, "limit"),
    ("policy.health=0.8", "policy.health", None, "0.8"),
    ("policy.place_temperature=+10 degC", "policy.place_temperature", None, "40 degC"),
    ("water.temperature=+9 degF", "water.temperature", "15 degC", "20 degC"),
    ("water.temperature==60 degF", "water.temperature", "15 degC", "60 degF"),
    ("craft.payload_limit=+10%", "craft.payload_limit", "380 kg", "418 kg"),
    ("craft.controller_at.x==-1 m", "craft.controller_at.x", "-1.2 m", "-1 m"),
    ("craft.controller_at.x=+10 cm", "craft.controller_at.x", "-1.2 m", "-1.1 m"),
    ("craft.controller_at.x=-50%", "craft.controller_at.x", "-1.2 m", "-0.6 m"),
    ("craft.compartment.bow.length=70 cm", "craft.compartment.bow.length", "0.60 m", "70 cm"),
    ("craft.compartment.2.length=70 cm", "craft.compartment.bow.length", "0.60 m", "70 cm"),
    ("craft.compartment.bow.max_load=none", "craft.compartment.bow.max_load", "60 kg", None),
    ("craft.mount.transom.y=2 cm", "craft.mount.transom.y", "0 m", "2 cm"),
    ("craft.cable_run.stern/transom=+1 m", "craft.cable_run.stern/transom", "2.1 m", "3.1 m"),
    ("craft.cable_run.bow/transom=4 m", "craft.cable_run.bow/transom", None, "4 m"),
    ("aboard.paddler.mass=+10 kg", "aboard.paddler.mass", "82 kg", "92 kg"),
    ("leg.back.hours=+30 min", "leg.back.hours", "1 h 15 min", "1 h 45 min"),
    ("leg.back.headwind-=1 m/s", "leg.back.headwind", "2 m/s", "1 m/s"),
    ("leg.back.headwind==-1 m/s", "leg.back.headwind", "2 m/s", "-1 m/s"),
    ("LEG.Back.Speed=+10%", "leg.back.speed", "5 km/h", "5.5 km/h"),
    ('leg."back".speed=3 knots', "leg.back.speed", "5 km/h", "3 knots"),
    ("leg.2.speed=3 mph", "leg.back.speed", "5 km/h", "3 mph"),
    ("leg.out.distance=-1 km", "leg.out.distance", "6 km", "5 km"),
    ("device.phone.power=+50%", "device.phone.power", "5 W", "7.5 W"),
    ("device.phone.hours=-30 min", "device.phone.hours", "2 h", "1.5 h"),
    ("parts.own=lfp-50", "parts.own", "none", "lfp-50"),
    ('parts.own=["lfp-50", "plug-50"]', "parts.own", "none", "lfp-50, plug-50"),
    ("parts.refuse=+lfp-50,plug-50", "parts.refuse", "none", "lfp-50, plug-50"),
    ("title=A = B", "title", "Round the island", "A = B"),
]


@pytest.mark.parametrize(("setting", "key", "old", "new"), GOOD)
def test_good_settings(setting: str, key: str, old: str | None, new: str | None) -> None:
    assert edits(setting) == {key: (old, new)}
    made = edited(TEXT, FILE, [setting])
    assert made.outing == outing_from_text(made.text, FILE)
    assert made.outing != outing_from_text(TEXT, FILE)


BAD = [
    ("budget", "budget", "", "is not KEY=VALUE"),
    ("=900", "", "900", "is not KEY=VALUE"),
    ("budget=", "budget", "", "has no value.*budget=none"),
    ("bugdet=900", "bugdet", None, r"did you mean budget\?"),
    ("recharge_within=9 h", "recharge_within", None, r"did you mean limits.recharge_within\?"),
    ("leg.back.sped=9 h", "leg.back.sped", None, r"did you mean leg.back.speed\?"),
    (
        "leg.bakc.speed=3 mph",
        "leg.bakc.speed",
        None,
        r'did you mean "back"\? there is out, back',
    ),
    ("leg.3.speed=3 mph", "leg.3.speed", None, "names no leg.*there is out, back"),
    ("leg.speed=3 mph", "leg.speed", None, "names no leg"),
    ("leg=3", "leg", None, "is a whole table.*leg.back"),
    ("limits=3", "limits", None, "is a whole table.*limits"),
    ("craft.cable_run=3 m", "craft.cable_run", None, "is a whole table.*stern/transom"),
    ("budget=lots", "budget", "lots", "is not a number"),
    ("budget=1.234", "budget", "1.234", "two decimals"),
    ("budget=-2000", "budget", "-2000", "is below 0"),
    ("lift=30", "lift", "30", "has no unit"),
    ("lift=+3", "lift", "+3", "has no unit"),
    ("lift=3 km", "lift", "3 km", '"km" is a length, not a mass'),
    ("lift=90%", "lift", "90%", "is a share, not a value"),
    ("lift=-30 kg", "lift", "-30 kg", "is not above 0"),
    ("lift=+1,250 kg", "lift", "+1,250 kg", "can be read in two ways"),
    ("season=+10", "season", "+10", "is not set in the file.*season=900"),
    ("top_speed=+10%", "top_speed", "+10%", "is not set in the file"),
    ("top_speed-=1 mph", "top_speed", "1 mph", 'is not set in the file.*"3 mph"'),
    ("craft.drag_factor=+10%", "craft.drag_factor", "+10%", "is not set in the file"),
    ("heel=6 deg", "heel", "6 deg", "is above 5 deg"),
    ("reserve=5%", "reserve", "5%", "is below 10 %"),
    ("by=mas", "by", "mas", 'did you mean "mass"'),
    ("wish.outings_per_season=2.5", "wish.outings_per_season", "2.5", "not a whole number"),
    ("water.temperature=+10%", "water.temperature", "+10%", "share of a temperature"),
    ("craft.payload_limit=none", "craft.payload_limit", "none", "cannot be left out"),
    ("craft.controller_at.x=-1 m", "craft.controller_at.x", "-1 m", "two ways.*x==-1 m.*x-=1 m"),
    ("leg.back.headwind=-1 m/s", "leg.back.headwind", "-1 m/s", "can be read in two ways"),
    ("leg.out.hours=+1 h", "leg.out.hours", "+1 h", "gives its distance.*leg.out.distance=.10%"),
    ("leg.back.speed=-6 km/h", "leg.back.speed", "-6 km/h", "is below 0"),
    ("leg.out.speed=0 km/h", "leg.out.speed", "0 km/h", "is 0, so the distance"),
    ("speed=-6 km/h", "speed", "-6 km/h", "leaves leg out no speed"),
    ("speed=quick", "speed", "quick", "does not begin with a number"),
    ("hours=+2", "hours", "+2", "has no unit"),
    ("hours=-9h", "hours", "-9h", "leaves no time"),
    ("hours=-100%", "hours", "-100%", "leaves no time"),
    ("hours=none", "hours", "none", "cannot be left out|does not begin with a number"),
    ("craft.cable_run.bow/stem=4 m", "craft.cable_run.bow/stem", "4 m", r"did you mean"),
    ("parts.own=-lfp-50", "parts.own", "-lfp-50", "names what is not there: lfp-50"),
    ("parts.own_pieces.lfp-50=2", "parts.own_pieces.lfp-50", "2", "not among the parts owned"),
    (
        "craft.compartment.stern.opening_width=3 m",
        "craft.compartment.1.opening_length",
        None,
        "is missing",
    ),
]


@pytest.mark.parametrize(("setting", "key", "value", "says"), BAD)
def test_bad_settings(setting: str, key: str, value: str | None, says: str) -> None:
    (problem,) = problems(setting)
    assert (problem.file, problem.row, problem.key, problem.value) == ("--set", None, key, value)
    assert_says(problem, says)


def test_all_problems_come_at_once() -> None:
    found = problems("bugdet=900", "lift=3", "kit_mass=40 kg", "x")
    assert [problem.key for problem in found] == ["bugdet", "lift", "x"]


def test_problems_of_the_new_outing_name_their_settings() -> None:
    found = problems("heel=6 deg", "reserve=1 %", "trim=2 deg")
    assert {problem.key for problem in found} == {"heel", "reserve"}


def test_problems_of_the_file_come_first_with_their_lines() -> None:
    (problem,) = problems("bugdet=900", text=TEXT.replace('"45 kg"', '"45 km"'))
    assert (problem.file, problem.key) == (FILE, "limits.kit_mass")
    assert problem.row is not None


def test_a_key_is_set_once() -> None:
    (problem,) = problems("budget=900", "limits.budget=800")
    assert_says(problem, "is set twice")
    (problem,) = problems("leg.2.speed=3 mph", "leg.back.speed=2 mph")
    assert_says(problem, "is set twice")
    assert edits("speed=4 mph", "leg.back.speed=3 mph")["leg.back.speed"] == ("5 km/h", "3 mph")


def test_settings_that_change_nothing() -> None:
    assert edits("budget=1200", "lift=30 kg", "season=none") == {}
    assert edited(TEXT, FILE, ["budget=1200"]).text == TEXT
    assert edited(TEXT, FILE, []).text == TEXT
    assert edits("by=none") == {"wish.by": ("cost", None)}
    assert edited(TEXT, FILE, ["by=none"]).outing == outing_from_text(TEXT, FILE)


@pytest.mark.parametrize(
    ("setting", "day_h"),
    [("hours=+2h", 4.45), ("hours=3 h", 3.0), ("hours=-50%", 1.225), ("hours-=30 min", 1.95)],
)
def test_hours_stretch_the_whole_day(setting: str, day_h: float) -> None:
    """1 h 12 out and 1 h 15 back, and 2 h of the phone."""
    outing = edited(TEXT, FILE, [setting]).outing
    stretch = day_h / 2.45
    hours = [leg.duration_h for leg in outing.legs]
    assert hours == pytest.approx([1.2 * stretch, 1.25 * stretch], rel=1e-5)
    assert outing.devices[0].duration_h == pytest.approx(2 * stretch, rel=1e-5)
    assert sum(hours) == pytest.approx(day_h, rel=1e-5)
    assert [leg.by_distance for leg in outing.legs] == [True, False]


def test_speed_is_that_of_every_leg_that_moves() -> None:
    holding = '\n[[leg]]\nname = "hold"\nspeed = "0 mph"\nhours = "1 h"\n\n[[device]]'
    text = TEXT.replace("\n[[device]]", holding, 1)
    assert edits("speed=+10%", text=text) == {
        "leg.out.speed": ("5 km/h", "5.5 km/h"),
        "leg.back.speed": ("5 km/h", "5.5 km/h"),
    }
    outing = edited(text, FILE, ["speed=4 km/h"]).outing
    assert [round(3.6 * leg.speed_m_s, 9) for leg in outing.legs] == [4, 4, 0]
    assert outing.legs[0].duration_h == pytest.approx(1.5)
    assert outing.legs[1].duration_h == 1.25


def test_a_day_without_a_moving_leg_has_no_speed() -> None:
    text = re.sub(r'speed = "5 km/h"\ndistance = "6 km"', 'speed = 0\nhours = "1 h"', TEXT)
    text = text.replace('speed = "5 km/h"', 'speed = "0 mph"')
    assert_says(problems("speed=+10%", text=text)[0], "no leg that moves")


def test_hours_and_distance_put_each_other_out() -> None:
    assert edits("leg.out.hours=2 h") == {
        "leg.out.hours": (None, "2 h"),
        "leg.out.distance": ("6 km", None),
    }
    assert edits("leg.back.distance=4 km") == {
        "leg.back.distance": (None, "4 km"),
        "leg.back.hours": ("1 h 15 min", None),
    }


def test_a_bare_number_stays_one() -> None:
    text = TEXT.replace('"20 %"', "0.2").replace("[craft]\n", "[craft]\ndrag_factor = 1.2\n", 1)
    assert edits("reserve=+5%", "craft.drag_factor=+0.3", text=text) == {
        "limits.reserve": ("0.2", "0.25"),
        "craft.drag_factor": ("1.2", "1.5"),
    }


def test_quotes_with_nothing_between_them_name_nothing() -> None:
    assert edits("parts.own=[\"\", 'lfp-50']") == {"parts.own": ("none", "lfp-50")}


def test_what_is_no_longer_owned_is_no_longer_counted() -> None:
    text = TEXT.replace("own = []", 'own = ["lfp-50", "plug-50"]')
    text += "[parts.own_pieces]\nlfp-50 = 2\nplug-50 = 1\n"
    assert edits("parts.own=-lfp-50", text=text) == {
        "parts.own": ("lfp-50, plug-50", "plug-50"),
        "parts.own_pieces.lfp-50": ("2", None),
    }


def test_names_with_dots_and_digits() -> None:
    text = TEXT.replace('name = "out"', 'name = "St. Anne. No. 1"')
    text = text.replace('name = "back"', 'name = "1"')
    assert "leg.St. Anne. No. 1.speed" in edits("leg.st. anne. no. 1.speed=4 mph", text=text)
    assert "leg.St. Anne. No. 1.speed" in edits("leg.1.speed=4 mph", text=text)
    assert edits('leg."1".speed=4 mph', text=text) == {"leg.1.speed": ("5 km/h", "4 mph")}


def test_money_keeps_the_way_it_is_written() -> None:
    for old, setting, new in [
        ('"1,200.00"', "budget=+10%", '"1320"'),
        ('"$1200"', "budget=900", '"$900"'),
        ('"1200 USD"', "budget=+0.50", '"1200.50 USD"'),
        ("1200", "budget=+0.50", "1200.5"),
    ]:
        text = TEXT.replace("budget = 1200", f"budget = {old}")
        assert f"budget = {new}\n" in edited(text, FILE, [setting]).text


def lines(text: str) -> list[str]:
    return text.splitlines()


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.parent.name)
def test_comments_and_layout_stay(path: Path) -> None:
    """Every line but those of the legs and devices that change, and every comment."""
    text = read_text(path)
    made = edited(text, FILE, ["hours=+17%", "payload_margin=+1 kg", "reserve=+3%"]).text
    gone = set(lines(text)) - set(lines(made))
    assert all(re.match(r"(hours|distance|reserve|payload_margin) = ", line) for line in gone)
    comments = [re.findall("#.*", line) for line in lines(made)]
    assert [c for c in comments if c] == [
        c for line in lines(text) if (c := re.findall("#.*", line))
    ]
    added = len(lines(made)) - len(lines(text))
    assert added == ("payload_margin =" not in re.sub("#.*", "", text))


def test_a_comment_keeps_its_column() -> None:
    made = edited(TEXT, FILE, ["lift=+10.5 kg"]).text
    assert 'lift = "40.5 kg"      # bad back\n' in made


def test_a_new_key_goes_below_the_last_of_its_table() -> None:
    made = edited(TEXT, FILE, ["season=90"]).text
    assert 'recharge_within = "10 h"\nseason = 90\n\n# what for\n[wish]\n' in made


def test_the_first_key_of_a_table_goes_right_below_its_header() -> None:
    text = "[limits]\n\n# none yet\n\n# of the kit\n"
    made = rewritten(text, {("limits", "budget"): 400})
    assert made == text.replace("\n", "\nbudget = 400\n", 1)


def test_a_new_table_goes_to_the_end() -> None:
    made = edited(TEXT, FILE, ["policy.health=0.8", "policy.discharge=limit"]).text
    assert made == TEXT + '\n[policy]\nhealth = 0.8\ndischarge = "limit"\n'


def test_windows_line_ends_stay() -> None:
    text = TEXT.replace("\n", "\r\n")
    made = edited(text, FILE, ["budget=900", "season=90", "policy.health=0.8"]).text
    assert made.count("\n") == made.count("\r\n") == text.count("\n") + 4
    assert (
        made.replace("\r\n", "\n")
        == edited(TEXT, FILE, ["budget=900", "season=90", "policy.health=0.8"]).text
    )


@pytest.mark.parametrize(
    "text",
    [
        'limits = {budget = 3}\nleg = [\n  {name = "a", speed = 1}, # one\n  {name = "b"},\n]\n',
        'limits.budget = 3\nleg = [{name = "a", speed = 1}, {name = "b"}]\nlimits.lift = "3 kg"\n',
        '[limits]\n# none yet\n\n[[leg]]\nname = "a"\nspeed = 1\n\n[[leg]]\nname = "b"\n',
        '[[leg]]\nname = "a"\nspeed = 1\n[limits]\nbudget = 3\n[[leg.deep]]\nx = 1\n',
        "leg = [{speed = 1, name = 'a'}]",
    ],
)
def test_any_way_of_writing_tables(text: str) -> None:
    made = rewritten(
        text,
        {
            ("limits", "budget"): 400,
            ("limits", "lift"): "4 kg",
            ("leg", 0, "speed"): "5 km/h",
            ("leg", 0, "headwind"): "1 m/s",
            ("policy", "health"): 0.5,
            ("wish", "by"): None,
        },
    )
    assert all(comment in made for comment in re.findall("#.*", text))


def test_a_text_that_cannot_be_edited_is_not_spoilt() -> None:
    with pytest.raises((InternalError, KeyError, TypeError)):
        rewritten("limits = 3\n", {("limits", "budget"): 400})


def test_every_known_key_is_found() -> None:
    import tomllib

    for key in known_keys(tomllib.loads(TEXT)):
        for problem in _tried(f"{key}=?"):
            assert "is not a key" not in problem.what


def _tried(setting: str) -> tuple[Problem, ...]:
    try:
        edited(TEXT, FILE, [setting])
    except InputError as error:
        return error.problems
    return ()


words = st.text(
    st.sampled_from("leg.out.speedhursbackuimt 0123456789+-=%\"'./,[]knoe\n\té"), max_size=24
)


@given(words)
def test_no_text_at_all_gets_past_the_problems(setting: str) -> None:
    for problem in _tried(setting):
        assert problem.what
        assert problem.remedy


@given(st.sampled_from(["budget", "lift", "leg.back.hours", "reserve", "by", "parts.own"]), words)
def test_no_value_gets_past_the_problems(key: str, value: str) -> None:
    for problem in _tried(f"{key}={value}"):
        assert problem.file == "--set"
        assert problem.remedy
