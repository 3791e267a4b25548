"""The interview: what is asked, in which order, and what follows from the answers."""

from itertools import chain, repeat

from keelwatt.files.outing import (
    Compartment,
    Craft,
    Device,
    Leg,
    Limits,
    Load,
    Mount,
    Outing,
    Water,
    Wish,
)
from keelwatt.interview import usual
from keelwatt.interview.answers import Answers, Table
from keelwatt.interview.reading import checked, kind_of_extent, one_of, understood
from keelwatt.interview.talk import Ask, Say, Talk
from keelwatt.physics.hull import SHAPES
from keelwatt.units import UnitError, clean, did_you_mean, quantity

STERN_SHARE = -0.48
SIDE_SHARE = -0.30
BESIDE_M = 0.03
"""Where a motor hangs: shares of the waterline's length, and how far outside the waterline."""


def interview(ask: Ask, say: Say) -> Answers:
    """Everything an outing needs, question by question.

    Raises
    ------
    EOFError
        If the answers end before the questions do.
    """
    say("Enter takes the answer in brackets. Any unit will do: 12 ft 6 in, 3.8 m, 380 cm.")
    units = Talk(ask, say).until(
        "Which units shall be offered, metric or us?", "metric", one_of("metric", "us")
    )
    return _Interview(Talk(ask, say, us=units == "us")).answers()


