"""The interview: what is asked, in which order, and what follows from the answers."""

import re
from collections.abc import Collection, Iterable
from itertools import chain, count, repeat

from keelwatt.files.outing import (
    Compartment,
    Craft,
    Device,
    Limits,
    Load,
    Mount,
    Outing,
    Water,
    Wish,
)
from keelwatt.interview import usual
from keelwatt.interview.answers import ASSUMED, OFFERED, Answers, Marked
from keelwatt.interview.day import legs
from keelwatt.interview.reading import heard, one_of, round_length, understood
from keelwatt.interview.session import HOW, Ask, Say, Session
from keelwatt.interview.sketches import BOAT, MOUNT, PLACE
from keelwatt.interview.talk import NOTHING, Slope, Talk, with_unit
from keelwatt.limits import DECLARED
from keelwatt.physics.shapes import HULL_SHAPES
from keelwatt.units import UnitError, clean, did_you_mean, quantity

STERN_SHARE = -0.48
SIDE_SHARE = -0.30
BESIDE_M, SHAFT_BELOW_M = 0.03, 0.15
"""Where a motor hangs: shares of the waterline's length, and how far outside the waterline; and how
much longer a shaft is than its clamp is high: draft 10 cm, propeller 25 cm under (from memory)."""


def interview(
    ask: Ask, say: Say, *, parts: Collection[str] = (), answers: Iterable[str] = ()
) -> Answers:
    """Everything an outing needs, question by question.

    ``parts``: ids of the catalog, for what is owned; ``answers``: typed at another time.
    EOFError: if the answers end before the questions do.
    """
    session = Session(ask, say, list(answers))
    return session.run(lambda session: script(session, parts))


def script(session: Session, parts: Collection[str] = (), units: str = "metric") -> Answers:
    """What the answers of a session come to; ``units``: offered first, metric or us."""
    session.tell(f"{HOW} and keeps your answers. Any unit will do: 12 ft 6 in, 3.8 m, 380 cm.")
    chosen = Talk(session).until(
        "Which units shall be offered, metric or us?",
        units,
        one_of("metric", "us"),
        "A number without a unit is then taken in the unit of the answer in brackets.",
    )
    return _Interview(Talk(session, us=chosen == "us"), parts).answers()


