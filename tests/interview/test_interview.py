"""The interview: what Enter takes, wrong answers, and files that say what was answered."""

import math
import re
import tomllib
from functools import cache

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from interview.scripted import ENTER, held, held_instead
from keelwatt.explain.advise import decide
from keelwatt.files.catalog.reader import Catalog, read_catalog
from keelwatt.files.catalog.shipped import shipped_catalog
from keelwatt.files.outing import outing_from_text
from keelwatt.interview import QuitError, Session, interview, outing_text, script
from keelwatt.interview.file import quoted
from keelwatt.interview.reading import understood
from keelwatt.interview.sketches import BOAT, MOUNT, PLACE
from keelwatt.physics.shapes import HULL_SHAPES
from keelwatt.units import quantity


@cache
def shipped() -> Catalog:
    return read_catalog(shipped_catalog())


@pytest.mark.parametrize("shape", HULL_SHAPES)
def test_what_is_offered_gives_a_kit_proved_best(shape: str) -> None:
    advice = decide(held(["metric", ENTER, shape]).outing, shipped())
    assert advice.status == "best"
    assert advice.outing.craft.shape == shape


def test_a_motor_hangs_at_the_stern_unless_said() -> None:
    craft = held([]).outing.craft
    (mount,) = craft.mounts
    assert mount.name == "stern"
    assert mount.y_m == 0.0
    assert mount.x_m < -0.45 * craft.waterline_length_m


@pytest.mark.parametrize("shape", ["canoe", "flat-bottomed"])
def test_so_does_a_motor_beside_the_hull(shape: str) -> None:
    talk = held_instead(("craft", shape), ("Where can the motor hang", "side"))
    (mount,) = talk.outing.craft.mounts
    assert mount.y_m > 0.2
    assert decide(talk.outing, shipped()).status == "best"


def test_offers_in_the_units_of_the_united_states() -> None:
    talk = held(["us"])
    offered = dict(talk.asked)
    assert offered["How long is it where it meets the water?"] == "15 ft"
    assert offered["me: how heavy?"] == "176 lb"
    craft = talk.outing.craft
    assert craft.waterline_length_m == pytest.approx(4.572)
    assert 'waterline_length = "15 ft"' in talk.text
    assert " cm" not in "".join(line.split("#")[0] for line in talk.text.splitlines())
    assert decide(talk.outing, shipped()).status == "best"


def test_every_answer_is_echoed_as_understood() -> None:
    talk = held_instead(
        ("How long is it", "12 ft 6 in"),
        ("me: how heavy", "11 st"),
        ("how fast", "3 mph"),
        ("How far", "90 min"),
        ("spend", "$1,250"),
    )
    for echo in (
        "= 3.81 m (12.5 ft)",
        "= 69.9 kg (154 lb)",
        "= 4.83 km/h (3 mph)",
        "= 1 h 30 min",
        "= 1,250.00",
        "= 15 degC (59 degF)",
    ):
        assert echo in talk.said
    outing = talk.outing
    assert outing.legs[0].duration_h == 1.5
    assert outing.limits.budget_cents == 125_000
    assert 'waterline_length = "12 ft 6 in"' in talk.text


@pytest.mark.parametrize(
    ("length_m", "told"),
    [
        (0.5, "50 cm (19.7 in)"),
        (1.0, "1 m (3.28 ft)"),
        (999.0, "999 m (3280 ft)"),
        (1000.0, "1 km (0.621 mi)"),
    ],
)
def test_a_length_is_told_in_a_unit_of_its_size(length_m: float, told: str) -> None:
    """An inch is 2.54 cm, a foot 12 and a mile 63 360 of them."""
    assert understood(length_m, "length") == told


