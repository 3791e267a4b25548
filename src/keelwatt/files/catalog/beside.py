"""The cheapest part that suits, of equals the lightest, for what a kit does not name.
Fittings, branch fuses, wire, the box round a control. Where no part suits there is a typical one,
its price from memory, or none."""

from bisect import bisect_left
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from functools import cached_property
from itertools import chain
from typing import Any, Generic, TypeVar

import numpy as np

from keelwatt.files.catalog.fitted import FITTING_KG
from keelwatt.files.catalog.got import Got, Strand
from keelwatt.files.catalog.parts import Cable, Enclosure, Fitting, Fuse
from keelwatt.files.catalog.reader import Catalog
from keelwatt.files.kit import grams, just_above, just_below, to_buy
from keelwatt.files.outing import Outing
from keelwatt.physics.cable import ampacity_a, awg_area_mm2
from keelwatt.physics.joining import BRANCH_MARGIN, MOST_TIMES_ASKED, branch_fuse_a
from keelwatt.physics.protection import SMALLEST_CONDUCTOR_MM2
from keelwatt.physics.real import Bools, Floats, Real

TYPICAL = {
    "bus bar": (1500, 200), "lug": (100, 10), "fuse": (700, 50), "inlet": (1500, 80),
    "hold-down": (1200, 250), "terminal cover": (150, 10), "control box": (2000, 400),
}  # fmt: skip
"""Price in cents and mass in grams of what a catalog lacks; from memory."""

TYPICAL_CONVERTER = (1500, 100)
TYPICAL_CENTS_M, TYPICAL_CENTS_M_MM2 = 30.0, 25.0
"""Price of a metre of cable: a start, and for each mm2; from memory."""

COPPER_G_M_MM2 = 12.0
"""Mass of a metre of cable for each mm2, its jacket too; from memory."""

GAUGES = (16, 14, 12, 10, 8, 6, 4, 2, 1, 0, -1, -2, -3)
"""AWG, thinnest first; 0 is 1/0 and -3 is 4/0."""

BOAT_CABLE_C = 105
"""Insulation asked for where the catalog has no cable. Common practice."""

MOST_LUG_OVER = 1.35
"""How much larger than its cable a lug's own size may be. Common practice."""

COVERS = 2
"""On a battery's posts."""

P = TypeVar("P", Cable, Enclosure, Fitting, Fuse)
Made = TypeVar("Made")


@dataclass(frozen=True)
class Cheapest(Generic[P]):
    """Parts, the cheapest first, and any field of theirs as a column; NaN where one is blank."""

    parts: tuple[P, ...]
    _columns: dict[str, Floats] = field(default_factory=dict)

    def __getitem__(self, name: str) -> Floats:
        if name not in self._columns:
            each = [getattr(part, name) for part in self.parts]
            self._columns[name] = np.array(each, dtype=float)
        return self._columns[name]

    def first(self, *rules: Bools) -> P | None:
        """The cheapest that keeps every rule."""
        kept = np.flatnonzero(np.logical_and.reduce(rules))
        return self.parts[kept[0]] if kept.size else None


