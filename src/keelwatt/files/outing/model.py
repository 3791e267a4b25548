"""An outing: the craft, what is aboard, the legs, the limits and the wishes, all in SI.

Places: x forward of midship, y to starboard, z up from the keel; a compartment's is where the
middle of what stands in it lies. How a field is written in the file: see ``keelwatt.files.fields``.
"""

from collections.abc import Mapping
from typing import Annotated, Literal

from pydantic import AfterValidator, Field

from keelwatt.files.fields import Follows, Frozen, Share, Written, assumed
from keelwatt.physics.propeller import CLAIMED_SHARE
from keelwatt.units import UnitError, to_si
from keelwatt.units.shown import METRIC, Units

FROM_MEMORY, COMMON = "from memory", "common practice"
"""Sources of defaults."""

RUN_ALLOWANCE_M = 0.6
"""Added to the straight run where the outing gives no length. Common practice."""


def _printable(text: str) -> str:
    if not text.strip():
        raise UnitError("is empty", "write a few words")
    if not text.isprintable():
        raise UnitError("contains unprintable characters", "write it on one line, in plain text")
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
    """Forward of midship, below 0 aft."""
    y_m: float
    """To starboard, below 0 to port."""
    z_m: float
    """Up from the keel."""


class Water(Frozen):
    kind: Literal["fresh", "salt"] = "fresh"
    """Salt water is denser and carries more."""
    temperature_c: Annotated[float, Field(ge=0, le=35)] = 15.0
    """Cold water takes charge from batteries."""


class Compartment(Place):
    name: Berth
    """Yours; no two alike."""
    length_m: Above0
    """Room for batteries, bow to stern."""
    width_m: Above0
    """Room across."""
    height_m: Above0
    """Room upwards."""
    opening_length_m: Optional0 = None
    """A hatch every battery must pass."""
    opening_width_m: Optional0 = None
    """Its other side."""
    max_load_kg: Optional0 = None
    """The most it may carry."""

    @property
    def opening_m(self) -> tuple[float, float]:
        """What every battery must pass: the hatch, else the compartment's own length and width."""
        return self.opening_length_m or self.length_m, self.opening_width_m or self.width_m


class Mount(Place):
    name: Berth
    """Yours; no two alike."""
    shaft_needed_m: Optional0 = None
    """A shorter shaft would draw air."""
    turns: bool = True
    """Whether the motor steers by turning; false where a rudder does."""


class Load(Place):
    name: Text
    """Yours; no two alike."""
    mass_kg: AtLeast0
    """With clothes and what is carried."""