@pytest.mark.parametrize(
    ("words", "wrong", "says"),
    [
        ("Which units", "imperial", "write metric or us"),
        ("called", "two\x07bells", "unprintable characters"),
        ("craft", "canoo", 'did you mean "canoe"?'),
        ("How long is it", "40", "is above 20 m"),
        ("How long is it", "4.6 kg", '"kg" is a mass, not a length'),
        ("How long is it", "40 m", "is above 20 m"),
        ("How long is it", "90 ft", "is above 65.6 ft"),
        ("How cold", "100 degF", "is above 95 degF"),
        ("how wide", "nothing", "does not begin with a number"),
        ("hull weigh", "0 kg", "is not above 0"),
        ("hull weigh", "1,250 kg", "can be read in two ways"),
        ("me: where", "sterm", 'did you mean "stern"?'),
        ("me: where", "9 m", "lies outside the boat"),
        ("else is aboard", "me", "has been named before"),
        ("a battery stand", "-", "there has to be one"),
        ("a battery stand", "fore/aft", "holds a /"),
        ("in height", "-3 cm", "is not above 0"),
        ("motor hang", "bow", "write stern or side"),
        ("Another place", "bow", "write stern or side or -"),
        ("the shaft be there", "long", "does not begin with a number"),
        ("bow or stern go down", "5 deg", "is above 3 deg"),
        ("leg by leg", "-", "there has to be one"),
        ("how fast", "99 km/h", "is above 25.2 km/h"),
        ("How far", "0 km", "is not above 0"),
        ("How far", "soon", "does not begin with a number"),
        ("spend", "1.999", "two"),
        ("spend", "lots", "is not a number"),
        ("keep back", "5 %", "is below 10 %"),
        ("Fresh or salt", "brackish", 'write "fresh" or "salt"'),
        ("How cold", "40 degC", "is above 35"),
        ("How cold", "41", "is above 35"),
        ("should be least", "price", '"cost"'),
    ],
)
def test_a_wrong_answer_is_told_and_asked_again(words: str, wrong: str, says: str) -> None:
    talk = held_instead((words, wrong))
    asked = [question for question, _ in talk.asked if words in question]
    assert len(asked) > 1
    assert asked[0] == asked[1]
    (told,) = (line for line in talk.said if says in line)
    assert told.isprintable()
    assert talk.text == held([]).text


def test_a_place_held_is_asked_for_by_its_hours() -> None:
    talk = held_instead(("how fast", "0 km/h"), ("How far", "2 km"), ("How far", "45 min"))
    assert any("is a distance, and the speed is 0" in line for line in talk.said)
    first = talk.outing.legs[0]
    assert (first.speed_m_s, first.duration_h) == (0.0, 0.75)


def test_a_distance_is_told_with_the_hours_it_takes() -> None:
    """6 km at 3 km/h."""
    talk = held_instead(("how fast", "3 km/h"), ("How far", "6 km"))
    assert "= 6 km (3.73 mi), 2 h 00 min at that speed" in talk.said


def test_room_for_a_battery_is_asked_along_and_across() -> None:
    asked = [words for words, _ in held([]).asked]
    (along,) = (number for number, words in enumerate(asked) if "how much room" in words)
    assert asked[along].split(":")[1].startswith(" how much room from bow to stern?")
    assert [words.split(" (")[0] for words in asked[along + 1 : along + 3]] == [
        "And across?",
        "And in height?",
    ]


def test_places_in_words_are_shares_of_the_boat() -> None:
    talk = held_instead(("How long is it", "5 m"), ("me: where", "stern"), ("gear: where", "2 ft"))
    me, gear = talk.outing.aboard
    assert me.x_m == -1.5
    assert gear.x_m == pytest.approx(0.6096)
    assert "= 1.5 m (4.92 ft) aft of the middle" in talk.said


def test_answers_that_end_too_soon_are_noticed() -> None:
    with pytest.raises(EOFError):
        held(["metric", ENTER, ENTER], enter=False)


@given(st.text(max_size=30))
@settings(deadline=None)
def test_any_text_is_valid_in_quotes(text: str) -> None:
    if any("\ud800" <= sign <= "\udfff" for sign in text):
        return
    assert tomllib.loads(f"key = {quoted(text)}\n") == {"key": text}


_NAMES = st.text(st.characters(codec="utf-8", exclude_categories=("C", "Z"))).filter(
    lambda text: (
        text.strip() == text
        and text.lower() not in ("", "-", "<", "?", "back", "quit")
        and "/" not in text
    )
)