@dataclass(frozen=True)
class Beside:
    """A catalog and an outing's wishes on parts.
    Owned parts cost nothing where any number is owned; of a few pieces the motor's circuit has the
    first, and nothing is left over for what is looked up here."""

    catalog: Catalog
    outing: Outing

    def _price(self, part: Cable | Enclosure | Fitting | Fuse) -> float:
        parts = self.outing.parts
        if isinstance(part, Enclosure):
            return to_buy(parts, part.id, 1) * part.price_cents
        if part.id in parts.own and part.id not in parts.own_pieces:
            return 0
        return part.price_cents_m if isinstance(part, Cable) else part.price_cents

    def _cheapest_first(self, parts: Iterable[P]) -> Cheapest[P]:
        refused = self.outing.parts.refuse
        kept = (part for part in parts if part.id not in refused)
        return Cheapest(tuple(sorted(kept, key=self._order)))

    @cached_property
    def _fuses(self) -> Cheapest[Fuse]:
        return self._cheapest_first(self.catalog.fuses)

    @cached_property
    def breaks_a(self) -> list[float]:
        """Fault currents that banks are told apart by: what some fuse breaks, rising."""
        return sorted({fuse.interrupts_a for fuse in self.catalog.fuses})

    @cached_property
    def stands_v(self) -> list[float]:
        """Voltages that banks are told apart by: what some fuse or fitting stands, rising."""
        fuses = {fuse.max_voltage_v for fuse in self.catalog.fuses}
        return sorted(fuses | {each.max_voltage_v for each in self.catalog.fittings})

    @cached_property
    def _fittings(self) -> dict[str, Cheapest[Fitting]]:
        found: dict[str, list[Fitting]] = {what: [] for what in FITTING_KG}
        for each in self.catalog.fittings:
            found[each.what].append(each)
        return {what: self._cheapest_first(each) for what, each in found.items()}

    @cached_property
    def _known(self) -> dict[tuple[object, ...], Any]:
        return {}

    def _once(self, key: tuple[object, ...], make: Callable[[], Made]) -> Made:
        """Many banks and chargers ask for the same."""
        if key not in self._known:
            self._known[key] = make()
        made: Made = self._known[key]
        return made

    def _order(self, part: Cable | Enclosure | Fitting | Fuse) -> tuple[float, float, str]:
        """The same whatever the order of the catalog."""
        mass_kg = part.mass_kg_m if isinstance(part, Cable) else part.mass_kg
        return self._price(part), mass_kg, part.id

    def _got(
        self,
        part: Enclosure | Fitting | Fuse | None,
        told: str,
        typical: tuple[int, int],
        rating_a: float,
    ) -> Got:
        if part:
            rated_a = getattr(part, "rating_a", None) or 0.0
            return Got(part, part.name, self._price(part), grams(part.mass_kg), False, rated_a)
        cents = typical[0] if self.outing.policy.typical_prices else None
        return Got(None, told, cents, typical[1], cents is not None, rating_a)

    def fuse(self, current_a: float, charging_v: float, short_a: float) -> Got:
        """A branch's: its margin above the current, no more than guards a thin lead."""
        asked_a = branch_fuse_a(current_a=current_a)
        least_a, most_a = BRANCH_MARGIN * current_a, MOST_TIMES_ASKED * asked_a
        fault = bisect_left(self.breaks_a, just_below(short_a))
        stood = bisect_left(self.stands_v, just_below(charging_v))
        fuses = self._fuses
        found = self._once(
            ("fuse", current_a, stood, fault),
            lambda: fuses.first(
                fuses["rating_a"] >= just_below(least_a),
                fuses["rating_a"] <= just_above(most_a),
                fuses["interrupts_a"] >= just_below(short_a),
                fuses["max_voltage_v"] >= just_below(charging_v),
            ),
        )
        told = (
            f"Fuse {asked_a:g} A with holder, for at least {charging_v:g} V, "
            f"that breaks {short_a:.0f} A"
        )
        return self._got(found, told, TYPICAL["fuse"], asked_a)

    def bar(self, rating_a: float, studs: int, charging_v: float) -> Got:
        told = f"Covered bus bar for {studs} lugs, at least {rating_a:g} A"
        has_studs = self._fittings["bus bar"]["studs"] >= studs
        found = self._fitting("bus bar", rating_a, charging_v, has_studs)
        return self._got(found, told, TYPICAL["bus bar"], rating_a)

    @property
    def heaviest_bar_g(self) -> int:
        bars = (grams(each.mass_kg) for each in self.catalog.fittings if each.what == "bus bar")
        return max((TYPICAL["bus bar"][1], *bars))

    def inlet(self, current_a: float, charging_v: float) -> Got:
        """Never a plug of the motor's kind, so that the two cannot be mixed up."""
        told = f"Two-pole charging inlet with a cap, at least {current_a:g} A, unlike the motor's"
        found = self._fitting("inlet", current_a, charging_v)
        return self._got(found, told, TYPICAL["inlet"], current_a)

    def converter(self, output_v: float, output_a: float, charging_v: float) -> Got:
        told = f"Converter to {output_v:g} V, at least {output_a:.2g} A"
        gives_v = self._fittings["converter"]["output_v"]
        near = np.abs(gives_v / output_v - 1.0) <= 0.05
        found = self._fitting("converter", output_a, charging_v, near)
        return self._got(found, told, TYPICAL_CONVERTER, output_a)

    def strap(self) -> tuple[Got, Got]:
        """What a battery without a box has: a hold-down, and a cover on a post."""
        told = {
            "hold-down": "Hold-down for a battery, with strap and tray",
            "terminal cover": "Cover for a battery's post",
        }
        down, cover = (
            self._got(next(iter(self._fittings[what].parts), None), words, TYPICAL[what], 0.0)
            for what, words in told.items()
        )
        return down, cover

    def control_box(self) -> Got | None:
        """The closed box round a separate control, no smaller any way than the outing's."""
        asked = self.outing.craft.control_box
        if asked is None:
            return None
        least = sorted((asked.length_m, asked.width_m, asked.height_m))
        found = next(
            (
                each
                for each in self._cheapest_first(self.catalog.boxes).parts
                if each.holds == "control"
                and all(
                    side >= just_below(bound)
                    for side, bound in zip(sorted(each.outer_m), least, strict=True)
                )
            ),
            None,
        )
        size = " x ".join(f"{100 * side_m:g}" for side_m in least[::-1])
        told = f"Closed box for the speed control, at least {size} cm outside"
        return self._got(found, told, TYPICAL["control box"], 0.0)

    def lug(self, area_mm2: float, size: str) -> Got:
        lugs = self._fittings["lug"]
        found = lugs.first(
            lugs["area_mm2"] >= just_below(area_mm2),
            lugs["area_mm2"] <= just_above(MOST_LUG_OVER * area_mm2),
        )
        return self._got(found, f"Ring lug with shrink tube {size}", TYPICAL["lug"], 0.0)

    def _fitting(
        self, what: str, rating_a: float, charging_v: float, *rules: Bools
    ) -> Fitting | None:
        """The cheapest that suits; one whose rating is blank suits no current."""
        of = self._fittings[what]
        stands = of["max_voltage_v"] >= just_below(charging_v)
        return of.first(of["rating_a"] >= just_below(rating_a), stands, *rules)

    def strand(self, *, fuse_a: float, length_m: float, current_a: float, most_v: float) -> Strand:
        """Cable for a branch ``length_m`` there and back behind a fuse: the cheapest on sale that
        carries it, else what to ask for."""

        def carries(strand: Strand) -> bool:
            return (
                strand.area_mm2 >= just_below(SMALLEST_CONDUCTOR_MM2)
                and strand.ampacity_a >= just_below(fuse_a)
                and strand.drop_v(length_m, current_a) <= just_above(most_v)
            )

        def found() -> Strand:
            cables, copper = self._cables, map(self._copper, GAUGES)
            strong = np.flatnonzero(self._carried_a >= just_below(fuse_a)).tolist()
            on_sale = (self.cut_from(cables.parts[row]) for row in strong)
            return next(filter(carries, chain(on_sale, copper)), None) or self._copper(GAUGES[-1])

        return self._once(("strand", fuse_a, length_m, current_a, most_v), found)

    @cached_property
    def _cables(self) -> Cheapest[Cable]:
        return self._cheapest_first(self.catalog.cables)

    @cached_property
    def _carried_a(self) -> Floats:
        cables = self._cables
        return np.asarray(self._ampacity_a(cables["area_mm2"], cables["insulation_c"]))

    def cut_from(self, cable: Cable) -> Strand:
        return Strand(
            Got(cable, cable.name, self._price(cable), 1000.0 * cable.mass_kg_m),
            cable.size,
            cable.area_mm2,
            float(self._ampacity_a(cable.area_mm2, cable.insulation_c)),
            cable.by_area,
            cable.tinned,
        )

    def _copper(self, gauge: int) -> Strand:
        area_mm2 = float(awg_area_mm2(gauge=gauge))
        size = f"{gauge} AWG" if gauge > 0 else f"{1 - gauge}/0 AWG"
        told = f"Stranded copper {size}, {BOAT_CABLE_C} degC"
        typical = self.outing.policy.typical_prices
        cents = TYPICAL_CENTS_M + TYPICAL_CENTS_M_MM2 * area_mm2 if typical else None
        got = Got(None, told, cents, COPPER_G_M_MM2 * area_mm2, typical)
        carried_a = float(self._ampacity_a(area_mm2, BOAT_CABLE_C))
        return Strand(got, size, area_mm2, carried_a, by_area=False, tinned=False)

    def _ampacity_a(self, area_mm2: Real, insulation_c: Real) -> Real:
        return ampacity_a(
            area_mm2=area_mm2,
            insulation_c=insulation_c,
            place_temperature_c=self.outing.policy.place_temperature_c,
        )
