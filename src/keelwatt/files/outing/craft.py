"""The craft of an outing: its hull, where batteries stand and motors hang, the ways of its cables.
Places: x forward of midship, y to starboard, z up from the keel; a compartment's is where the
middle of what stands in it lies."""

from collections.abc import Mapping
from math import inf
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, Field

from keelwatt.files.fields import Follows, Frozen, Written, assumed
from keelwatt.physics import metric
from keelwatt.units import UnitError

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
    def size_m(self) -> tuple[float, float, float]:
        return self.length_m, self.width_m, self.height_m

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

    @property
    def held_n_m(self) -> float:
        """The moment it stands, without end where nobody says."""
        return inf if self.holds_n_m is None else self.holds_n_m


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