class Craft(Frozen):
    shape: Literal["slender", "canoe", "sit-on-top", "flat-bottomed"] | None = None
    """The hull.

    Or give fineness and fullness."""
    fineness: Annotated[int, Field(strict=True, ge=2, le=8), Follows("by the shape", FROM_MEMORY)]
    """Exponent of the ends under water, 2 to 8, in place of a shape; larger: fuller ends."""
    fullness: Annotated[int, Field(strict=True, ge=2, le=10), Follows("by the shape", FROM_MEMORY)]
    """Exponent of the section's shape, 2 to 10, in place of a shape; larger: flatter bottom."""
    waterplane_fineness: Annotated[
        int,
        Written("waterplane"),
        Field(strict=True, ge=2, le=8),
        Follows("by the shape, else as fineness", FROM_MEMORY),
    ]
    """Exponent of the waterline's own outline, at least the fineness; larger: fuller ends."""
    drag_factor: Annotated[
        float, Field(strict=True, gt=0), Follows("by the shape, else 1.3", FROM_MEMORY)
    ]
    """Your own, after a trial on the water."""
    drag_factor_error: Annotated[float | None, Written(kind="share"), Field(ge=0, le=0.5)] = None
    """One standard error of a measured drag factor, as a share of it."""
    drag_factor_motor: Text | None = None
    """The id of the motor in whose log it was found, and whose thrust is in it then."""
    waterline_length_m: Annotated[float, Field(ge=1.2, le=20)]
    """Measured at the water, loaded."""
    waterline_beam_m: Above0
    """Measured at the water, loaded."""
    hull_mass_kg: Above0
    """Of the empty hull."""
    hull_height_m: AtLeast0
    """Keel to the hull's own centre of mass."""
    payload_limit_kg: Above0
    """The builder's plate: people, gear and kit together."""
    wind_area_m2: AtLeast0 = assumed(0.5, source=FROM_MEMORY)
    """Crew and hull as the wind sees them."""
    controller_at: Place | None = assumed(None, "beside the motor")
    """Where a separate speed control sits: x, y, z."""
    compartments: Annotated[tuple[Compartment, ...], Written("compartment"), Field(min_length=1)]
    """Where a battery may stand. x, y, z: the middle of what stands in it."""
    mounts: Annotated[tuple[Mount, ...], Written("mount"), Field(min_length=1)]
    """Where a motor may hang."""
    cable_run_m: Annotated[Mapping[tuple[str, str], Above0], Written("cable_run")] = assumed(
        {}, "the straight distances along x, y and z and 60 cm", COMMON
    )
    """One way, by "compartment/mount"; else the straight distances and 60 cm."""

    def mount(self, name: str) -> Mount:
        return next(mount for mount in self.mounts if mount.name == name)

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
    """``by_distance``: the file gives the distance, so that a slower leg takes longer."""

    name: Text
    """Yours; no two alike."""
    motor: Literal["on", "off"] = "on"
    """Off where you drift or paddle: only the devices draw then."""
    speed_m_s: Annotated[float, Field(ge=0, le=7), Follows("0 where the motor is off")]
    """Over ground; 0 holds a place."""
    duration_h: Annotated[
        float, Written("hours"), Field(gt=0), Follows("distance over speed: give one of the two")
    ]
    """How long; or give the distance."""
    headwind_m_s: float = 0.0
    """+ against you."""
    current_m_s: Annotated[float, Field(ge=-3, le=3)] = 0.0
    """The stream, + against you."""
    by_distance: bool = False

    @property
    def driven(self) -> bool:
        return self.motor == "on"

    @property
    def held(self) -> bool:
        """Whether the motor keeps the boat where it is."""
        return self.driven and self.speed_m_s == 0.0


class Device(Frozen):
    name: Text
    """Yours; no two alike."""
    power_w: Above0
    """While it is on."""
    duration_h: Annotated[float, Written("hours"), Field(gt=0)]
    """For how long in all."""


class Limits(Frozen):
    """What is None is not asked for."""

    budget_cents: Annotated[int | None, Field(ge=0)] = None
    """The most to spend."""
    kit_mass_kg: Optional0 = None
    """All that is carried; the charger stays ashore."""
    lift_kg: Optional0 = None
    """The heaviest piece you can lift."""
    reserve: Annotated[Share, Field(ge=0.1, lt=1)] = assumed(0.2, source=COMMON)
    """Charge kept back of what may be used."""
    top_speed_m_s: Annotated[float | None, Field(gt=0, le=7)] = None
    """Through calm water."""
    payload_margin_kg: AtLeast0 = 0.0
    """Kept free below the builder's plate."""
    recharge_within_h: Optional0 = None
    """A charger is then part of the kit."""
    max_trim_rad: Annotated[float, Field(gt=0, le=to_si(3, "deg", "angle"))] = assumed(
        to_si(2, "deg", "angle"), source=FROM_MEMORY
    )
    """Bow or stern down."""
    max_heel_rad: Annotated[float, Field(gt=0, le=to_si(5, "deg", "angle"))] = assumed(
        to_si(3, "deg", "angle"), source=FROM_MEMORY
    )
    """To either side."""
    turn_heel_rad: Annotated[float, Field(gt=0, le=to_si(20, "deg", "angle"))] = assumed(
        to_si(12, "deg", "angle"), source=FROM_MEMORY
    )
    """With the motor turned across, as hard as the day asks."""
    voltage_drop: Annotated[Share, Field(gt=0, le=0.1)] = assumed(0.05, source=FROM_MEMORY)
    """Lost in the cable at full throttle."""
    season_cents: Annotated[int | None, Field(ge=0)] = None
    """The most a season may cost."""


