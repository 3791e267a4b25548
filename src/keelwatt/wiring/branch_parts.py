"""Parts for the branches: the cheapest of the catalog that suit, else what to ask for."""

from dataclasses import dataclass, replace
from math import ceil
from typing import Literal

from keelwatt.files.catalog.parts import Cable, Connector, Fuse
from keelwatt.files.catalog.reader import Catalog
from keelwatt.files.kit import ROUNDING, just_above, just_below
from keelwatt.files.outing import Outing
from keelwatt.physics.cable import ampacity_a, awg_area_mm2
from keelwatt.physics.protection import SMALLEST_CONDUCTOR_MM2
from keelwatt.wiring.model import Item, Wire, conductor_drop_v

FUSE_RATINGS_A = (1, 2, 3, 5, 7.5, 10, 15, 20, 25, 30, 40, 50, 60, 70, 80, 100)
"""Ratings blade and strip fuses for vehicles are sold in. From memory."""

BRANCH_MARGIN = 1.25
"""A branch's fuse over its current. Common practice."""

MOST_TIMES_ASKED = 2.0
"""A fuse larger than this many times the rating asked for would not guard a thin device lead.
Common practice."""

GAUGES = (16, 14, 12, 10, 8, 6, 4, 2, 1, 0, -1, -2, -3)
"""AWG, thinnest first; 0 is 1/0 and -3 is 4/0."""

BOAT_CABLE_C = 105
"""Insulation asked for where the catalog has no cable. Common practice."""


def branch_fuse_a(current_a: float) -> float:
    """The next rating on sale above a branch's current and its margin.

    >>> branch_fuse_a(4.0), branch_fuse_a(100.0)
    (5, 130)
    """
    least = BRANCH_MARGIN * current_a
    on_sale = (rating for rating in FUSE_RATINGS_A if rating >= just_below(least))
    return next(on_sale, 10 * ceil(least / 10 * (1 - ROUNDING)))


@dataclass(frozen=True)
class BranchParts:
    """A catalog seen by one bank: its voltage on the charger, and what flows when it is shorted."""

    catalog: Catalog
    outing: Outing
    charging_v: float
    short_circuit_a: float

    def fuse(self, name: str, circuit: str, current_a: float) -> Item:
        asked_a = branch_fuse_a(current_a)
        least, most = BRANCH_MARGIN * current_a, MOST_TIMES_ASKED * asked_a
        suiting = [
            fuse
            for fuse in self.catalog.fuses
            if just_below(least) <= fuse.rating_a <= just_above(most)
            and fuse.interrupts_a >= just_below(self.short_circuit_a)
            and fuse.max_voltage_v >= just_below(self.charging_v)
            and fuse.id not in self.outing.parts.refuse
        ]
        if suiting:
            return fuse_item(min(suiting, key=self._price), name, circuit, current_a)
        told = (
            f"Fuse {asked_a:g} A with holder, for at least {self.charging_v:g} V, "
            f"that breaks {self.short_circuit_a:.0f} A"
        )
        return replace(
            Item.asked(told, "fuse", name, circuit, current_a=current_a, rating_a=asked_a),
            interrupts_a=self.short_circuit_a,
            max_voltage_v=self.charging_v,
        )

    def wire(self, *, fuse_a: float, length_m: float, current_a: float, most_v: float) -> Wire:
        """Cable for a branch ``length_m`` there and back behind a fuse."""

        def carries(wire: Wire) -> bool:
            drop_v = conductor_drop_v(length_m=length_m, wire=wire, current_a=current_a)
            return (
                wire.area_mm2 >= just_below(SMALLEST_CONDUCTOR_MM2)
                and wire.ampacity_a >= just_below(fuse_a)
                and drop_v <= just_above(most_v)
            )

        cables = (c for c in self.catalog.cables if c.id not in self.outing.parts.refuse)
        on_sale = map(self.cut_from, sorted(cables, key=self._price))
        asked = [self._asked(gauge) for gauge in GAUGES]
        return next(filter(carries, (*on_sale, *asked)), asked[-1])

    def cut_from(self, cable: Cable) -> Wire:
        carried = self._ampacity_a(cable.area_mm2, cable.insulation_c)
        return Wire(
            cable.id,
            cable.name,
            cable.size,
            cable.area_mm2,
            carried,
            cable.price_cents_m,
            by_area=cable.by_area,
            tinned=cable.tinned,
        )

    def inlet(self, name: str, circuit: str, current_a: float, wire: Wire, taken: str) -> Item:
        """A connector unlike the one already ``taken``, so that the two cannot be mixed up."""
        suiting = [
            plug
            for plug in self.catalog.connectors
            if plug.id != taken
            and plug.id not in self.outing.parts.refuse
            and plug.current_a >= just_below(current_a)
            and plug.smallest_mm2 <= just_above(wire.area_mm2)
            and plug.largest_mm2 >= just_below(wire.area_mm2)
        ]
        if suiting:
            return plug_item(min(suiting, key=self._price), "inlet", name, circuit, current_a)
        told = f"Two-pole connector with a cap, at least {current_a:g} A, unlike the motor's"
        return Item.asked(told, "inlet", name, circuit, current_a=current_a, rating_a=current_a)

    def _price(self, part: Fuse | Connector | Cable) -> float:
        """Nothing for what is owned; by the metre for cable."""
        if part.id in self.outing.parts.own:
            return 0.0
        return part.price_cents_m if isinstance(part, Cable) else part.price_cents

    def _asked(self, gauge: int) -> Wire:
        area_mm2 = float(awg_area_mm2(gauge=gauge))
        size = f"{gauge} AWG" if gauge > 0 else f"{1 - gauge}/0 AWG"
        carried = self._ampacity_a(area_mm2, BOAT_CABLE_C)
        told = f"Stranded copper {size}, {BOAT_CABLE_C} degC"
        return Wire(None, told, size, area_mm2, carried, None)

    def _ampacity_a(self, area_mm2: float, insulation_c: float) -> float:
        return float(
            ampacity_a(
                area_mm2=area_mm2,
                insulation_c=insulation_c,
                place_temperature_c=self.outing.policy.place_temperature_c,
            )
        )


def fuse_item(fuse: Fuse, name: str, circuit: str, current_a: float) -> Item:
    return replace(
        Item.of(fuse, "fuse", name, circuit, current_a=current_a, rating_a=fuse.rating_a),
        interrupts_a=fuse.interrupts_a,
        max_voltage_v=fuse.max_voltage_v,
    )


def plug_item(
    plug: Connector, kind: Literal["connector", "inlet"], name: str, circuit: str, current_a: float
) -> Item:
    return replace(
        Item.of(plug, kind, name, circuit, current_a=current_a, rating_a=plug.current_a),
        smallest_mm2=plug.smallest_mm2,
        largest_mm2=plug.largest_mm2,
    )
