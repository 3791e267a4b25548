"""The boat with its kit as things at places, numbered alike in every view."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise, product
from math import radians, tan
from string import ascii_uppercase

from keelwatt import words
from keelwatt.boat.load_case import LoadCase
from keelwatt.explain.advise import Advice
from keelwatt.explain.balance import Balance
from keelwatt.files.kit import grams
from keelwatt.files.outing import Load, Place
from keelwatt.physics.stowage import Triple
from keelwatt.proof import Proof

MOST_LOADS = 12
"""So many loads, the heaviest, are numbered; the others are dots."""

SIDES_M = 0.10
"""How far the sides are drawn above the water at the least; nobody gives their height."""


@dataclass(frozen=True)
class Thing:
    """Something at a place, by its middle, and its mark; ``told`` is its mass or its use."""

    sign: str
    name: str
    told: str
    at: Place
    size_m: Triple = (0.0, 0.0, 0.0)
    chosen: bool = False


@dataclass(frozen=True)
class Tilt:
    """``slope`` of the boat as drawn, below 0 to the left: ``steeper`` times as it is."""

    slope: float
    steeper: int


STEEPER, STEEPEST, WET = 5, 0.5, 0.8
"""Trim and heel are drawn at the most so many times as steep as they are, never steeper than a
slope, and where they are small so that the side that rises sinks its keel by a share of the
draught yet: a boat out of the water looks wrong."""


def tilt(tilt_deg: float, towards: float, *, half_m: float, draft_m: float) -> Tilt:
    """As drawn, of a boat whose weight lies to the right if ``towards`` is above 0."""
    slope = tan(radians(min(tilt_deg, 89.0)))
    steeper = int(min(STEEPER, max(1.0, WET * draft_m / max(1e-9, half_m * slope))))
    drawn = min(STEEPEST, steeper * slope)
    return Tilt(drawn if towards > 0 else -drawn, steeper)


@dataclass(frozen=True)
class Scene:
    """One kit aboard one craft."""

    case: LoadCase
    proof: Proof
    balance: Balance

    @classmethod
    def of(cls, advice: Advice) -> "Scene":
        if advice.proof is None:
            raise ValueError("without a kit there is no boat to draw")
        return cls(advice.case, advice.proof, advice.balance)

    @cached_property
    def loads(self) -> tuple[Thing, ...]:
        """The heaviest loads, numbered in the outing's order."""
        heaviest = sorted(self.case.outing.aboard, key=lambda load: -load.mass_kg)[:MOST_LOADS]
        shown = [load for load in self.case.outing.aboard if load in heaviest]
        return tuple(
            Thing(str(number), load.name, words.kilograms(grams(load.mass_kg)), load)
            for number, load in enumerate(shown, start=1)
        )

    @cached_property
    def lighter(self) -> tuple[Load, ...]:
        shown = [thing.at for thing in self.loads]
        return tuple(load for load in self.case.outing.aboard if load not in shown)

    @cached_property
    def compartments(self) -> tuple[Thing, ...]:
        kit, chosen = self.proof.assessment.kit, self.proof.chosen
        bank_g = kit.units * grams(chosen.battery.mass_kg) + self.proof.assessment.totals.held_g
        boxed = "bank in boxes" if chosen.box else "bank"
        bank = f"{boxed}, {words.kilograms(bank_g)}"
        things = []
        for number, box in enumerate(self.case.outing.craft.compartments):
            here, size_m = box == chosen.compartment, box.size_m
            # Elsewhere than below the bank, as if the place were the middle, above the keel.
            above_keel_m = max(min(0.0, box.z_m), box.z_m - box.height_m / 2)
            middle_m = (self.balance.floor_m if here else above_keel_m) + box.height_m / 2
            middle = Place(x_m=box.x_m, y_m=box.y_m, z_m=middle_m)
            told = bank if here else "free"
            things.append(Thing(_letter(number), box.name, told, middle, size_m, here))
        return tuple(things)

    @cached_property
    def mounts(self) -> tuple[Thing, ...]:
        chosen = self.proof.chosen
        motor = f"motor, {words.kilograms(grams(chosen.motor.mass_kg))}"
        things = []
        for number, mount in enumerate(self.case.outing.craft.mounts, len(self.compartments)):
            here = mount == chosen.mount
            told = motor if here else "free"
            things.append(Thing(_letter(number), mount.name, told, mount, chosen=here))
        return tuple(things)

    @cached_property
    def controllers(self) -> tuple[Thing, ...]:
        """The controller, if it stands by itself."""
        controller, at = self.proof.chosen.controller, self.case.outing.craft.controller_at
        if controller is None or at is None:
            return ()
        sign = _letter(len(self.compartments) + len(self.mounts))
        return (Thing(sign, "controller", words.kilograms(self.proof.chosen.controller_g), at),)

    @cached_property
    def propeller(self) -> Place:
        """Its middle: the shaft set to the length the mount needs."""
        motor, mount = self.proof.chosen.motor, self.proof.chosen.mount
        depth_m = min(mount.shaft_needed_m or motor.shaft_m, motor.shaft_m)
        return Place(x_m=mount.x_m, y_m=mount.y_m, z_m=mount.z_m - depth_m)

    @cached_property
    def shaft_top(self) -> Place:
        at = self.propeller
        return Place(x_m=at.x_m, y_m=at.y_m, z_m=at.z_m + self.proof.chosen.motor.shaft_m)

    @cached_property
    def cable(self) -> tuple[Place, ...]:
        """Corners of its run, from stop to stop along the boat, then across, then up or down."""
        chosen = self.proof.chosen
        stops = (chosen.compartment, *(thing.at for thing in self.controllers), chosen.mount)
        corners: list[Place] = [stops[0]]
        for start, end in pairwise(stops):
            along = Place(x_m=end.x_m, y_m=start.y_m, z_m=start.z_m)
            corners += [along, Place(x_m=end.x_m, y_m=end.y_m, z_m=start.z_m), end]
        return tuple(corners)

    @cached_property
    def trim_drawn(self) -> Tilt:
        afloat, half_m = self.balance, self.case.outing.craft.waterline_length_m / 2
        return tilt(afloat.trim_deg, afloat.mass.x_m, half_m=half_m, draft_m=afloat.draft_m)

    @cached_property
    def heel_drawn(self) -> Tilt:
        afloat, half_m = self.balance, self.case.outing.craft.waterline_beam_m / 2
        return tilt(afloat.heel_deg, afloat.mass.y_m, half_m=half_m, draft_m=afloat.draft_m)

    @cached_property
    def rail_m(self) -> float:
        """The height the sides are drawn to: the depth, where it is given."""
        tops = [thing.at.z_m + thing.size_m[2] / 2 for thing in self.compartments]
        return self.depth_m or max(*tops, self.balance.draft_m + SIDES_M)

    @property
    def depth_m(self) -> float | None:
        return self.case.outing.craft.depth_m

    @property
    def corners(self) -> Iterator[Triple]:
        """What a drawing has to hold, as the corners of boxes."""
        craft = self.case.outing.craft
        half, beam = craft.waterline_length_m / 2, craft.waterline_beam_m / 2
        yield from product((-half, half), (-beam, beam), (0.0, self.rail_m))
        for thing in (*self.compartments, *self.mounts, *self.controllers):
            at, size = thing.at, [side / 2 for side in thing.size_m]
            yield from product(
                *((m - s, m + s) for m, s in zip((at.x_m, at.y_m, at.z_m), size, strict=True))
            )
        for at in (*self.case.outing.aboard, self.propeller, self.shaft_top):
            yield at.x_m, at.y_m, at.z_m


def _letter(number: int) -> str:
    """A to Z, then A2 to Z2 and so on."""
    turn, letter = divmod(number, len(ascii_uppercase))
    return ascii_uppercase[letter] + (str(turn + 1) if turn else "")