class _Interview:
    """``length_m`` and ``beam_m`` are the waterline's, once asked."""

    def __init__(self, talk: Talk) -> None:
        self.talk = talk
        self.found = Answers()
        self.length_m = self.beam_m = 0.0
        self.usual = usual.USUAL["canoe"]

    def answers(self) -> Answers:
        talk, found = self.talk, self.found
        found.title = talk.field(Outing, "title", "What is this outing called?", "My outing").text
        for topic in (
            self._craft,
            self._aboard,
            self._compartments,
            self._motor,
            self._day,
            self._devices,
            self._limits,
        ):
            talk.say("")
            topic()
        return found

    def _craft(self) -> None:
        talk, craft = self.talk, self.found.craft
        kinds = "; ".join(f"{shape}: {size.words}" for shape, size in usual.USUAL.items())
        craft["shape"] = talk.field(Craft, "shape", f"What kind of craft? {kinds}.", "canoe").text
        self.usual = size = usual.USUAL[craft["shape"]]
        self.length_m = self._length("waterline_length", "How long is it where it meets the water?")
        self.beam_m = self._length("waterline_beam", "And how wide there?")
        for key, words, offered in (
            ("hull_mass", "What does the empty hull weigh?", size.hull_mass),
            (
                "payload_limit",
                "How much may it carry in all, by the builder's plate or papers?",
                size.plate,
            ),
        ):
            craft[key] = talk.field(Craft, key, words, offered).text
        craft["hull_height"] = talk.offer(Craft, "hull_height", size.hull_height)

    def _length(self, key: str, words: str) -> float:
        offered = self.usual.length if key == "waterline_length" else self.usual.beam
        answer = self.talk.field(Craft, key, words, offered)
        self.found.craft[key] = answer.text
        return quantity(answer.text, "length")

    def _aboard(self) -> None:
        talk, known = self.talk, self.found.aboard
        words = "Who or what is aboard, without motor and battery?"
        for name, mass, spot in chain(usual.LOADS, repeat(usual.ANOTHER_LOAD)):
            load = talk.name(Load, words, name, known=_names(known))
            if load is None:
                return
            weight = talk.field(Load, "mass", f"{load}: how heavy?", mass)
            sits = quantity(weight.text, "mass") >= usual.SITTING_KG
            height = self.usual.seat if sits else self.usual.floor
            known.append(
                {
                    "name": load,
                    "mass": weight.text,
                    "x": self._spot(f"{load}: where?", spot),
                    "y": "0 m",
                    "z": talk.offer(Load, "z", height),
                }
            )
            words = "Who or what else is aboard?"

    def _compartments(self) -> None:
        talk, known = self.talk, self.found.compartments
        words = "Where can a battery stand?"
        for name, spot in chain(usual.COMPARTMENTS, repeat(usual.ANOTHER_COMPARTMENT)):
            box = talk.name(Compartment, words, name, known=_names(known), needed=not known)
            if box is None:
                return
            table = {"name": box}
            for key, ask, offered in zip(
                ("length", "width", "height"),
                (f"{box}: how much room from bow to stern?", "And across?", "And in height?"),
                self.usual.room,
                strict=True,
            ):
                table[key] = talk.field(Compartment, key, ask, offered).text
            table["x"] = self._spot(f"{box}: where?", spot)
            table["y"] = "0 m"
            table["z"] = talk.offer(Compartment, "z", self.usual.battery)
            known.append(table)
            words = "Where else can a battery stand?"

    def _motor(self) -> None:
        words = "Where does the motor go: stern, or side (a bracket beside the hull)?"
        place = self.talk.until(words, "stern", one_of("stern", "side"))
        self.talk.say(f"= {place}")
        share = STERN_SHARE if place == "stern" else SIDE_SHARE
        half_m = (
            self.beam_m / 2 * (1 - abs(2 * share) ** SHAPES[self.found.craft["shape"]].fineness)
        )
        self.found.mounts.append(
            {
                "name": "stern" if place == "stern" else "side bracket",
                "x": self._text(share * self.length_m),
                "y": "0 m" if place == "stern" else self._text(half_m + BESIDE_M),
                "z": self.talk.offer(Mount, "z", self.usual.clamp),
            }
        )

    def _day(self) -> None:
        talk, known = self.talk, self.found.legs
        words = "Your day, leg by leg. The first?"
        for name, wind in chain(usual.LEGS, repeat(usual.ANOTHER_LEG)):
            leg = talk.name(Leg, words, name, known=_names(known), needed=not known)
            if leg is None:
                return
            speed = talk.field(
                Leg,
                "speed",
                f"{leg}: how fast, over the ground? 0 to hold a place.",
                self.usual.speed,
            )
            table = {"name": leg, "speed": speed.text} | self._extent(quantity(speed.text, "speed"))
            for key, ask, offered in (
                ("headwind", "Wind against you? Below 0 if it helps.", wind),
                ("current", "Stream against you? Below 0 if it helps.", "0 km/h"),
            ):
                table[key] = talk.field(Leg, key, ask, offered).text
            known.append(table)
            words = "The next leg?"

    def _extent(self, speed_m_s: float) -> Table:
        """Distance or hours of a leg."""

        def read(typed: str) -> tuple[str, str, str]:
            kind, text = kind_of_extent(typed), clean(typed)
            value = quantity(text, kind)
            if kind == "duration":
                checked(Leg, "duration_h", value, kind)
                return "hours", text, understood(value, kind)
            if speed_m_s == 0:
                raise UnitError(
                    "is a distance, and the speed is 0", "write how long, as 1 h 30 min"
                )
            checked(Leg, "duration_h", value / speed_m_s / 3600, None)
            hours = understood(value / speed_m_s / 3600, "duration")
            return "distance", text, f"{understood(value, kind)}, {hours} at that speed"

        offered = "1 h" if speed_m_s == 0 else self.talk.offer(Leg, "distance", self.usual.distance)
        key, text, told = self.talk.until("How far, or how long?", offered, read)
        self.talk.say(f"= {told}")
        return {key: text}

    def _devices(self) -> None:
        talk, known = self.talk, self.found.devices
        name, power, hours = usual.DEVICE
        words = "Does anything else draw on the battery, a phone or a lamp?"
        while (device := talk.name(Device, words, name, known=_names(known))) is not None:
            table = {"name": device}
            table["power"] = talk.field(Device, "power", f"What does {device} draw?", power).text
            table["hours"] = talk.field(Device, "hours", "For how long in all?", hours).text
            known.append(table)
            words = "Anything else that draws on it?"

    def _limits(self) -> None:
        talk, found = self.talk, self.found
        found.currency = talk.field(
            Outing, "currency", "What currency are your prices in? Any word.", "crowns"
        ).text
        for key, words, offered in (
            ("budget", f"The most you want to spend, in {found.currency}?", "-"),
            ("lift", "The heaviest single piece you can lift?", "25 kg"),
        ):
            answer = talk.optional(Limits, key, words, offered)
            if answer:
                found.limits[key] = answer.text
        words = "How much charge to keep back for trouble?"
        found.limits["reserve"] = talk.field(Limits, "reserve", words, "20 %").text
        found.water["kind"] = talk.field(Water, "kind", "Fresh or salt water?", "fresh").text
        words = "How cold does the water get?"
        found.water["temperature"] = talk.field(Water, "temperature", words, "15 degC").text
        words = "What should be least: cost, mass, or what a season costs (season)?"
        found.wish["by"] = talk.field(Wish, "by", words, "cost").text

    def _spot(self, words: str, offered: str) -> str:
        """Where something lies along the boat: a word, or a distance forward of the middle."""

        def read(typed: str) -> str:
            if typed.lower() in usual.SPOTS:
                return self._text(usual.SPOTS[typed.lower()] * self.length_m)
            if not any(sign.isdigit() for sign in typed):
                hint = did_you_mean(typed, usual.SPOTS)
                raise UnitError("is not a place known here", f"{hint}write {self._spots}")
            if abs(quantity(typed, "length")) > self.length_m / 2:
                raise UnitError("lies outside the boat", f"write {self._spots}")
            return clean(typed)

        words += f" {self._spots}, forward of the middle."
        text = self.talk.until(words, offered, read)
        x_m = quantity(text, "length")
        told = understood(abs(x_m), "length")
        off = f"{told} {'forward' if x_m > 0 else 'aft'} of the middle" if x_m else "the middle"
        self.talk.say(f"= {off}")
        return text

    _spots = f"{', '.join(usual.SPOTS)}, or a distance such as 30 cm or -30 cm"

    def _text(self, length_m: float) -> str:
        """To the nearest centimetre or inch."""
        return f"{length_m / 0.0254:.0f} in" if self.talk.us else f"{100 * length_m:.0f} cm"


def _names(tables: list[Table]) -> list[str]:
    return [table["name"] for table in tables]