class Policy(Frozen):
    discharge: Literal["everyday", "occasional", "limit"] = "everyday"
    """How far batteries are drawn down."""
    claimed_thrust: Annotated[Share, Field(gt=0, le=1)] = assumed(CLAIMED_SHARE, source=FROM_MEMORY)
    """What to plan with of a thrust that its maker claims."""
    health: Annotated[Share, Field(gt=0, le=1)] = assumed(0.9, source=FROM_MEMORY)
    """What age leaves of the rated capacity."""
    place_temperature_c: Annotated[float, Field(ge=-40, le=90)] = assumed(
        30.0, source="33 CFR 183.425, Table 5"
    )
    """Where the cable runs."""
    fuse_over_ampacity: Annotated[Share, Field(ge=1, le=1.5)] = assumed(
        1.0, source="33 CFR 183.455 allows 150 %"
    )
    """The largest fuse, as a share of what the cable may carry."""
    clearance_m: AtLeast0 = assumed(0.010, source=FROM_MEMORY)
    """Free round the batteries."""


class Wish(Frozen):
    by: Literal["cost", "mass", "season"] = "cost"
    """What shall be least."""
    outings_per_season: Count = assumed(20, source=FROM_MEMORY)
    """Days like this one in a year."""


Spread = Annotated[Share, Field(ge=0, le=0.5)]


class Odds(Frozen):
    """One standard deviation of what no plan knows. That of the drag factor is the craft's."""

    wind_spread: Spread = assumed(0.3, source=FROM_MEMORY)
    """Of the day's wind; two days in three lie within it."""
    thrust_spread: Spread = assumed(
        0.2,
        source="from memory; four motors in a tank (Soundings Trade Only, 2020) spread 33 %",
    )
    """Of a claimed thrust about what is planned of it; a measured one is off by 5 %, that of the
    motor in `drag_factor_motor` by nothing more."""
    gust_spread_m_s: Annotated[float, Field(ge=0, le=5)] = assumed(0.7, source=FROM_MEMORY)
    """Of the headwind on each leg besides."""
    stream_spread: Spread = assumed(0.3, source=FROM_MEMORY)
    """Of the day's stream."""
    capacity_spread: Spread = assumed(0.05, source=FROM_MEMORY)
    """Of what age leaves of the bank."""
    temperature_spread_c: Annotated[float, AfterValidator(_in_degrees_c)] = assumed(
        3.0, source=FROM_MEMORY
    )
    """Of the batteries' temperature; in degC."""
    length_spread: Spread = assumed(0.05, source=FROM_MEMORY)
    """Of each leg's hours or distance."""


class Parts(Frozen):
    own: tuple[str, ...] = ()
    """What you have: it costs nothing."""
    require: tuple[str, ...] = ()
    """Must be in the kit."""
    refuse: tuple[str, ...] = ()
    """Must not be in the kit."""
    own_pieces: Mapping[str, Count] = assumed({}, "any number of what is owned")
    """How many of a part you own, by its id."""


class Outing(Frozen):
    title: Text
    """What you call it."""
    currency: Text
    """Any word; the catalog's prices are in it."""
    water: Water = Water()
    """The water you go on."""
    craft: Craft
    """The boat itself."""
    aboard: tuple[Load, ...] = ()
    """Who and what is aboard, without the kit."""
    legs: Annotated[tuple[Leg, ...], Written("leg"), Field(min_length=1)]
    """The day, leg by leg."""
    devices: Annotated[tuple[Device, ...], Written("device")] = ()
    """Anything else that draws on the bank."""
    limits: Limits = Limits()
    """What the kit must keep to. A wish left out is not asked for."""
    policy: Policy = Policy()
    """How cautiously to plan."""
    wish: Wish = Wish()
    """What makes one kit better than another."""
    parts: Parts = Parts()
    """Ids from the catalog."""
    odds: Odds = Odds()
    """How far a day may be off the plan, for keelwatt odds."""
    file: str = ""
    units: Units = METRIC
