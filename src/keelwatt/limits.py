"""Every limit declared once, and the room a kit leaves under one.
A limit's reading of one kit is registered in ``prove``, its side of the choice in ``kits`` or
``choose``: those rooms share nothing but this declaration. All others look it up."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from math import degrees
from typing import TYPE_CHECKING, Any, Literal, TypeVar

from keelwatt.files.kit import ROUNDING, SEASON_UNITS_PER_CENT, whole_grams_within
from keelwatt.units import Kind as Quantity
from keelwatt.units import to_si

if TYPE_CHECKING:
    from keelwatt.files.outing import Limits

Kind = Literal["wish", "rule", "margin"]
Sense = Literal["at most", "at least", "equal"]
Measure = Literal["cost", "mass", "season"]
"""What a kit comes to in whole units: cents, grams, hundredths of a cent a season."""

Entered = TypeVar("Entered", bound=Callable[..., Any])

AMOUNTS: Mapping[str, tuple[Quantity | Literal["money"], str]] = {
    "money": ("money", "_cents"), "kg": ("mass", "_kg"), "h": ("duration", "_h"),
    "m/s": ("speed", "_m_s"), "deg": ("angle", "_rad"), "share": ("share", ""),
}  # fmt: skip
"""Unit of an outing's limit -> its kind of quantity, and how its field in the outing ends."""


@dataclass(frozen=True)
class Declared:
    """What every room needs to know of a limit.
    ``label``: on screens; ``phrase``: in a sentence. ``unit``: of its amounts. ``key``: under
    [limits] in the outing's file, empty where the day itself or the trade asks for it.
    ``kind``: a wish may be given up, a rule may not; a margin is a part of others, ``decides``.
    ``loosest``: the last amount an answer may suggest. ``measure``: what of a kit it bounds, where
    that is all. ``over``, ``span``: its name for a stretch, and where that runs unless told.
    ``question``, ``offered``: the interview's, empty where it does not ask.
    """

    name: str
    label: str
    unit: str
    sense: Sense = "at most"
    kind: Kind = "rule"
    key: str = ""
    loosest: float | None = None
    measure: Measure | None = None
    phrase: str = ""
    over: str = ""
    span: tuple[float, float] | None = None
    decides: tuple[str, ...] = ()
    question: str = ""
    offered: str = ""

    @property
    def field(self) -> str:
        return self.key + AMOUNTS[self.unit][1]

    @property
    def quantity(self) -> Quantity | Literal["money"]:
        return AMOUNTS[self.unit][0]

    @property
    def grows(self) -> bool:
        """Whether a kit meets it by having more."""
        return self.sense == "at least"

    @property
    def loosest_si(self) -> float | None:
        if self.loosest is None or self.unit != "deg":
            return self.loosest
        return to_si(self.loosest, "deg", "angle")

    def asked(self, limits: "Limits") -> float | None:
        """The bound an outing sets, None where it sets none."""
        value: float | None = getattr(limits, self.field)
        if value is None:
            return None
        if self.unit == "deg":
            return degrees(value)
        return value / 100 if self.unit == "money" else value

    def whole(self, limits: "Limits") -> int | None:
        """The bound in whole grams, cents, or for the season's hundredths of a cent."""
        value: Any = getattr(limits, self.field)
        if value is None or self.unit != "kg":
            cents: int | None = value
            return cents * SEASON_UNITS_PER_CENT if cents and self.measure == "season" else cents
        return whole_grams_within(value)

    def of_whole(self, count: Any) -> Any:
        """An amount counted as ``whole`` counts, of any shape."""
        if self.unit == "kg":
            return count / 1000
        return count / (SEASON_UNITS_PER_CENT if self.measure == "season" else 1) / 100


def _wish(name: str, label: str, unit: str, key: str = "", **more: Any) -> Declared:
    """A wish or margin: what it decides, and its name elsewhere, are its own unless said."""
    more = {"over": name, "phrase": label.lower(), "kind": "wish", "decides": (name,)} | more
    return Declared(name, label, unit, key=key, **more)


