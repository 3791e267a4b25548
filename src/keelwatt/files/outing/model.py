"""An outing: the craft, what is aboard, the legs, the limits and the wishes, all in SI.
How a field is written in the file: see ``keelwatt.files.fields``."""

from collections.abc import Mapping
from typing import Annotated, Literal

from pydantic import AfterValidator, Field

from keelwatt.files.fields import Follows, Frozen, Share, Written, assumed
from keelwatt.files.outing.craft import (
    COMMON,
    FROM_MEMORY,
    Above0,
    AtLeast0,
    Craft,
    Optional0,
    Place,
    Text,
)
from keelwatt.physics.propeller import CLAIMED_SHARE
from keelwatt.units import UnitError, to_si
from keelwatt.units.shown import METRIC, Units

Count = Annotated[int, Field(strict=True, ge=1, le=10_000)]


def _in_degrees_c(spread_c: float) -> float:
    """A difference, not a reading: in other degrees it would be converted as a reading."""
    if not 0 <= spread_c <= 15:
        what = "is not how much warmer or colder it may be, from 0 to 15 degrees Celsius"
        remedy = 'write it in degC, such as "3 degC"'
        raise UnitError(what, remedy)
    return spread_c


class Water(Frozen):
    kind: Literal["fresh", "salt"] = "fresh"
    """Salt water is denser and carries more."""
    temperature_c: Annotated[float, Field(ge=0, le=35)] = 15.0
    """Cold water takes charge from batteries."""


class Load(Place):
    name: Text
    """Yours; no two alike."""
    mass_kg: AtLeast0
    """With clothes and what is carried."""


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
