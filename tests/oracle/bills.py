"""A kit's bill once more, part by part, in numbers of its own; knows nothing of tables or proof."""

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import permutations
from math import ceil

from keelwatt.files.catalog.parts import Battery, Cable, Enclosure, Fitting, Fuse
from keelwatt.files.catalog.reader import Catalog
from keelwatt.files.kit import Kit
from keelwatt.files.outing import Outing
from keelwatt.physics.bank import bank_voltage_v
from keelwatt.physics.cable import ampacity_a, awg_area_mm2
from keelwatt.physics.metric import conductor_ohm_m

GRACE = 1e-9
ON_SALE_A = (1, 2, 3, 5, 7.5, 10, 15, 20, 25, 30, 40, 50, 60, 70, 80, 100)
TYPICAL = {
    "bus bar": (1500, 200),
    "lug": (100, 10),
    "fuse": (700, 50),
    "inlet": (1500, 80),
    "converter": (1500, 100),
    "hold-down": (1200, 250),
    "terminal cover": (150, 10),
    "control box": (2000, 400),
}

Sums = tuple[int, int]
"""Cents and grams."""


@dataclass(frozen=True)
class Beside:
    """What a kit's own parts leave out: cable in whole lengths, and all that no kit names."""

    outing: Outing
    catalog: Catalog
    kit: Kit

    @property
    def battery(self) -> Battery:
        return next(part for part in self.catalog.batteries if part.id == self.kit.battery)

    @property
    def fuse(self) -> Fuse:
        return next(part for part in self.catalog.fuses if part.id == self.kit.fuse)

    @property
    def cable(self) -> Cable:
        return next(part for part in self.catalog.cables if part.id == self.kit.cable)

    @property
    def nominal_v(self) -> float:
        return self.battery.voltage_v * self.kit.series

    @property
    def system_v(self) -> int:
        return self.battery.system_v * self.kit.series

    @property
    def charging_v(self) -> float:
        kind = self.battery.chemistry
        volts = bank_voltage_v(chemistry=kind, nominal_voltage_v=self.nominal_v, state="charging")
        return float(volts)

    @property
    def unit_m(self) -> float:
        return 0.3048 if self.outing.policy.cable_by == "foot" else 1.0

    def sums(self) -> Sums:
        """Cents and grams of all of it, string fuses but not the main one; the charger's inlet."""
        found = [self._main(), *self._joints(), *self._devices(), self.held(), self._control_box()]
        charger = next((c for c in self.catalog.chargers if c.id == self.kit.charger), None)
        cents, grams = (sum(each) for each in zip(*found, strict=True))
        if charger:
            cents += self._inlet(charger.current_a)[0]
        wanted = {c.id for c in self.catalog.chargers} & {*self.outing.parts.require}
        if self.outing.limits.recharge_within_h is not None or wanted:
            grams += max(
                (
                    self._inlet(c.current_a)[1]
                    for c in self.catalog.chargers
                    if self.battery.chemistry in c.chemistries and c.system_v == self.system_v
                ),
                default=0,
            )
        return cents, grams

    def held(self) -> Sums:
        """Each battery's box, or its strap and two covers."""
        units = self.kit.units
        if self.kit.box:
            box = next(part for part in self.catalog.boxes if part.id == self.kit.box)
            return self._owing(box, units) * box.price_cents, units * round(1000 * box.mass_kg)
        each = [
            self._cheapest(what, (part for part in self.catalog.fittings if part.what == what))
            for what in ("hold-down", "terminal cover", "terminal cover")
        ]
        return units * sum(cents for cents, _ in each), units * sum(grams for _, grams in each)

    def _control_box(self) -> Sums:
        named = self.outing.craft.control_box
        if not named or not self.kit.controller:
            return 0, 0
        least = sorted((named.length_m, named.width_m, named.height_m))
        large = [
            part
            for part in self.catalog.boxes
            if part.holds == "control"
            and all(has >= m - GRACE for has, m in zip(sorted(part.outer_m), least, strict=True))
        ]
        return self._cheapest("control box", large)

    def _owing(self, part: Enclosure, count: int) -> int:
        wishes = self.outing.parts
        if part.id not in wishes.own:
            return count
        return max(0, count - wishes.own_pieces.get(part.id, count))

    def _main(self) -> Sums:
        kit, (lead_m, link_m) = self.kit, self._leads_m()
        strings = kit.parallel if kit.parallel > 1 else 0
        links = (kit.series - 1) * kit.parallel
        black_m = kit.run_m + strings * (0.15 + lead_m)
        red_m = black_m + links * link_m
        parts = self.outing.parts
        buy = kit.cable not in parts.own or parts.own_pieces.get(kit.cable, 1) < 1
        price = self.cable.price_cents_m if buy else 0
        lug = self._lug(self.cable.area_mm2)
        lugs = 6 + 6 * strings + 2 * links
        cents = self._length(price, red_m) + self._length(price, black_m)
        grams = sum(round(1000 * self.cable.mass_kg_m * length) for length in (red_m, black_m))
        return cents + lugs * lug[0], grams + lugs * lug[1]

    def _joints(self) -> Iterable[Sums]:
        kit = self.kit
        if kit.parallel == 1:
            return ()
        bars = self._fittings("bus bar", kit.parallel * self.fuse.rating_a)
        studs = kit.parallel + 2 + len(self.outing.devices)
        bar = self._cheapest("bus bar", (each for each in bars if each.studs >= studs))
        return bar, bar

    def _devices(self) -> Iterable[Sums]:
        for device in self.outing.devices:
            yield self._branch(device.power_w / (0.9 * self.nominal_v), 2.0)
            if device.voltage_v is not None and device.voltage_v != self.system_v:
                amperes = device.power_w / device.voltage_v
                yield self._cheapest(
                    "converter",
                    (
                        each
                        for each in self._fittings("converter", amperes)
                        if each.output_v and abs(each.output_v - device.voltage_v) < 0.5
                    ),
                )

    def _inlet(self, current_a: float) -> Sums:
        branch = self._branch(current_a, 0.45)
        inlet = self._cheapest("inlet", self._fittings("inlet", current_a))
        return branch[0] + inlet[0], branch[1] + inlet[1]

    def _branch(self, current_a: float, run_m: float) -> Sums:
        least = 1.25 * current_a
        asked = next((a for a in ON_SALE_A if a >= least - GRACE), 10 * ceil(least / 10 - GRACE))
        short_a = self.kit.parallel * self.battery.string_short_circuit_a
        fuses = [
            each
            for each in self.catalog.fuses
            if least - GRACE <= each.rating_a <= 2 * asked + GRACE
            and each.interrupts_a >= short_a - 1e-6
            and each.max_voltage_v >= self.charging_v - 1e-6
        ]
        fuse = self._cheapest("fuse", fuses)
        kept = [each for each in fuses if each.id not in self.outing.parts.refuse]
        rating_a = (
            min(kept, key=lambda each: (self._pay(each), each.mass_kg, each.id)).rating_a
            if kept
            else asked
        )
        most_ohm_m = 0.03 * self.system_v / current_a / (2 * run_m)
        area_mm2, price, kg_m = self._strand(rating_a, most_ohm_m)
        lug = self._lug(area_mm2)
        cents = fuse[0] + 2 * self._length(price, run_m) + 4 * lug[0]
        return cents, fuse[1] + 2 * round(1000 * kg_m * run_m) + 4 * lug[1]

    def _strand(self, fuse_a: float, most_ohm_m: float) -> tuple[float, float, float]:
        """Area, cents and kilograms a metre of the cheapest that carries the fuse and the drop."""
        refused = self.outing.parts.refuse
        rows = [
            (each.area_mm2, self._pay(each), each.mass_kg_m, each.insulation_c, each.by_area, each)
            for each in sorted(self.catalog.cables, key=lambda c: (self._pay(c), c.mass_kg_m, c.id))
            if each.id not in refused
        ]
        found: list[tuple[float, float, float, float, bool, bool]] = [
            (area, cents, kg, warm, by_area, cable.tinned)
            for area, cents, kg, warm, by_area, cable in rows
        ]
        for gauge in (16, 14, 12, 10, 8, 6, 4, 2, 1, 0, -1, -2, -3):
            area = float(awg_area_mm2(gauge=gauge))
            cents = 30 + 25 * area if self.outing.policy.typical_prices else 0.0
            found.append((area, cents, 0.012 * area, 105, False, False))
        for area, cents, kg, warm, by_area, tinned in found:
            carried = ampacity_a(
                area_mm2=area,
                insulation_c=warm,
                place_temperature_c=self.outing.policy.place_temperature_c,
            )
            ohm_m = conductor_ohm_m(area_mm2=area, by_area=by_area, tinned=tinned)
            thick = area >= float(awg_area_mm2(gauge=16)) * (1 - GRACE)
            if thick and carried >= fuse_a - 1e-6 and ohm_m <= most_ohm_m * (1 + GRACE):
                return area, cents, kg
        return found[-1][:3]

    def _leads_m(self) -> tuple[float, float]:
        """From a string's fuse to the joints, and from battery to battery; whole centimetres."""
        battery, kit = self.battery, self.kit
        box = next(c for c in self.outing.craft.compartments if c.name == kit.compartment)
        case = next((each for each in self.catalog.boxes if each.id == kit.box), None)
        free = [
            side - 2 * self.outing.policy.clearance_m + GRACE
            for side in (box.length_m, box.width_m, box.height_m)
        ]
        sides = case.outer_m if case else (battery.length_m, battery.width_m, battery.height_m)
        lie = [(0, 1, 2), (1, 0, 2), (0, 2, 1), (2, 0, 1), (1, 2, 0), (2, 1, 0)]
        assert sorted(lie) == sorted(permutations(range(3)))
        units, blocks = kit.units, []
        for turn in lie[: 2 if battery.upright_only or case else 6]:
            length, width, height = (sides[side] for side in turn)
            columns = min(units, int(free[1] / width))
            rows = ceil(units / columns) if columns else units + 1
            if columns and rows * length <= free[0] and height <= free[2]:
                columns = ceil(units / rows)
                blocks.append((height, rows * length, columns * width, length, width))
        if not blocks:
            blocks = [(0.0, sides[0], units * sides[1], sides[0], sides[1])]
        _, long, wide, length, width = min(blocks, key=lambda block: block[0])
        lead_m = ceil(round(100 * ((long + wide) / 2 + 0.1), 6)) / 100
        return lead_m, ceil(round(100 * (max(length, width) + 0.1), 6)) / 100

    def _length(self, cents_m: float, length_m: float) -> int:
        lengths = ceil(round(length_m / self.unit_m, 6))
        return round(lengths * (cents_m * self.unit_m))

    def _lug(self, area_mm2: float) -> Sums:
        lugs = (each for each in self.catalog.fittings if each.what == "lug" and each.area_mm2)
        low, high = area_mm2 * (1 - GRACE), 1.35 * area_mm2 * (1 + GRACE)
        return self._cheapest("lug", (lug for lug in lugs if low <= (lug.area_mm2 or 0) <= high))

    def _fittings(self, what: str, current_a: float) -> list[Fitting]:
        return [
            each
            for each in self.catalog.fittings
            if each.what == what
            and each.rating_a is not None
            and each.rating_a >= current_a - 1e-6
            and each.max_voltage_v >= self.charging_v - 1e-6
        ]

    def _pay(self, part: Cable | Enclosure | Fitting | Fuse) -> float:
        wishes = self.outing.parts
        if isinstance(part, Enclosure):
            return self._owing(part, 1) * part.price_cents
        if part.id in wishes.own and part.id not in wishes.own_pieces:
            return 0
        return part.price_cents_m if isinstance(part, Cable) else part.price_cents

    def _cheapest(self, what: str, parts: Iterable[Enclosure | Fitting | Fuse]) -> Sums:
        kept = [part for part in parts if part.id not in self.outing.parts.refuse]
        if kept:
            part = min(kept, key=lambda each: (self._pay(each), each.mass_kg, each.id))
            return round(self._pay(part)), round(1000 * part.mass_kg)
        cents, grams = TYPICAL[what]
        return (cents if self.outing.policy.typical_prices else 0), grams