def _written(low: float, high: float, *units: str) -> st.SearchStrategy[str]:
    size = st.floats(low, high, allow_subnormal=False)
    return st.builds(lambda value, unit: f"{value:.4f} {unit}", size, st.sampled_from(units))


@st.composite
def _answered(draw: st.DrawFn) -> dict[str, list[str]]:
    """Answers in the order they are asked for, by what they are about."""
    lengths = _written(0.1, 1.0, "m", "yd")
    masses = _written(0.1, 90.0, "kg", "lb", "lbs")
    spot = st.sampled_from(["bow", "aft", "12 in", "-0.3 m"])
    words = st.tuples(_NAMES, masses, spot)
    loads = draw(st.lists(words, max_size=4, unique_by=lambda load: load[0]))
    boxes = draw(
        st.lists(
            st.tuples(_NAMES, lengths, lengths, lengths, spot),
            min_size=1,
            max_size=3,
            unique_by=lambda box: box[0],
        )
    )
    place = st.sampled_from(["stern", "side"])
    mounts = draw(
        st.lists(st.tuples(place, lengths, lengths | st.just("-")), min_size=1, max_size=3)
    )
    speeds = _written(0.1, 6.0, "km/h", "mph", "knots")
    extent = _written(0.1, 9.0, "km", "mi", "h", "hours") | _written(1, 90, "min")
    winds = _written(-9.0, 9.0, "m/s", "knots")
    streams = _written(-2.0, 2.0, "km/h", "mph")
    legs = draw(
        st.lists(
            st.tuples(_NAMES, speeds, extent, winds, streams),
            min_size=1,
            max_size=3,
            unique_by=lambda leg: leg[0],
        )
    )
    power = _written(0.1, 50, "W")
    devices = draw(
        st.lists(
            st.tuples(_NAMES, power, _written(0.1, 9, "h")),
            max_size=2,
            unique_by=lambda device: device[0],
        )
    )
    return {
        "start": ["metric", draw(_NAMES)],
        "craft": [
            draw(st.sampled_from(list(HULL_SHAPES))),
            draw(_written(2, 6, "m", "yd")),
            draw(_written(50, 150, "cm")),
            draw(masses),
            draw(masses),
            draw(_written(20, 60, "cm") | st.just("-")),
        ],
        "aboard": [*(answer for load in loads for answer in load), "-"],
        "boxes": [*(answer for box in boxes for answer in box), "-"],
        "motor": [*(answer for mount in mounts for answer in mount), "-"],
        "legs": [*(answer for leg in legs for answer in leg), "-"],
        "devices": [*(answer for device in devices for answer in device), "-"],
        "limits": [
            draw(_NAMES),
            draw(st.sampled_from(["-", "900", "1,200.50", "$70"])),
            draw(masses | st.just("-")),
            draw(_written(2, 20, "h") | st.just("-")),
            draw(_written(0.5, 3, "deg") | st.just("-")),
            draw(_written(11, 90, "%")),
            draw(st.sampled_from(["fresh", "salt"])),
            draw(_written(0, 35, "degC") | _written(33, 90, "degF")),
            draw(st.sampled_from(["cost", "mass", "season"])),
        ],
        "owned": ["-"],
    }


