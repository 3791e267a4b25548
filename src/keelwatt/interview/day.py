"""The legs of the day: driven, held, or drifted and paddled."""

from itertools import chain, repeat

from keelwatt.files.outing import Leg
from keelwatt.interview import usual
from keelwatt.interview.answers import OFFERED, Marked, Table
from keelwatt.interview.reading import Heard, checked, heard, kind_of_extent, understood
from keelwatt.interview.talk import Talk, with_unit
from keelwatt.units import UnitError, clean, quantity

OFF = "off"

SPEEDS = "Over the ground; wind and stream come later. Walking is 5 km/h (3 mph)."


def legs(talk: Talk, craft: usual.Usual) -> list[Table]:
    """The day, leg by leg."""
    known: list[Table] = []
    first, then = "Your day, leg by leg. The first?", "The next leg?"
    offers = chain(usual.LEGS, repeat(usual.ANOTHER_LEG))
    for leg, (wind,) in talk.named(Leg, known, offers, first, then, needed=True):
        speed = _speed(talk, leg, craft.speed)
        if speed == OFF:
            hours = talk.field(Leg, "hours", f"{leg}: for how long?", "1 h").text
            known.append({"name": leg, "motor": OFF, "hours": hours})
            continue
        extent = _extent(talk, quantity(speed, "speed"), craft.distance)
        around = talk.fields(
            Leg,
            ("headwind", "Wind against you? Below 0 if it helps.", wind),
            ("current", "Stream against you? Below 0 if it helps.", "0 km/h"),
        )
        known.append({"name": leg, "speed": speed, **extent, **around})
    return known


def _speed(talk: Talk, leg: str, usual_speed: str) -> str:
    """Over the ground, or that the motor is off."""
    words = f"{leg}: how fast, over the ground? 0 to hold a place, off to drift or paddle."
    offer = talk.offer(Leg, "speed", usual_speed)

    def read(typed: str) -> Heard:
        if typed.lower() in usual.ADRIFT:
            return Heard(OFF, OFF, "motor off; only devices draw")
        return heard(Leg, "speed", with_unit(typed, offer), us=talk.us)

    answer = talk.until(words, offer, read, SPEEDS)
    talk.say(f"= {answer.told}")
    return Marked(answer.text, OFFERED) if talk.session.entered else answer.text


def _extent(talk: Talk, speed_m_s: float, usual_distance: str) -> Table:
    """Distance or hours of a leg."""
    offered = "1 h" if speed_m_s == 0 else talk.offer(Leg, "distance", usual_distance)

    def read(typed: str) -> tuple[str, str, str]:
        text = clean(with_unit(typed, offered))
        kind = kind_of_extent(text)
        value = quantity(text, kind)
        if kind == "duration":
            checked(Leg, "duration_h", value, kind)
            return "hours", text, understood(value, kind, us=talk.us)
        if speed_m_s == 0:
            raise UnitError("is a distance, and the speed is 0", "write how long, as 1 h 30 min")
        checked(Leg, "duration_h", value / speed_m_s / 3600, None)
        hours = understood(value / speed_m_s / 3600, "duration")
        return "distance", text, f"{understood(value, kind, us=talk.us)}, {hours} at that speed"

    more = "A distance, as 4 mi, or hours, as 1 h 30 min."
    key, text, told = talk.until("How far, or how long?", offered, read, more)
    talk.say(f"= {told}")
    return {key: Marked(text, OFFERED) if talk.session.entered else text}
