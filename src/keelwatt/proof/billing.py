"""The bill of one kit in the making: what is counted, looked up and measured for each line."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import cached_property

from keelwatt.files.catalog import parts
from keelwatt.files.catalog.beside import Beside
from keelwatt.files.catalog.got import Got, Strand
from keelwatt.files.catalog.reader import Catalog
from keelwatt.files.kit import Kit, grams, length_cents, length_g, to_buy
from keelwatt.files.outing import Device, Outing
from keelwatt.physics import joining, stowage
from keelwatt.physics.bank import bank_voltage_v
from keelwatt.proof.bill import WHAT, Bill, BillLine
from keelwatt.proof.model import Chosen

CHARGING = "Charging inlet"


@dataclass(frozen=True)
class Billing:
    """One kit's bill in the making. ``device_a``: each device's current on the bank."""

    beside: Beside
    kit: Kit
    chosen: Chosen
    device_a: tuple[float, ...]

    @property
    def outing(self) -> Outing:
        return self.beside.outing

    @property
    def catalog(self) -> Catalog:
        return self.beside.catalog

    @cached_property
    def charging_v(self) -> float:
        battery = self.chosen.battery
        nominal_v = self.kit.series * battery.voltage_v
        volts = bank_voltage_v(
            chemistry=battery.chemistry, nominal_voltage_v=nominal_v, state="charging"
        )
        return float(volts)

    @property
    def short_a(self) -> float:
        return self.kit.parallel * self.chosen.battery.string_short_circuit_a

    @property
    def joined(self) -> bool:
        return self.kit.parallel > 1

    @cached_property
    def lead_m(self) -> float:
        """From a string's fuse to the joints."""
        length_m, width_m, _ = self._block.size
        return joining.string_lead_m(length_m=length_m, width_m=width_m)

    @cached_property
    def link_m(self) -> float:
        length_m, width_m, _ = self._block.unit
        return joining.link_m(length_m=length_m, width_m=width_m)

    @cached_property
    def _block(self) -> stowage.Block:
        room, (unit_m, upright_only) = self.chosen.compartment, self.chosen.unit
        return stowage.block_or_row(
            units=self.kit.units,
            unit_m=unit_m,
            upright_only=upright_only,
            room_m=room.size_m,
            clearance_m=self.outing.policy.clearance_m,
        )

    @cached_property
    def bar(self) -> Got:
        """One of the two joints of strings in parallel."""
        rating_a = self.kit.parallel * self.chosen.fuse.rating_a
        studs = joining.studs_asked(parallel=self.kit.parallel, devices=len(self.outing.devices))
        return self.beside.bar(rating_a, studs, self.charging_v)

    def bill(self) -> Bill:
        lines = [*self._parts(), *self._main(), *self._held(), *self._branches()]
        battery = self.chosen.battery
        worn_out = battery.cycles / self.outing.wish.outings_per_season
        whole = sorted(_together(lines), key=lambda line: WHAT.index(line.what))
        return Bill(tuple(whole), min(battery.calendar_years, worn_out))

    @property
    def held_g(self) -> int:
        return sum(line.mass_g for line in self._held())

    def _held(self) -> Iterator[BillLine]:
        """A box for each battery, which covers its posts; else a strap, and a cover on each."""
        kit, use = self.kit, self.kit.compartment
        if self.chosen.box:
            yield self._part("box", self.chosen.box, kit.units, use)
            return
        down, cover = self.beside.strap()
        yield self._small("hold-down", down, kit.units, use)
        yield self._small("terminal cover", cover, 2 * kit.units, use)

    @property
    def beside_bank_g(self) -> int:
        """Branches, which are counted in the bank's compartment."""
        return sum(line.mass_g for line in self._branches()) + self.charging_spare_g

    def _branches(self) -> Iterator[BillLine]:
        for device, current_a in zip(self.outing.devices, self.device_a, strict=True):
            yield from self._branch(current_a, joining.DEVICE_RUN_M, device.name)
            if converter := self.converter(device):
                yield self._small("converter", converter, 1, device.name)
        if self.chosen.charger:
            yield from self._charging(self.chosen.charger)

    @cached_property
    def charging_spare_g(self) -> int:
        """What the heaviest branch of any charger for such a bank has over that of this kit's.
        So the charger touches nothing but the price. Nothing where no charger is asked for."""
        ids = {charger.id for charger in self.catalog.chargers}
        asked = self.outing.limits.recharge_within_h is not None
        if not (self.chosen.charger or asked or ids & {*self.outing.parts.require}):
            return 0
        battery, system_v = self.chosen.battery, self.kit.series * self.chosen.battery.system_v
        alike = {
            charger.current_a: charger
            for charger in self.catalog.chargers
            if battery.chemistry in charger.chemistries and charger.system_v == system_v
        }
        own, *each = (
            sum(line.mass_g for line in self._charging(charger)) if charger else 0
            for charger in (self.chosen.charger, *alike.values())
        )
        return max([own, *each]) - own

    def _parts(self) -> Iterator[BillLine]:
        chosen, kit = self.chosen, self.kit
        yield self._part("battery", chosen.battery, kit.units, kit.compartment)
        yield self._part("motor", chosen.motor, 1, kit.mount)
        if chosen.controller:
            yield self._part("controller", chosen.controller, 1, "Motor")
        if chosen.control_box:
            yield self._small("box", chosen.control_box, 1, "Motor")
        fuses = 1 + (kit.parallel if self.joined else 0)
        uses = ("Motor", "Joining the batteries") if self.joined else ("Motor",)
        yield self._part("fuse", chosen.fuse, fuses, *uses)
        plugs = self._part("connector", chosen.connector, self.outing.policy.disconnects, "Motor")
        yield replace(plugs, unit="pair")
        if chosen.charger:
            yield self._part("charger", chosen.charger, 1, "ashore")

    def _part(self, what: str, part: parts.Piece, count: int, *uses: str) -> BillLine:
        buy = to_buy(self.outing.parts, part.id, count)
        return BillLine(
            what=what,
            part=part.id,
            name=part.name,
            needed=count,
            bought=buy,
            each_cents=part.price_cents,
            price_cents=buy * part.price_cents,
            mass_g=0 if isinstance(part, parts.Charger) else count * grams(part.mass_kg),
            uses=uses,
        )

    def _main(self) -> Iterator[BillLine]:
        """Cable and lugs of the motor's circuit, with what joins the batteries."""
        kit, cable = self.kit, self.beside.cut_from(self.chosen.cable)
        buy = to_buy(self.outing.parts, kit.cable, 1)
        cents = buy * self.chosen.cable.price_cents_m
        cable = replace(cable, got=replace(cable.got, cents=cents))
        red_m, black_m = joining.joining_m(
            series=kit.series, parallel=kit.parallel, lead_m=self.lead_m, link_m=self.link_m
        )
        uses = ("Motor", "Joining the batteries") if kit.units > 1 else ("Motor",)
        yield self._length(cable, "red", kit.run_m + red_m, *uses)
        yield self._length(cable, "black or yellow", kit.run_m + black_m, *uses)
        lugs = joining.MAIN_LUGS + joining.joining_lugs(series=kit.series, parallel=kit.parallel)
        yield self._small("lug", self.beside.lug(cable.area_mm2, cable.size), lugs, *uses)
        if self.joined:
            yield self._small("bus bar", self.bar, 2, "Joining the batteries")

    def _branch(self, current_a: float, run_m: float, use: str) -> Iterator[BillLine]:
        fuse, strand = self.branch(current_a, run_m)
        yield self._small("fuse", fuse, 1, use)
        yield self._length(strand, "red", run_m, use)
        yield self._length(strand, "black or yellow", run_m, use)
        lug = self.beside.lug(strand.area_mm2, strand.size)
        yield self._small("lug", lug, joining.BRANCH_LUGS, use)

    def branch(self, current_a: float, run_m: float) -> tuple[Got, Strand]:
        """The fuse of a branch so long one way, and what it is cut from."""
        fuse = self.beside.fuse(current_a, self.charging_v, self.short_a)
        strand = self.beside.strand(
            fuse_a=fuse.rating_a,
            length_m=2 * run_m,
            current_a=current_a,
            most_v=joining.BRANCH_DROP * self.kit.series * self.chosen.battery.system_v,
        )
        return fuse, strand

    def converter(self, device: Device) -> Got | None:
        """Where a device is made for another voltage than the bank's class."""
        system_v = self.kit.series * self.chosen.battery.system_v
        if device.voltage_v is None or device.voltage_v == system_v:
            return None
        output_a = device.power_w / device.voltage_v
        return self.beside.converter(device.voltage_v, output_a, self.charging_v)

    def _charging(self, charger: parts.Charger) -> Iterator[BillLine]:
        run_m = joining.FUSE_LEAD_M + joining.INLET_LEAD_M
        yield from self._branch(charger.current_a, run_m, CHARGING)
        inlet = self.beside.inlet(charger.current_a, self.charging_v)
        yield self._small("inlet", inlet, 1, CHARGING)

    def _small(self, what: str, got: Got, count: int, *uses: str) -> BillLine:
        owned = got.cents == 0 and got.id in self.outing.parts.own
        return BillLine(
            what=what,
            part=got.id,
            name=got.told,
            needed=count,
            bought=0 if owned else count,
            each_cents=got.cents,
            price_cents=None if got.cents is None else count * round(got.cents),
            typical=got.typical,
            mass_g=count * round(got.grams),
            uses=uses,
        )

    def _length(self, strand: Strand, colour: str, length_m: float, *uses: str) -> BillLine:
        """One colour of a circuit, bought in one length and cut."""
        unit_m, got = self.outing.cable_unit_m, strand.got
        owned = got.cents == 0 and got.id in self.outing.parts.own
        priced = got.cents is not None
        return BillLine(
            what="cable",
            part=got.id,
            name=got.told,
            colour=colour,
            needed=length_m / unit_m,
            bought=0 if owned else joining.whole_lengths(length_m=length_m, unit_m=unit_m),
            unit="m" if unit_m == 1.0 else "ft",
            each_cents=got.to_pay * unit_m if priced else None,
            price_cents=length_cents(got.to_pay, length_m, unit_m) if priced else None,
            typical=got.typical,
            mass_g=length_g(got.grams, length_m),
            uses=uses,
        )


def _together(lines: Iterable[BillLine]) -> Iterator[BillLine]:
    """Lines of one part, or of what is asked for in the same words, as one each."""
    groups: dict[tuple[object, ...], list[BillLine]] = {}
    for line in lines:
        key = line.what, line.part, line.name, line.colour, line.owned
        groups.setdefault(key, []).append(line)
    for same in groups.values():
        prices = [line.price_cents for line in same if line.price_cents is not None]
        yield replace(
            same[0],
            needed=sum(line.needed for line in same),
            bought=sum(line.bought for line in same),
            price_cents=sum(prices) if prices else None,
            mass_g=sum(line.mass_g for line in same),
            uses=tuple(dict.fromkeys(use for line in same for use in line.uses)),
        )
