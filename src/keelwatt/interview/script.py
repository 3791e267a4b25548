"""The interview: what is asked, in which order, and what follows from the answers."""

from collections.abc import Iterable, Iterator
from itertools import chain, repeat

from pydantic import BaseModel

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
from keelwatt.limits import DECLARED
from keelwatt.physics.shapes import HULL_SHAPES
from keelwatt.units import UnitError, clean, did_you_mean, quantity

STERN_SHARE = -0.48
SIDE_SHARE = -0.30
BESIDE_M = 0.03
"""Where a motor hangs: shares of the waterline's length, and how far outside the waterline."""


def interview(ask: Ask, say: Say) -> Answers:
    """Everything an outing needs, question by question.

    EOFError: if the answers end before the questions do.
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

    def _fields(self, model: type[BaseModel], *questions: tuple[str, str, str]) -> Table:
        """The answers to questions about keys of one table, each with what is offered."""
        return {
            key: self.talk.field(model, key, words, offered).text
            for key, words, offered in questions
        }

    def _named(
        self,
        model: type[BaseModel],
        known: list[Table],
        offers: Iterable[tuple[str, ...]],
        first: str,
        then: str,
        *,
        needed: bool = False,
    ) -> Iterator[tuple[str, tuple[str, ...]]]:
        """The name of each thing there is, and what is offered for it; the caller adds it."""
        words = first
        for offered, *rest in offers:
            names = [table["name"] for table in known]
            name = self.talk.name(model, words, offered, known=names, needed=needed and not known)
            if name is None:
                return
            yield name, tuple(rest)
            words = then

    def _craft(self) -> None:
        talk, craft = self.talk, self.found.craft
        kinds = "; ".join(f"{shape}: {size.words}" for shape, size in usual.USUAL.items())
        craft["shape"] = talk.field(Craft, "shape", f"What kind of craft? {kinds}.", "canoe").text
        self.usual = size = usual.USUAL[craft["shape"]]
        plate = "How much may it carry in all, by the builder's plate or papers?"
        craft |= self._fields(
            Craft,
            ("waterline_length", "How long is it where it meets the water?", size.length),
            ("waterline_beam", "And how wide there?", size.beam),
            ("hull_mass", "What does the empty hull weigh?", size.hull_mass),
            ("payload_limit", plate, size.plate),
        )
        words = "How high is the lowest edge water can come over, from the keel?"
        if depth := talk.optional(Craft, "depth", words, "-"):
            craft["depth"] = depth.text
        craft["hull_height"] = talk.offer(Craft, "hull_height", size.hull_height)
        self.length_m = quantity(craft["waterline_length"], "length")
        self.beam_m = quantity(craft["waterline_beam"], "length")

    def _aboard(self) -> None:
        talk, known = self.talk, self.found.aboard
        first = "Who or what is aboard, without motor and battery?"
        offers = chain(usual.LOADS, repeat(usual.ANOTHER_LOAD))
        for load, (mass, spot) in self._named(
            Load, known, offers, first, "Who or what else is aboard?"
        ):
            weight = talk.field(Load, "mass", f"{load}: how heavy?", mass).text
            sits = quantity(weight, "mass") >= usual.SITTING_KG
            height = talk.offer(Load, "z", self.usual.seat if sits else self.usual.floor)
            x = self._spot(f"{load}: where?", spot)
            known.append({"name": load, "mass": weight, "x": x, "y": "0 m", "z": height})

    def _compartments(self) -> None:
        known, size = self.found.compartments, self.usual
        first, then = "Where can a battery stand?", "Where else can a battery stand?"
        offers = chain(usual.COMPARTMENTS, repeat(usual.ANOTHER_COMPARTMENT))
        for box, (spot,) in self._named(Compartment, known, offers, first, then, needed=True):
            room = self._fields(
                Compartment,
                ("length", f"{box}: how much room from bow to stern?", size.room_length),
                ("width", "And across?", size.room_width),
                ("height", "And in height?", size.room_height),
            )
            x = self._spot(f"{box}: where?", spot)
            height = self.talk.offer(Compartment, "z", size.battery)
            known.append({"name": box, **room, "x": x, "y": "0 m", "z": height})

    def _motor(self) -> None:
        words = "Where does the motor go: stern, or side (a bracket beside the hull)?"
        place = self.talk.until(words, "stern", one_of("stern", "side"))
        self.talk.say(f"= {place}")
        share = STERN_SHARE if place == "stern" else SIDE_SHARE
        exponent = HULL_SHAPES[self.found.craft["shape"]].waterplane_fineness
        half_m = self.beam_m / 2 * (1 - abs(2 * share) ** exponent)
        self.found.mounts.append(
            {
                "name": "stern" if place == "stern" else "side bracket",
                "x": self._text(share * self.length_m),
                "y": "0 m" if place == "stern" else self._text(half_m + BESIDE_M),
                "z": self.talk.offer(Mount, "z", self.usual.clamp),
            }
        )

    def _day(self) -> None:
        known = self.found.legs
        first, then = "Your day, leg by leg. The first?", "The next leg?"
        offers = chain(usual.LEGS, repeat(usual.ANOTHER_LEG))
        for leg, (wind,) in self._named(Leg, known, offers, first, then, needed=True):
            ask = f"{leg}: how fast, over the ground? 0 to hold a place."
            speed = self.talk.field(Leg, "speed", ask, self.usual.speed).text
            table = {"name": leg, "speed": speed} | self._extent(quantity(speed, "speed"))
            table |= self._fields(
                Leg,
                ("headwind", "Wind against you? Below 0 if it helps.", wind),
                ("current", "Stream against you? Below 0 if it helps.", "0 km/h"),
            )
            known.append(table)

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
        known = self.found.devices
        first = "Does anything else draw on the battery, a phone or a lamp?"
        then = "Anything else that draws on it?"
        for device, (power, hours) in self._named(Device, known, repeat(usual.DEVICE), first, then):
            table = self._fields(
                Device,
                ("power", f"What does {device} draw?", power),
                ("hours", "For how long in all?", hours),
            )
            known.append({"name": device, **table})

    def _limits(self) -> None:
        talk, found = self.talk, self.found
        words = "What currency are your prices in? Any word."
        found.currency = talk.field(Outing, "currency", words, "crowns").text
        for declared in DECLARED:
            if declared.question:
                words = declared.question.format(currency=found.currency)
                if answer := talk.optional(Limits, declared.key, words, declared.offered):
                    found.limits[declared.key] = answer.text
        words = "How much charge to keep back for trouble?"
        found.limits |= self._fields(Limits, ("reserve", words, "20 %"))
        found.water = self._fields(
            Water,
            ("kind", "Fresh or salt water?", "fresh"),
            ("temperature", "How cold does the water get?", "15 degC"),
        )
        words = "What should be least: cost, mass, or what a season costs (season)?"
        found.wish = self._fields(Wish, ("by", words, "cost"))

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