@given(_answered())
@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_answers_read_back_to_the_same_values(answered: dict[str, list[str]]) -> None:
    outing = held([answer for group in answered.values() for answer in group], enter=False).outing
    assert outing.title == answered["start"][1]
    shape, length, beam, hull, plate, depth = answered["craft"]
    craft = outing.craft
    assert craft.shape == shape
    assert craft.waterline_length_m == quantity(length, "length")
    assert craft.waterline_beam_m == quantity(beam, "length")
    assert (craft.hull_mass_kg, craft.payload_limit_kg) == (
        quantity(hull, "mass"),
        quantity(plate, "mass"),
    )
    assert craft.depth_m == (None if depth == "-" else quantity(depth, "length"))
    loads = iter(answered["aboard"])
    for load in outing.aboard:
        assert (load.name, load.mass_kg) == (next(loads), quantity(next(loads), "mass"))
        _same_place(load.x_m, next(loads), craft.waterline_length_m)
    assert next(loads) == "-"
    boxes = iter(answered["boxes"])
    for box in craft.compartments:
        assert box.name == next(boxes)
        sides = [quantity(next(boxes), "length") for _ in range(3)]
        assert [box.length_m, box.width_m, box.height_m] == sides
        _same_place(box.x_m, next(boxes), craft.waterline_length_m)
    mounts = iter(answered["motor"])
    for mount in craft.mounts:
        assert mount.name.startswith({"side": "side bracket"}.get(place := next(mounts), place))
        assert mount.z_m == quantity(next(mounts), "length")
        shaft = next(mounts)
        assert mount.shaft_needed_m == (None if shaft == "-" else quantity(shaft, "length"))
    legs = iter(answered["legs"])
    for leg in outing.legs:
        assert (leg.name, leg.speed_m_s) == (next(legs), quantity(next(legs), "speed"))
        extent = next(legs)
        if leg.by_distance:
            metres = leg.speed_m_s * leg.duration_h * 3600
            assert metres == pytest.approx(quantity(extent, "length"))
        else:
            assert leg.duration_h == quantity(extent, "duration")
        assert leg.headwind_m_s == quantity(next(legs), "speed")
        assert leg.current_m_s == quantity(next(legs), "speed")
    devices = iter(answered["devices"])
    for device in outing.devices:
        assert device.name == next(devices)
        assert device.power_w == quantity(next(devices), "power")
        assert device.duration_h == quantity(next(devices), "duration")
    assert [next(legs), next(devices)] == ["-", "-"]
    currency, budget, lift, hours, trim, reserve, kind, temperature, by = answered["limits"]
    limits = outing.limits
    assert limits.recharge_within_h == (None if hours == "-" else quantity(hours, "duration"))
    assert limits.max_trim_rad == quantity("2 deg" if trim == "-" else trim, "angle")
    cents = {"-": None, "900": 90_000, "1,200.50": 120_050, "$70": 7_000}
    assert (outing.currency, limits.budget_cents) == (currency, cents[budget])
    assert limits.lift_kg == (None if lift == "-" else quantity(lift, "mass"))
    assert limits.reserve == quantity(reserve, "share")
    assert (outing.water.kind, outing.wish.by) == (kind, by)
    assert outing.water.temperature_c == quantity(temperature, "temperature")


def _same_place(x_m: float, typed: str, length_m: float) -> None:
    share = {"bow": 0.30, "aft": -0.15}
    if typed in share:
        assert x_m == pytest.approx(share[typed] * length_m, abs=0.006)
    else:
        assert x_m == quantity(typed, "length")


def test_a_bare_number_is_in_the_unit_of_the_answer_offered() -> None:
    talk = held_instead(
        ("Which units", "us"),
        ("How long is it", "14"),
        ("how wide", "31.5"),
        ("lowest edge", "12"),
        ("me: how heavy", "180"),
        ("me: where", "-10"),
        ("how fast", "3"),
        ("How far", "2"),
        ("lift", "40"),
        ("keep back", "25"),
        ("How cold", "60"),
    )
    outing = talk.outing
    craft, me, leg = outing.craft, outing.aboard[0], outing.legs[0]
    assert craft.waterline_length_m == quantity("14 ft", "length")
    assert craft.waterline_beam_m == quantity("31.5 in", "length")
    assert craft.depth_m == quantity("12 in", "length")
    assert (me.mass_kg, me.x_m) == (quantity("180 lb", "mass"), quantity("-10 in", "length"))
    assert leg.speed_m_s == quantity("3 mph", "speed")
    assert leg.speed_m_s * 3600 * leg.duration_h == pytest.approx(quantity("2 mi", "length"))
    assert outing.limits.lift_kg == quantity("40 lb", "mass")
    assert outing.limits.reserve == 0.25
    assert outing.water.temperature_c == quantity("60 degF", "temperature")


