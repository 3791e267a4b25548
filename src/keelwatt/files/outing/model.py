"""An outing: the craft, what is aboard, the legs, the limits and the wishes, all in SI.

Places: x forward of midship, y to starboard, z up from the keel; a compartment's is where the
middle of what stands in it lies. How a field is written in the file: see ``keelwatt.files.fields``.
"""

from collections.abc import Mapping
from typing import Annotated, Literal

from pydantic import AfterValidator, Field

from keelwatt.files.fields import Frozen, Share, Written
from keelwatt.units import UnitError, to_si

RUN_ALLOWANCE_M = 0.6
"""Added to the straight run where the outing gives no length. Common practice."""


def _printable(text: str) -> str:
    if not text.strip():
        raise UnitError("is empty", "write a few words")
    if not text.isprintable():
        raise UnitError("holds signs that cannot be printed", "write it on one line, in plain text")
    return text


def _in_degrees_c(spread_c: float) -> float:
    """A difference, not a reading: in other degrees it would be converted as a reading."""
    if not 0 <= spread_c <= 15:
        raise UnitError(
            "is not how much warmer or colder it may be, from 0 to 15 degrees Celsius",
            'write it in degC, such as "3 degC"',
        )
    return spread_c


def _without_slash(text: str) -> str:
    if "/" in text:
        raise UnitError("holds a /", 'leave it out: cable runs are written "compartment/mount"')
    return text


Text = Annotated[str, AfterValidator(_printable)]
Berth = Annotated[Text, AfterValidator(_without_slash)]
Above0 = Annotated[float, Field(gt=0)]
AtLeast0 = Annotated[float, Field(ge=0)]
Optional0 = Annotated[float | None, Field(gt=0)]
Count = Annotated[int, Field(strict=True, ge=1)]


class Place(Frozen):
    x_m: float
    y_m: float
    z_m: float


class Water(Frozen):
    kind: Literal["fresh", "salt"] = "fresh"
    temperature_c: Annotated[float, Field(ge=0, le=35)] = 15.0


class Compartment(Place):
    name: Berth
    length_m: Above0
    width_m: Above0
    height_m: Above0
    opening_length_m: Optional0 = None
    opening_width_m: Optional0 = None
    max_load_kg: Optional0 = None

    @property
    def opening_m(self) -> tuple[float, float]:
        """What every battery must pass: the hatch, else the compartment's own length and width."""
        return self.opening_length_m or self.length_m, self.opening_width_m or self.width_m


class Mount(Place):
    name: Berth
    shaft_needed_m: Optional0 = None


class Load(Place):
    name: Text
    mass_kg: AtLeast0


class Craft(Frozen):
    """``fineness``, ``fullness`` and ``drag_factor`` are those of the shape unless given.

    ``drag_factor_error``: one standard error of a measured factor, as a share of it.
    """

    shape: Literal["slender", "canoe", "sit-on-top", "flat-bottomed"] | None = None
    fineness: Annotated[int, Field(strict=True, ge=2, le=8)]
    fullness: Annotated[int, Field(strict=True, ge=2, le=10)]
    drag_factor: Annotated[float, Field(strict=True, gt=0)]
    drag_factor_error: Annotated[float | None, Written(kind="share"), Field(ge=0, le=0.5)] = None
    waterline_length_m: Annotated[float, Field(ge=1.2, le=20)]
    waterline_beam_m: Above0
    hull_mass_kg: Above0
    hull_height_m: AtLeast0
    payload_limit_kg: Above0
    wind_area_m2: AtLeast0 = 0.5
    controller_at: Place | None = None
    compartments: Annotated[tuple[Compartment, ...], Written("compartment"), Field(min_length=1)]
    mounts: Annotated[tuple[Mount, ...], Written("mount"), Field(min_length=1)]
    cable_run_m: Annotated[Mapping[tuple[str, str], Above0], Written("cable_run")] = {}
    """By compartment and mount, one way, where the file gives it."""

    def run_m(self, compartment: Compartment, mount: Mount) -> float:
        """One-way cable length from a compartment to a mount."""
        given = self.cable_run_m.get((compartment.name, mount.name))
        if given is not None:
            return given
        return (
            abs(compartment.x_m - mount.x_m)
            + abs(compartment.y_m - mount.y_m)
            + abs(compartment.z_m - mount.z_m)
            + RUN_ALLOWANCE_M
        )