DECLARED = (
    _wish("budget", "Budget", "money", "budget", measure="cost",
          question="The most you want to spend, in {currency}?", offered="-"),
    _wish("season", "Cost a season", "money", "season", measure="season"),
    _wish("kit_mass", "Mass carried", "kg", "kit_mass", measure="mass"),
    _wish("lift", "Heaviest piece to lift", "kg", "lift",
          question="The heaviest single piece you can lift?", offered="25 kg"),
    _wish("hours", "Hours, reserve kept", "h", sense="at least",
          phrase="hours on the water", span=(1.0, 12.0)),
    _wish("leg_speed", "Speed on the hardest leg", "of the wished speed", sense="at least",
          phrase="speed of all legs", over="speed", span=(0.5, 2.0),
          decides=("leg_speed", "hours", "control_heat", "turn_heel")),
    _wish("reserve", "Reserve", "share", "reserve", sense="at least", kind="margin",
          loosest=0.1, span=(0.1, 1.0), decides=("hours", "recharge")),
    _wish("top_speed", "Top speed, calm water", "m/s", "top_speed", sense="at least",
          phrase="top speed through calm water", decides=("top_speed", "turn_heel")),
    _wish("recharge", "Recharged within", "h", "recharge_within", phrase="time to recharge",
          question="Within how long must the charger fill the battery again?", offered="12 h"),
    _wish("trim", "Trim", "deg", "max_trim", loosest=3.0,
          question="How far may bow or stern go down, beyond its usual lie?", offered="2 deg"),
    _wish("heel", "Heel", "deg", "max_heel", loosest=5.0),
    _wish("turn_heel", "Heel, motor across", "deg", "turn_heel", loosest=20.0,
          phrase="heel with the motor turned across"),
    _wish("payload_margin", "Margin under the builder's plate", "kg", "payload_margin",
          sense="at least", kind="margin", decides=("payload",)),
    Declared("payload", "Builder's plate", "kg"),
    Declared("stability", "Initial stability (GM)", "m", "at least"),
    Declared("freeboard", "Freeboard, motor across", "m", "at least"),
    Declared("compartment", "Batteries that fit", ""),
    Declared("compartment_load", "Load in the compartment", "kg"),
    Declared("shaft", "Motor's shaft", "mm", "at least"),
    Declared("mount_moment", "Moment on the mount", "N m"),
    Declared("bank_size", "Series and parallel count", ""),
    Declared("voltage_match", "Battery and motor voltage", "V", "equal"),
    Declared("bank_current", "Battery's current", "A", "at least"),
    Declared("voltage_drop", "Voltage drop", "V"),
    Declared("ampacity", "Cable ampacity", "A", "at least"),
    Declared("conductor", "Conductor size", "mm2", "at least"),
    Declared("protection", "Fuse rating", "A", "at least"),
    Declared("fuse_voltage", "Fuse's voltage", "V", "at least"),
    Declared("interrupting", "Interrupting capacity", "A", "at least"),
    Declared("controller_rating", "Controller's current", "A", "at least"),
    Declared("control_heat", "Controller's temperature", "degC"),
    Declared("connector_rating", "Connector's current", "A", "at least"),
    Declared("connector_size", "Connector takes cable", "mm2"),
    Declared("chemistry", "Charger type", "match", "equal"),
    Declared("parts", "Wanted and refused parts", "", "equal"),
)  # fmt: skip
"""In the order they are shown."""

LIMITS: Mapping[str, Declared] = {declared.name: declared for declared in DECLARED}
WISHES = tuple(declared.name for declared in DECLARED if declared.kind == "wish")
RULES = tuple(declared.name for declared in DECLARED if declared.kind == "rule")

MEASURED = {declared.name: declared.measure for declared in DECLARED if declared.measure}
"""Wishes that bound a measure of the whole kit and nothing else, with that measure."""

OVERS = {declared.over: declared for declared in DECLARED if declared.over}
"""What a stretch can run over, by its name there."""


def enters(book: dict[str, Entered], *names: str) -> Callable[[Entered], Entered]:
    """Decorator: a function enters a room's book under the limits it sees to.
    KeyError: if a limit is not declared here."""

    def entered(function: Entered) -> Entered:
        book.update({LIMITS[name].name: function for name in names})
        return function

    return entered


TIGHT_SHARE = 0.01
"""A limit with less room than this share of its bound is called tight."""


@dataclass(frozen=True)
class Limit:
    """The bound a kit needs to keep and what it has, both in ``unit``."""

    name: str
    sense: Sense
    needs: float
    has: float
    unit: str

    @property
    def kind(self) -> Kind:
        return LIMITS[self.name].kind

    @property
    def room(self) -> float:
        """Distance to the bound; negative when broken."""
        if self.sense == "at most":
            return self.needs - self.has
        if self.sense == "at least":
            return self.has - self.needs
        return -abs(self.needs - self.has)

    @property
    def relative_room(self) -> float:
        return self.room / abs(self.needs) if self.needs else self.room

    @property
    def holds(self) -> bool:
        return self.room >= -ROUNDING * abs(self.needs)

    @property
    def tight(self) -> bool:
        return self.sense != "equal" and self.relative_room <= TIGHT_SHARE


def narrowest(limits: Iterable[Limit]) -> tuple[Limit, ...]:
    """One limit a name, the first with the least relative room, in the order of declaration."""
    least: dict[str, Limit] = {}
    for limit in limits:
        known = least.get(limit.name)
        if known is None or limit.relative_room < known.relative_room:
            least[limit.name] = limit
    return tuple(least[name] for name in LIMITS if name in least)