@pytest.mark.parametrize(
    ("called", "then", "shape"),
    [
        ("a kayak", "canoe", "canoe"),
        ("Kayak", "slender", "slender"),
        ("my kayak", ENTER, "sit-on-top"),
        ("a dinghy", None, "flat-bottomed"),
        ("an open canoe", None, "canoe"),
        ("sea kayak", None, "slender"),
    ],
)
def test_boats_by_the_names_people_give_them(called: str, then: str | None, shape: str) -> None:
    answers = ["metric", ENTER, called, *([then] if then is not None else [])]
    talk = held(answers)
    assert talk.outing.craft.shape == shape
    asked_again = any("A kayak: sit-on-top" in words for words, _ in talk.asked)
    assert asked_again == (then is not None)


def test_a_second_mount_with_its_own_height_and_shaft() -> None:
    talk = held_instead(
        ("motor hang", "stern"),
        ("above the keel", "45 cm"),
        ("shaft be there", "70 cm"),
        ("Another place", "side"),
        ("above the keel", "38"),
        ("shaft be there", "-"),
        ("Another place", "side"),
    )
    first, second, third = talk.outing.craft.mounts
    assert (first.name, first.z_m, first.shaft_needed_m) == ("stern", 0.45, 0.70)
    assert (second.name, second.z_m, second.shaft_needed_m) == ("side bracket", 0.38, None)
    assert third.name == "side bracket 2"


def test_the_shaft_offered_reaches_below_the_clamp_asked_for() -> None:
    talk = held_instead(("above the keel", "60 cm"))
    assert talk.outing.craft.mounts[0].shaft_needed_m == pytest.approx(0.75)


@pytest.mark.parametrize("word", ["off", "drift", "Paddled"])
def test_a_leg_may_be_drifted_or_paddled(word: str) -> None:
    talk = held_instead(("home: how fast", word), ("home: for how long", "45 min"))
    _, home = talk.outing.legs
    assert (home.motor, home.duration_h) == ("off", 0.75)


def test_owned_parts_are_told_apart_from_what_is_to_be_added() -> None:
    found = interview(
        lambda words, _: "plug-50a, my old motor" if "own already" in words else "",
        lambda _: None,
        parts=["plug-50a", "plug-70a"],
    )
    assert (found.own, found.to_add) == (["plug-50a"], ["my old motor"])
    text = outing_text(found)
    assert outing_from_text(text, "x").parts.own == ("plug-50a",)
    assert "# yours, not in the catalog yet: my old motor" in text


def test_nothing_is_invented_silently() -> None:
    """Each value of the file was typed, or is marked, or is a name."""
    typed = held_instead(("How long is it", "5 m"), ("how heavy", "70 kg"))
    for line in typed.text.splitlines():
        if re.match(r"[a-z_]+ = ", line) and not line.startswith("name"):
            told = "70 kg" in line or "5 m" in line
            assert told != (" # assumed" in line or " # offered" in line), line
    found = interview(lambda *_: "", lambda _: None)
    assert "craft: hull_height 18 cm" in found.assumed()
    marked = {
        line.split(" = ")[0] for line in outing_text(found).splitlines() if "# assumed" in line
    }
    listed = {word for line in found.assumed() for word in re.findall(r"[a-z_]+(?= -?[0-9])", line)}
    assert marked == listed


def test_back_asks_the_question_before_and_forgets_its_answer() -> None:
    talk = held(["metric", "First", "canoe", "<", "<", "Second", "flat-bottomed", "back", "canoe"])
    assert (talk.outing.title, talk.outing.craft.shape) == ("Second", "canoe")
    names = held_instead(("leg by leg", "back"))
    assert names.outing.legs[0].name == "back"


def test_back_at_the_first_question_and_after_a_wrong_answer() -> None:
    talk = held(["back", "metric", "Mine", "canoo", "<", "Ours"])
    assert "This is the first question." in talk.said
    assert talk.outing.title == "Ours"


def test_a_question_mark_explains_and_asks_again() -> None:
    talk = held_instead(("How high is the lowest edge", "?"))
    assert any("Keel to the lowest edge" in said for said in talk.said)
    assert talk.text == held([]).text


