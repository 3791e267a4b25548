"""An outing: the craft, what is aboard, the legs, the limits and the wishes, all in SI.

Places: x forward of midship, y to starboard, z up from the keel; a compartment's is where the
middle of what stands in it lies. How a field is written in the file: see ``keelwatt.files.fields``.
"""

from collections.abc import Mapping
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, Field

from keelwatt.files.fields import Follows, Frozen, Share, Written, assumed
from keelwatt.physics import metric
from keelwatt.physics.propeller import CLAIMED_SHARE
from keelwatt.units import UnitError, to_si
from keelwatt.units.shown import METRIC, Units

FROM_MEMORY, COMMON = "from memory", "common practice"
"""Sources of defaults."""

RUN_ALLOWANCE_M = 0.6
"""Added to each section of a run that the outing gives no length of, as each has two ends to bend
and to finish. Common practice."""

CONTROL = "control"
"""What keys of cable runs call a separate speed control."""


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
    if text == CONTROL:
        raise UnitError("is what cable runs call the speed control", "give it another name")
    return text


Text = Annotated[str, AfterValidator(_printable)]
Berth = Annotated[Text, AfterValidator(_without_slash)]
Above0 = Annotated[float, Field(gt=0)]
AtLeast0 = Annotated[float, Field(ge=0)]
Optional0 = Annotated[float | None, Field(gt=0)]
Count = Annotated[int, Field(strict=True, ge=1, le=10_000)]


class Place(Frozen):
    x_m: float
    """Forward of midship, below 0 aft."""
    y_m: float
    """To starboard, below 0 to port."""
    z_m: float
    """Up from the keel."""


class Box(Frozen):
    length_m: Above0
    """Outside."""
    width_m: Above0
    """Outside."""
    height_m: Above0
    """Outside."""


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
    holds_n_m: Optional0 = None
    """The moment it stands: full thrust times the shaft.

    By its maker's word or your own trial."""


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
        float, Field(strict=True, gt=0, le=100), Follows("by the shape, else 1.3", FROM_MEMORY)
    ]
    """Your own, after a trial on the water."""
    drag_factor_error: Annotated[float | None, Written(kind="share"), Field(ge=0, le=0.5)] = None
    """One standard error of a measured drag factor, as a share of it."""
    drag_factor_motor: Text | None = None
    """The id of the motor in whose log it was found, and whose thrust is in it then."""
    towed: Annotated[tuple[tuple[Above0, Above0], ...], Written("towed")] = ()
    """Speeds and the pull on a rope behind a boat, no motor in the water.

    A line through these points takes the place of drag factor and shape in the water's resistance;
    wind and motor come on top. Shape and dimensions still give draft, trim and heel."""
    towed_displacement_kg: Optional0 = assumed(None, "hull and everything aboard, without the kit")
    """All it weighed when towed.

    A heavier boat takes more, as mass to the power 2/3."""
    waterline_length_m: Annotated[float, Field(ge=1.2, le=20)]
    """Measured at the water, loaded."""
    waterline_beam_m: Above0
    """Measured at the water, loaded."""
    hull_mass_kg: Above0
    """Of the empty hull."""
    hull_height_m: AtLeast0
    """Keel to the hull's own centre of mass."""
    depth_m: Optional0 = None
    """Keel to the lowest edge water can come over."""
    payload_limit_kg: Above0
    """The builder's plate: people, gear and kit together."""
    wind_area_m2: AtLeast0 = assumed(0.5, source=FROM_MEMORY)
    """Crew and hull as the wind sees them."""
    controller_at: Place | None = assumed(None, "beside the motor")
    """Where a separate speed control sits: x, y, z."""
    control_box: Box | None = assumed(None, "its heat is a caution, not a rule")
    """A closed box round that control.

    Its length, width and height outside: the control must stand the warmth in it. The cheapest that
    is no smaller is bought with a control."""
    compartments: Annotated[tuple[Compartment, ...], Written("compartment"), Field(min_length=1)]
    """Where a battery may stand. x, y, z: the middle of what stands in it."""
    mounts: Annotated[tuple[Mount, ...], Written("mount"), Field(min_length=1)]
    """Where a motor may hang."""
    cable_run_m: Annotated[Mapping[tuple[str, str], Above0], Written("cable_run")] = assumed(
        {}, "the straight distances along x, y and z and 60 cm a section", COMMON
    )
    """One way: "compartment/mount", or with a control apart "compartment/control", "control/mount".

    A kit with a separate control counts its two sections, each as given or by the distances. With
    neither given, a "compartment/mount" is the least they count together."""

    @property
    def form(self) -> dict[str, Any]:
        """Length, beam and exponents under water, as the formulas of the hull take them."""
        return {
            "length_m": self.waterline_length_m,
            "beam_m": self.waterline_beam_m,
            "fineness": self.fineness,
            "fullness": self.fullness,
        }

    @property
    def drag_measured(self) -> bool:
        return bool(self.towed) or self.drag_factor_error is not None

    def mount(self, name: str) -> Mount:
        return next(mount for mount in self.mounts if mount.name == name)

    @property
    def control_apart(self) -> bool:
        """Whether the copper may follow another way where a separate control stands on it."""
        return self.controller_at is not None or any(CONTROL in pair for pair in self.cable_run_m)

    def run_m(self, compartment: Compartment, mount: Mount, *, controlled: bool) -> float:
        """One-way cable length from a compartment to a mount, over a separate control if any."""
        ends, given = (compartment.name, mount.name), self.cable_run_m
        if not controlled:
            return given.get(ends) or _section_m(compartment, mount)
        over = sum(self.sections_m(compartment, mount))
        measured = (ends[0], CONTROL) in given or (CONTROL, ends[1]) in given
        return over if measured else max(over, given.get(ends, 0.0))

    def sections_m(self, compartment: Compartment, mount: Mount) -> tuple[float, float]:
        """From a compartment to a separate control, and on to a mount.
        A control that the outing gives no place is beside the motor."""
        given, at = self.cable_run_m, self.controller_at
        first = given.get((compartment.name, CONTROL))
        last = given.get((CONTROL, mount.name))
        if at is None:
            return first or self.run_m(compartment, mount, controlled=False), last or 0.0
        return first or _section_m(compartment, at), last or _section_m(at, mount)