class Leg(Frozen):
    """``speed_m_s`` is over ground; headwind and current count against the craft.

    ``by_distance``: the file gives the distance, so that a slower leg takes longer.
    """

    name: Text
    speed_m_s: Annotated[float, Field(ge=0, le=7)]
    duration_h: Annotated[float, Written("hours"), Field(gt=0)]
    headwind_m_s: float = 0.0
    current_m_s: Annotated[float, Field(ge=-3, le=3)] = 0.0
    by_distance: bool = False


class Device(Frozen):
    name: Text
    power_w: Above0
    duration_h: Annotated[float, Written("hours"), Field(gt=0)]


class Limits(Frozen):
    """What is None is not asked for."""

    budget_cents: Annotated[int | None, Field(ge=0)] = None
    kit_mass_kg: Optional0 = None
    lift_kg: Optional0 = None
    reserve: Annotated[Share, Field(ge=0.1, lt=1)] = 0.2
    top_speed_m_s: Annotated[float | None, Field(gt=0, le=7)] = None
    payload_margin_kg: AtLeast0 = 0.0
    recharge_within_h: Optional0 = None
    max_trim_rad: Annotated[float, Field(gt=0, le=to_si(3, "deg", "angle"))] = to_si(
        1.5, "deg", "angle"
    )
    max_heel_rad: Annotated[float, Field(gt=0, le=to_si(5, "deg", "angle"))] = to_si(
        3, "deg", "angle"
    )
    voltage_drop: Annotated[Share, Field(gt=0, le=0.1)] = 0.05
    season_cents: Annotated[int | None, Field(ge=0)] = None


class Policy(Frozen):
    discharge: Literal["everyday", "occasional", "limit"] = "everyday"
    health: Annotated[Share, Field(gt=0, le=1)] = 0.9
    place_temperature_c: Annotated[float, Field(ge=-40, le=90)] = 30.0
    fuse_over_ampacity: Annotated[Share, Field(ge=1, le=1.5)] = 1.0
    clearance_m: AtLeast0 = 0.010


class Wish(Frozen):
    by: Literal["cost", "mass", "season"] = "cost"
    outings_per_season: Count = 20


Spread = Annotated[Share, Field(ge=0, le=0.5)]


class Odds(Frozen):
    """One standard deviation of what no plan knows; all defaults from memory.

    ``wind_spread``: of the day's wind, as a share of the outing's; ``gust_spread_m_s``: of the
    headwind on each leg besides; ``stream_spread``: of the day's stream; ``capacity_spread``: of
    what age leaves of the bank; ``temperature_spread_c``: of the battery's temperature;
    ``length_spread``: of each leg's hours or distance. That of the drag factor is the craft's.
    """

    wind_spread: Spread = 0.3
    gust_spread_m_s: Annotated[float, Field(ge=0, le=5)] = 0.7
    stream_spread: Spread = 0.3
    capacity_spread: Spread = 0.05
    temperature_spread_c: Annotated[float, AfterValidator(_in_degrees_c)] = 3.0
    length_spread: Spread = 0.05


class Parts(Frozen):
    """An owned id absent from ``own_pieces`` is owned in any number."""

    own: tuple[str, ...] = ()
    require: tuple[str, ...] = ()
    refuse: tuple[str, ...] = ()
    own_pieces: Mapping[str, Count] = {}


class Outing(Frozen):
    title: Text
    currency: Text
    water: Water = Water()
    craft: Craft
    aboard: tuple[Load, ...] = ()
    legs: Annotated[tuple[Leg, ...], Written("leg"), Field(min_length=1)]
    devices: Annotated[tuple[Device, ...], Written("device")] = ()
    limits: Limits = Limits()
    policy: Policy = Policy()
    wish: Wish = Wish()
    parts: Parts = Parts()
    odds: Odds = Odds()
    file: str = ""
