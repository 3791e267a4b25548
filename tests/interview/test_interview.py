"""The interview: what Enter takes, wrong answers, and files that say what was answered."""

import tomllib
from functools import cache

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from interview.scripted import ENTER, held, held_instead
from keelwatt.explain.advise import decide
from keelwatt.files.catalog.reader import Catalog, read_catalog
from keelwatt.files.catalog.shipped import shipped_catalog
from keelwatt.interview.file import quoted
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


@pytest.mark.parametrize("shape", ["canoe", "flat-bottomed"])
def test_so_does_a_motor_beside_the_hull(shape: str) -> None:
    talk = held_instead(("craft", shape), ("Where does the motor go", "side"))
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
    ("words", "wrong", "says"),
    [
        ("Which units", "imperial", "write metric or us"),
        ("called", "two\x07bells", "unprintable characters"),
        ("craft", "canoo", 'did you mean "canoe"?'),
        ("How long is it", "4.6", 'has no unit: write "1.2 m" or "12 ft 6 in"'),
        ("How long is it", "4.6 kg", '"kg" is a mass, not a length'),
        ("How long is it", "40 m", "is above 20 m"),
        ("how wide", "nothing", "does not begin with a number"),
        ("hull weigh", "0 kg", "is not above 0"),
        ("hull weigh", "1,250 kg", "can be read in two ways"),
        ("me: where", "sterm", 'did you mean "stern"?'),
        ("me: where", "9 m", "lies outside the boat"),
        ("else is aboard", "me", "has been named before"),
        ("a battery stand", "-", "there has to be one"),
        ("a battery stand", "fore/aft", "holds a /"),
        ("in height", "-3 cm", "is not above 0"),
        ("motor go", "bow", "write stern or side"),
        ("leg by leg", "-", "there has to be one"),
        ("how fast", "99 km/h", "is above 7 m/s"),
        ("How far", "0 km", "is not above 0"),
        ("How far", "soon", "does not begin with a number"),
        ("spend", "1.999", "two"),
        ("spend", "lots", "is not a number"),
        ("keep back", "5 %", "is below 10 %"),
        ("Fresh or salt", "brackish", 'write "fresh" or "salt"'),
        ("How cold", "40 degC", "is above 35"),
        ("How cold", "15", "has no unit"),
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
    lambda text: text.strip() == text and text not in ("", "-") and "/" not in text
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
        "motor": [draw(st.sampled_from(["stern", "side"]))],
        "legs": [*(answer for leg in legs for answer in leg), "-"],
        "devices": [*(answer for device in devices for answer in device), "-"],
        "limits": [
            draw(_NAMES),
            draw(st.sampled_from(["-", "900", "1,200.50", "$70"])),
            draw(masses | st.just("-")),
            draw(_written(11, 90, "%")),
            draw(st.sampled_from(["fresh", "salt"])),
            draw(_written(0, 35, "degC") | _written(33, 90, "degF")),
            draw(st.sampled_from(["cost", "mass", "season"])),
        ],
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
    currency, budget, lift, reserve, kind, temperature, by = answered["limits"]
    limits = outing.limits
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


def test_words_may_be_in_capitals() -> None:
    talk = held_instead(("craft", "Canoe"), ("Fresh or salt", "SALT"), ("least", "Mass"))
    outing = talk.outing
    assert (outing.craft.shape, outing.water.kind, outing.wish.by) == ("canoe", "salt", "mass")
    assert "= salt" in talk.said


def test_a_long_answer_that_cannot_be_used_is_said_back_in_short() -> None:
    talk = held(["metric", ENTER, "x" * 5000])
    assert any('"xxx' in said and '..."' in said for said in talk.said)
    assert max(map(len, talk.said)) < 300