def _section_m(start: Place, end: Place) -> float:
    points = [(at.x_m, at.y_m, at.z_m) for at in (start, end)]
    return metric.cable_run_m(points=points, allowance_m=RUN_ALLOWANCE_M)


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
    depth_m: Optional0 = None
    """Of the water, where it is shallow.

    It slows a boat, and none goes much faster than the water's own waves."""
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
    voltage_v: Optional0 = assumed(None, "the bank's")
    """What it is made for: "5 V". With another than the bank's, a converter feeds it."""


class Limits(Frozen):
    """What is None is not asked for."""

    budget_cents: Annotated[int | None, Field(ge=0)] = None
    """The most to spend."""
    kit_mass_kg: Optional0 = None
    """All that is carried; the charger stays ashore."""
    lift_kg: Optional0 = None
    """The heaviest piece you can lift.

    A battery and its box are lifted apart."""
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
    """Where the cable runs and a speed control stands."""
    fuse_over_ampacity: Annotated[Share, Field(ge=1, le=1.5)] = assumed(
        1.0, source="33 CFR 183.455 allows 150 %"
    )
    """The largest fuse, as a share of what the cable may carry."""
    clearance_m: AtLeast0 = assumed(0.010, source=FROM_MEMORY)
    """Free round the batteries."""
    disconnects: Annotated[int, Field(strict=True, ge=1, le=2)] = assumed(1, source=COMMON)
    """Plug pairs: 1 beside the battery, 2 with one at the motor too."""
    battery_box: Literal["always", "never", "if cheapest"] = assumed("if cheapest", source=COMMON)
    """A box round each battery.

    Without one it has a hold-down and a cover on each post: 33 CFR 183.420(a) and (b) ask that it
    stays put and that nothing of metal touches a post, and a box does both."""
    cable_by: Literal["metre", "foot"] | None = assumed(None, "foot where you write lengths so")
    """How your shop sells cable: by the whole metre or foot."""
    typical_prices: bool = assumed(True, source=FROM_MEMORY)
    """Whether small parts that the catalog lacks count at a typical price."""


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
        0.2, source="from memory; four motors in a tank (Soundings Trade Only, 2020) spread 33 %"
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

    @property
    def cable_unit_m(self) -> float:
        """The length cable is sold in whole numbers of."""
        foot = self.units.length == "ft" if self.policy.cable_by is None else False
        return 0.3048 if foot or self.policy.cable_by == "foot" else 1.0