def test_quitting_keeps_answers_that_go_on_where_they_stopped() -> None:
    typed = ["us", "Mine", "kayak", "canoe", "14", "<", "15", ENTER, "quit"]
    left = iter(typed)
    session = Session(lambda *_: next(left), lambda _: None)
    with pytest.raises(QuitError):
        session.run(script)
    assert session.answers == ["us", "Mine", "kayak", "canoe", "15", ENTER]
    at_once = outing_text(interview(lambda *_: ENTER, lambda _: None, answers=session.answers))
    assert at_once == held([*session.answers]).text


def test_kept_answers_that_do_not_fit_any_more_are_asked_for_again() -> None:
    found = interview(lambda *_: ENTER, lambda _: None, answers=["us", "Mine", "hovercraft", "9"])
    assert (found.title, found.craft["shape"]) == ("Mine", "canoe")


def test_how_many_questions_are_left_goes_down_to_none() -> None:
    counts: list[int] = []

    def ask(*_: str) -> str:
        counts.append(session.asked_in_all(script) - len(session.answers))
        return ENTER

    session = Session(ask, lambda _: None)
    session.run(script)
    assert counts == list(range(len(counts), 0, -1))


def test_sketches_fit_a_narrow_screen() -> None:
    for sketch in (BOAT, PLACE, MOUNT):
        assert max(map(len, sketch.splitlines())) <= 38


def test_words_may_be_in_capitals() -> None:
    talk = held_instead(("craft", "Canoe"), ("Fresh or salt", "SALT"), ("least", "Mass"))
    outing = talk.outing
    assert (outing.craft.shape, outing.water.kind, outing.wish.by) == ("canoe", "salt", "mass")
    assert "= salt" in talk.said


def test_a_long_answer_that_cannot_be_used_is_said_back_in_short() -> None:
    talk = held(["metric", ENTER, "x" * 5000])
    assert any('"xxx' in said and '..."' in said for said in talk.said)
    assert max(map(len, talk.said)) < 300


def test_what_was_typed_before_going_back_is_offered_again() -> None:
    answers = ["metric", "Mine", "canoe", "5 m", "70 cm", "<", "<", ENTER, ENTER]
    talk = held(answers)
    offered = [offer for words, offer in talk.asked if "how wide" in words]
    assert offered == ["80 cm", "70 cm", "70 cm"]
    assert 'waterline_length = "5 m"' in talk.text
    assert 'waterline_beam = "70 cm"' in talk.text
    assert "offered" not in next(each for each in talk.text.splitlines() if "waterline_b" in each)


def test_what_was_typed_before_is_not_offered_where_it_cannot_be_read_any_more() -> None:
    answers = ["metric", ENTER, "canoe", "6 m", *[ENTER] * 6, "2.9 m", *["<"] * 8, "4 m"]
    talk = held(answers)
    where = [offer for words, offer in talk.asked if words.startswith("me: where")]
    assert where == ["middle", "2.9 m", "middle"]


@pytest.mark.parametrize(
    ("typed", "degrees"), [("5 cm", 1.146), ("5", 1.146), ("2 in", 1.164), ("1.5 deg", 1.5)]
)
def test_trim_is_asked_for_as_people_see_it(typed: str, degrees: float) -> None:
    """5 cm up and down at the ends of 5 m: the arctangent of 0.05 / 2.5."""
    talk = held_instead(("How long is it", "5 m"), ("bow or stern go down", typed))
    assert math.degrees(talk.outing.limits.max_trim_rad) == pytest.approx(degrees, abs=0.006)
    assert any(line.endswith(f"at bow and stern, {degrees:.2f} deg") for line in talk.said) or (
        typed == "1.5 deg" and "= 6.55 cm (2.58 in) at bow and stern, 1.5 deg" in talk.said
    )


def test_keys_nobody_was_asked_for_are_in_the_units_chosen() -> None:
    spare = [line for line in held(["us"]).text.splitlines() if line.startswith("# ")]
    assert '# depth = "12 in"' in "\n".join(spare)
    assert not [line for line in spare if ' cm"' in line or ' kg"' in line or ' km/h"' in line]