class _Interview:
    """``length_m`` and ``beam_m`` are the waterline's, once asked."""

    def __init__(self, talk: Talk, parts: Collection[str]) -> None:
        self.talk = talk
        self.parts = parts
        self.found = Answers(us=talk.us)
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
            self._legs,
            self._devices,
            self._limits,
            self._owned,
        ):
            talk.say("")
            topic()
        return found

    def _craft(self) -> None:
        talk, craft = self.talk, self.found.craft
        craft["shape"] = self._shape()
        self.usual = size = usual.USUAL[craft["shape"]]
        talk.say(BOAT)
        plate = "How much may it carry in all, by the builder's plate or papers?"
        craft |= self.talk.fields(
            Craft,
            ("waterline_length", "How long is it where it meets the water?", size.length),
            ("waterline_beam", "And how wide there?", size.beam),
            ("hull_mass", "What does the empty hull weigh?", size.hull_mass),
            ("payload_limit", plate, size.plate),
        )
        words = "How high is the lowest edge water can come over, from the keel?"
        if depth := talk.optional(Craft, "depth", words, "-"):
            craft["depth"] = depth.text
        craft["hull_height"] = talk.assumed(Craft, "hull_height", size.hull_height)
        self.length_m = quantity(craft["waterline_length"], "length")
        self.beam_m = quantity(craft["waterline_beam"], "length")

    def _shape(self) -> str:
        """A kayak is asked about once more: it may be either."""

        def read(typed: str) -> str:
            word = re.sub("^(a|an|my) ", "", typed.lower())
            if word == "kayak":
                return word
            return heard(Craft, "shape", usual.CALLED.get(word, word)).text

        talk = self.talk
        kinds = "; ".join(f"{shape}: {size.words}" for shape, size in usual.USUAL.items())
        shape = talk.until(f"What kind of craft? {kinds}.", "canoe", read, usual.KAYAK)
        if shape == "kayak":
            shape = talk.until(usual.KAYAK, "sit-on-top", one_of("sit-on-top", "canoe", "slender"))
        talk.say(f"= {shape}")
        return Marked(shape, OFFERED) if talk.session.entered else shape

    def _aboard(self) -> None:
        talk, known = self.talk, self.found.aboard
        first = "Who or what is aboard, without motor and battery?"
        offers = chain(usual.LOADS, repeat(usual.ANOTHER_LOAD))
        for load, (mass, spot) in self.talk.named(
            Load, known, offers, first, "Who or what else is aboard?"
        ):
            weight = talk.field(Load, "mass", f"{load}: how heavy?", mass).text
            sits = quantity(weight, "mass") >= usual.SITTING_KG
            height = talk.assumed(Load, "z", self.usual.seat if sits else self.usual.floor)
            x = self._spot(f"{load}: where?", spot)
            known.append({"name": load, "mass": weight, "x": x, "y": self._middle, "z": height})

    def _compartments(self) -> None:
        known, size = self.found.compartments, self.usual
        first, then = "Where can a battery stand?", "Where else can a battery stand?"
        offers = chain(usual.COMPARTMENTS, repeat(usual.ANOTHER_COMPARTMENT))
        for box, (spot,) in self.talk.named(Compartment, known, offers, first, then, needed=True):
            room = self.talk.fields(
                Compartment,
                ("length", f"{box}: how much room from bow to stern?", size.room_length),
                ("width", "And across?", size.room_width),
                ("height", "And in height?", size.room_height),
            )
            x = self._spot(f"{box}: where?", spot)
            height = self.talk.assumed(Compartment, "z", size.battery)
            known.append({"name": box, **room, "x": x, "y": self._middle, "z": height})

    def _motor(self) -> None:
        self.talk.say(MOUNT)
        words = "Where can the motor hang: stern, or side (a bracket beside the hull)?"
        place = self.talk.until(words, "stern", one_of("stern", "side"))
        while place != NOTHING:
            self.talk.say(f"= {place}")
            self._mount(place)
            words = f"Another place for it: stern, side, or {NOTHING} for no more?"
            place = self.talk.until(words, NOTHING, one_of("stern", "side", NOTHING))

    def _mount(self, place: str) -> None:
        known = self.found.mounts
        called = "stern" if place == "stern" else "side bracket"
        taken = {mount["name"] for mount in known}
        names = chain([called], (f"{called} {number}" for number in count(2)))
        name = next(each for each in names if each not in taken)
        share = STERN_SHARE if place == "stern" else SIDE_SHARE
        exponent = HULL_SHAPES[self.found.craft["shape"]].waterplane_fineness
        half_m = self.beam_m / 2 * (1 - abs(2 * share) ** exponent)
        clamp = f"{name}: how high is the clamp above the keel?"
        mount = {
            "name": name,
            "x": Marked(self._text(share * self.length_m), ASSUMED),
            "y": self._middle
            if place == "stern"
            else Marked(self._text(half_m + BESIDE_M), ASSUMED),
            "z": self.talk.field(Mount, "z", clamp, self.usual.clamp).text,
        }
        below = "How long must the shaft be there, so that the propeller stays under?"
        least = f"{100 * (quantity(mount['z'], 'length') + SHAFT_BELOW_M):.0f} cm"
        if shaft := self.talk.optional(Mount, "shaft_needed", below, least):
            mount["shaft_needed"] = shaft.text
        known.append(mount)

    def _legs(self) -> None:
        self.found.legs = legs(self.talk, self.usual)

    def _devices(self) -> None:
        known = self.found.devices
        first = "Does anything else draw on the battery, a phone or a lamp?"
        then = "Anything else that draws on it?"
        offers = repeat(usual.DEVICE)
        for device, (power, hours) in self.talk.named(Device, known, offers, first, then):
            table = self.talk.fields(
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
                ends = self._ends if declared.key == "max_trim" else None
                if answer := talk.optional(Limits, declared.key, words, declared.offered, ends):
                    found.limits[declared.key] = answer.text
        words = "How much charge to keep back for trouble?"
        found.limits |= self.talk.fields(Limits, ("reserve", words, "20 %"))
        found.water = self.talk.fields(
            Water,
            ("kind", "Fresh or salt water?", "fresh"),
            ("temperature", "How cold does the water get?", "15 degC"),
        )
        words = "What should be least: cost, mass, or what a season costs (season)?"
        found.wish = self.talk.fields(Wish, ("by", words, "cost"))

    def _owned(self) -> None:
        """Ids of the catalog; whatever else is named is to be added to it."""

        def read(typed: str) -> tuple[list[str], list[str]]:
            named = [word for part in typed.split(",") if (word := part.strip())]
            if not typed.isprintable():
                raise UnitError("contains unprintable characters", "type it again")
            named = [] if typed == NOTHING else named
            known = [id_ for id_ in named if id_ in self.parts]
            return known, [name for name in named if name not in known]

        words = (
            "Which parts do you own already? Ids of the catalog with commas between, any words "
            f"for what is not in it, or {NOTHING} for none."
        )
        more = f"The ids: {', '.join(self.parts)}." if self.parts else ""
        self.found.own, self.found.to_add = self.talk.until(words, NOTHING, read, more)
        for name in self.found.own:
            self.talk.say(f"= {name}: costs nothing")
        for name in self.found.to_add:
            self.talk.say(f"= not in the catalog: {name}. {did_you_mean(name, self.parts)}".strip())

    def _spot(self, words: str, offered: str) -> str:
        """Where something lies along the boat: a word, or a distance forward of the middle."""

        def read(typed: str) -> str:
            if typed.lower() in usual.SPOTS:
                return self._text(usual.SPOTS[typed.lower()] * self.length_m)
            typed = with_unit(typed, self._text(0.0))
            if not any(sign.isdigit() for sign in typed):
                hint = did_you_mean(typed, usual.SPOTS)
                raise UnitError("is not a place known here", f"{hint}write {self._spots}")
            if abs(quantity(typed, "length")) > self.length_m / 2:
                raise UnitError("lies outside the boat", f"write {self._spots}")
            return clean(typed)

        words += f" {self._spots}, forward of the middle."
        text = self.talk.until(words, offered, read, PLACE)
        x_m = quantity(text, "length")
        told = understood(abs(x_m), "length", us=self.talk.us)
        off = f"{told} {'forward' if x_m > 0 else 'aft'} of the middle" if x_m else "the middle"
        self.talk.say(f"= {off}")
        return Marked(text, OFFERED) if self.talk.session.entered else text

    @property
    def _ends(self) -> Slope:
        return Slope(self.length_m / 2, "at bow and stern")

    @property
    def _spots(self) -> str:
        ahead = self._text(0.3)
        return f"{', '.join(usual.SPOTS)}, or a distance such as {ahead} or -{ahead}"

    @property
    def _middle(self) -> str:
        return Marked(self._text(0.0), ASSUMED)

    def _text(self, length_m: float) -> str:
        return round_length(length_m, us=self.talk.us)
