"""Every type of bank and of drive that an outing allows, as columns."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from itertools import product
from typing import Any

import numpy as np
import numpy.typing as npt

from keelwatt.boat.bank import Bank
from keelwatt.boat.day import Day
from keelwatt.boat.drive import OPEN, Drive, step_ohm, warming
from keelwatt.boat.load_case import LoadCase
from keelwatt.boat.resistance import Displacements
from keelwatt.boat.turned import across_kg_m, mount_moment_n_m, turning_kg_m
from keelwatt.files.catalog.parts import Battery, Charger, Controller, Motor, Part
from keelwatt.files.catalog.reader import Catalog
from keelwatt.files.kit import (
    SEASON_UNITS_PER_CENT,
    bank_seasons,
    grams,
    just_below,
    season_units,
    to_buy,
    whole_grams_within,
)
from keelwatt.kits.account import FILTERS, Account
from keelwatt.kits.allowed import Allowed, named
from keelwatt.kits.branches import Branches
from keelwatt.kits.charging import charging_columns
from keelwatt.kits.holding import STRAP, Holding
from keelwatt.kits.joints import Join, Joins, least_join
from keelwatt.kits.least import NEVER, LeastWiring
from keelwatt.kits.shelf import Harnesses, Level, Shelf, worthwhile
from keelwatt.kits.wiring import Wirings
from keelwatt.limits import enters
from keelwatt.physics import joining, protection, stowage
from keelwatt.physics.bank import State, bank_voltage_v
from keelwatt.physics.battery import device_current_a
from keelwatt.physics.metric import conductor_ohm_m, contacts_ohm

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]
Bools = npt.NDArray[np.bool_]
Columns = Mapping[str, npt.NDArray[Any]]

DEMANDS = ("leg_speed", "top_speed", "hours")
"""Wishes of the day, drawn days too."""

ANY_NUMBER = 1 << 40
"""Pieces of a part that is owned in any number."""


@dataclass(frozen=True)
class Types:
    """What the outing's rules on parts leave of a catalog, and what it can be put together to.

    A bank type is so many of a battery in series and parallel, a drive type a motor with its
    control; both are numbered in the catalog's order. ``every_control`` keeps controllers that
    another beats: no best kit holds one.
    """

    case: LoadCase
    catalog: Catalog
    every_control: bool = False
    known: Displacements | None = None
    """The same boat's water, perhaps between masses far enough apart for these kits too."""

    @cached_property
    def _allowed(self) -> Allowed:
        return Allowed(self.case, Account())

    @cached_property
    def batteries(self) -> tuple[Battery, ...]:
        kept: tuple[Battery, ...] = self._allowed.of("battery", self.catalog.batteries)
        return kept

    @cached_property
    def motors(self) -> tuple[Motor, ...]:
        kept: tuple[Motor, ...] = self._allowed.of("motor", self.catalog.motors)
        return kept

    @cached_property
    def controllers(self) -> tuple[Controller | None, ...]:
        """None stands for a motor's own control; it is not there where one is required."""
        return self._allowed.controllers(self.catalog.controllers)

    @cached_property
    def chargers(self) -> tuple[Charger, ...]:
        kept: tuple[Charger, ...] = self._allowed.of("charger", self.catalog.chargers)
        return kept

    @cached_property
    def holding(self) -> Holding:
        policy = self.case.outing.policy.battery_box
        for_batteries = tuple(box for box in self.catalog.boxes if box.holds == "battery")
        boxes = () if policy == "never" else self._allowed.of("box", for_batteries)
        strapped = policy != "always" and not named(for_batteries, self._allowed.require)
        return Holding(self.shelf.beside, boxes, strapped)

    @cached_property
    def charger_required(self) -> bool:
        return named(self.catalog.chargers, self._allowed.require)

    @cached_property
    def shelf(self) -> Shelf:
        return shelf_of(self.case, self.catalog, self._allowed)

    @cached_property
    def least_wiring(self) -> LeastWiring:
        craft, run_m = self.case.outing.craft, self.case.run_m
        ends = tuple(product(craft.compartments, craft.mounts))
        direct, over = (
            tuple(run_m(box, mount, controlled=controlled) for box, mount in ends)
            for controlled in (False, True)
        )
        joins = self._least_joins[0]
        return LeastWiring(self.shelf, (direct, over), self._most_join, joins)

    @property
    def _most_join(self) -> Join:
        """As many strings as any, of as many, in the longest rows; bars at their heaviest."""
        sides = [*map(max, self._pieces[0].tolist())]
        series = max((b.max_series for b in self.batteries), default=1)
        parallel = max((b.max_parallel for b in self.batteries), default=1)
        side_m, units = max(sides, default=0.0), series * parallel
        lead_m = joining.string_lead_m(length_m=units * side_m, width_m=side_m)
        return Join(series, parallel, lead_m, joining.link_m(length_m=side_m, width_m=side_m))

    def _unit_of(self, bank: int) -> tuple[stowage.Triple, bool]:
        """Sides of what a bank type is made of, and whether it stands upright only."""
        sides, upright = self._pieces
        (piece,) = self._piece(self.bank_types[[bank]]).tolist()
        length_m, width_m, height_m = sides[piece].tolist()
        return (length_m, width_m, height_m), bool(upright[piece])

    @cached_property
    def joins(self) -> Joins:
        bank = self.bank
        return Joins(
            self.case.outing,
            self.bank_types,
            self._unit_of,
            self._devices_a(bank["voltage_v"]),
            bank["charging_v"],
        )

    @property
    def join_class(self) -> Ints:
        """Number of each bank type among the joins of :attr:`least_wiring`."""
        return self._least_joins[1]

    @cached_property
    def _least_joins(self) -> tuple[tuple[Join, ...], Ints]:
        """The least that banks of so many in series and parallel take to join, and of."""
        keys, of = np.unique(self.bank_types[:, 1:3], axis=0, return_inverse=True)
        sides, upright = self._pieces
        stands = np.where(upright[:, None], sides[:, :2], np.sort(sides, axis=1)[:, :2])
        stands = stands[self._piece(self.bank_types)]
        joins = tuple(
            least_join(series, parallel, stands[of.ravel() == number])
            for number, (series, parallel) in enumerate(keys.tolist())
        )
        return joins, np.asarray(of, dtype=np.int64).ravel()

    def _devices_a(self, voltage_v: Floats) -> Floats:
        powers_w = [device.power_w for device in self.case.outing.devices]
        amperes = (device_current_a(power_w=w, bank_voltage_v=voltage_v) for w in powers_w)
        return np.asarray(sum(amperes, np.zeros(voltage_v.shape)))

    @cached_property
    def lightest_wiring_g(self) -> int:
        """No wiring set is lighter, whatever rules hold."""
        least = int(self.least_wiring.least_sum("mass").min(initial=NEVER))
        return least if least < NEVER else 0

    def _owned(self, parts: Iterable[Part]) -> Ints:
        """How many of each part are there already."""
        wishes = self.case.outing.parts
        return _ints(
            wishes.own_pieces.get(part.id, ANY_NUMBER) if part.id in wishes.own else 0
            for part in parts
        )

    @cached_property
    def bank_types(self) -> Ints:
        """(battery, n_s, n_p, way it is held) of every type that some compartment takes, (n, 4)."""
        return self._bank_types[0]

    @cached_property
    def banked(self) -> Ints:
        """Number of each bank type's batteries, however they are held."""
        found = np.unique(self.bank_types[:, :3], axis=0, return_inverse=True)[1]
        return np.asarray(found, dtype=np.int64).ravel()

    @cached_property
    def fits(self) -> Bools:
        """Whether a compartment takes a bank type, shape (types, compartments)."""
        return self._bank_types[1]

    @cached_property
    def _bank_types(self) -> tuple[Ints, Bools]:
        types = self._strings()
        fits = self._stowed(types)
        some = fits.any(axis=1)
        return types[some], fits[some]

    @enters(FILTERS, "bank_size", "voltage_match")
    def _strings(self) -> Ints:
        systems = {*np.unique(self.drive["system_v"]).tolist()}
        strings = [
            (number, series, battery.max_parallel)
            for number, battery in enumerate(self.batteries)
            for series in range(1, battery.max_series + 1)
            if series * battery.system_v in systems
        ]
        one = np.array(strings, dtype=np.int64).reshape(len(strings), 3)
        most = one[:, 2]
        types = np.repeat(one, most, axis=0)
        types[:, 2] = np.arange(len(types)) - np.repeat(np.cumsum(most) - most, most) + 1
        return self.holding.offered(self.batteries, types)

    @cached_property
    def _pieces(self) -> tuple[Floats, Bools]:
        """What stands side by side, batteries and then boxes: (sides, whether only upright)."""
        boxes = self.holding.boxes
        sides = [*(b.size_m for b in self.batteries), *(box.outer_m for box in boxes)]
        upright = [*(b.upright_only for b in self.batteries), *(True for _ in boxes)]
        return np.array(sides, dtype=float).reshape(-1, 3), np.array(upright, dtype=bool)

    def _piece(self, types: Ints) -> Ints:
        """Which of them each bank type is made of."""
        way = types[:, 3]
        return np.where(way == STRAP, types[:, 0], len(self.batteries) + way)

    @enters(FILTERS, "compartment")
    def _stowed(self, types: Ints) -> Bools:
        piece, units = self._piece(types), types[:, 1] * types[:, 2]
        sides, upright = self._pieces
        craft, clearance_m = self.case.outing.craft, self.case.outing.policy.clearance_m
        passes = np.array(
            [
                [
                    stowage.passes_hatch(unit_m=unit_m, opening_m=box.opening_m)
                    for box in craft.compartments
                ]
                for unit_m in map(tuple, sides.tolist())
            ],
            dtype=bool,
        ).reshape(len(sides), len(craft.compartments))
        packs = [
            stowage.fits(
                units=units,
                unit_m=sides[piece],
                upright_only=upright[piece],
                room_m=(box.length_m, box.width_m, box.height_m),
                clearance_m=clearance_m,
            )
            for box in craft.compartments
        ]
        return passes[piece] & np.array(packs).T

    @property
    def bank(self) -> Columns:
        """Every bank type's column under the names of :data:`keelwatt.kits.table.BANK`."""
        return self._banks[0]

    @cached_property
    def _banks(self) -> tuple[Columns, Branches]:
        number, series, parallel, _ = self.bank_types.T
        case, units = self.case, series * parallel
        batteries = self.batteries

        def of(values: Iterable[float]) -> Floats:
            return np.asarray(np.array(list(values), dtype=float)[number])

        price = np.maximum(0, units - self._owned(batteries)[number])
        price = price * _ints(b.price_cents for b in batteries)[number]
        per_season = case.outing.wish.outings_per_season
        seasons = of(bank_seasons(b, per_season) for b in batteries)
        chemistry = np.array([b.chemistry for b in batteries], dtype=str)[number]
        kinds = {b.chemistry for b in batteries}
        shares = {kind: case.usable_share(kind) for kind in kinds}
        usable_ah = of(b.capacity_ah for b in batteries) * parallel
        usable_ah = usable_ah * of(shares[b.chemistry] for b in batteries)
        piece_g = _ints(grams(b.mass_kg) for b in batteries)[number]
        system_v = series * _ints(b.system_v for b in batteries)[number]
        short_circuit_a = parallel * of(b.string_short_circuit_a for b in batteries)
        voltage_v = series * of(b.voltage_v for b in batteries)
        fresh_v = voltage_v * of(_share(b, "fresh") for b in batteries)
        charging_v = voltage_v * of(_share(b, "charging") for b in batteries)
        branches = Branches(
            self.shelf.beside, chemistry, voltage_v, system_v, charging_v, short_circuit_a
        )
        beside_cents, beside_g = branches.of_devices
        if self.timed or self.charger_required:
            beside_g = beside_g + branches.heaviest_g
        season = np.rint(price * SEASON_UNITS_PER_CENT / seasons).astype(np.int64)
        held_cents, held_g, box_g = self._held
        beside_cents = beside_cents + held_cents
        columns = {
            "parallel": parallel,
            "price_cents": price + beside_cents,
            "season_units": season + season_units(1) * beside_cents,
            "mass_g": units * piece_g + held_g + beside_g,
            "units": units,
            "stands_g": units * piece_g + held_g,
            "piece_g": np.maximum(piece_g, box_g),
            "system_v": system_v,
            "voltage_v": voltage_v,
            "low_v": voltage_v * of(_share(b, "low") for b in batteries),
            "fresh_v": fresh_v,
            "fresh": np.unique(fresh_v, return_inverse=True)[1].ravel(),
            "continuous_a": parallel * of(b.continuous_a for b in batteries),
            "capacity_ah": of(b.capacity_ah for b in batteries),
            "rated_h": of(b.rated_h for b in batteries),
            "peukert": of(b.peukert for b in batteries),
            "usable_ah": usable_ah,
            **charging_columns(usable_ah, chemistry),
            "charging": branches.charging,
            "charging_v": charging_v,
            "level": self._levels(short_circuit_a, charging_v, fresh_v)[0],
            "short_circuit_a": short_circuit_a,
            "chemistry": chemistry,
        }
        return columns, branches

    @property
    def _held(self) -> tuple[Ints, Ints, Ints]:
        """Cents and grams of what holds each bank type, and the mass of one box."""
        way, units = self.bank_types[:, 3], self.bank_types[:, 1] * self.bank_types[:, 2]
        cents, mass_g = np.zeros_like(way), np.zeros_like(way)
        for count in np.unique(units).tolist():
            of = units == count
            cents[of], mass_g[of] = (sums[way[of]] for sums in self.holding.sums(count))
        return cents, mass_g, np.where(way == STRAP, 0, mass_g // units)

    @cached_property
    def charged_cents(self) -> Ints:
        """Each charger with its inlet, and last none, by class of banks; 0 where it suits none."""
        branches, own = self._banks[1], self.charger["price_cents"]
        found = np.zeros((len(branches.firsts), own.size), dtype=np.int64)
        for number in range(len(found)):
            for row, charger in branches.suiting(number, self.chargers):
                found[number, row] = own[row] + branches.of_charger(number, charger.current_a)[0]
        return found

    @cached_property
    def chargers_of(self) -> tuple[Ints, ...]:
        """Each class of banks' chargers that no cheaper one beats on time, as numbers.

        -1 stands for none; where one is required and suits, no bank goes without.
        """
        return tuple(map(self._on_offer, range(len(self._banks[1].firsts))))

    def _on_offer(self, number: int) -> Ints:
        price, each = self.charged_cents[number], self._banks[1].suiting(number, self.chargers)
        suits = [(int(price[row]), charger.current_a, row) for row, charger in each]
        fastest, kept = 0.0, list[int]()
        for _, current_a, row in sorted(suits):
            if current_a > fastest:
                fastest = current_a
                kept.append(row)
        needed = self.charger_required or self.timed
        if not needed:
            return _ints([-1])
        return _ints(sorted(kept) if self.charger_required and kept else [-1, *sorted(kept)])

    @cached_property
    def timed(self) -> bool:
        return self.case.outing.limits.recharge_within_h is not None

    @cached_property
    def charger(self) -> Columns:
        """Price to pay, by the season too, and current of each charger; the last is none."""
        parts = self.case.outing.parts
        price = [to_buy(parts, c.id, 1) * c.price_cents for c in self.chargers]
        return {
            "price_cents": _ints([*price, 0]),
            "season_units": _ints([*map(season_units, price), 0]),
            "current_a": np.array([*(c.current_a for c in self.chargers), 0.0]),
        }

    def _levels(
        self, short_a: Floats, volts: Floats, fresh_v: Floats
    ) -> tuple[Ints, tuple[Level, ...]]:
        """Banks by their voltage when fresh and by the fuses that break their fault and suit."""
        breaks_a, stands_v = (np.unique(able) for able in self.shelf.fuses_stand)
        broken = np.searchsorted(breaks_a, just_below(short_a))
        stood = np.searchsorted(stands_v, just_below(volts))
        fresh = np.unique(fresh_v, return_inverse=True)[1].ravel()
        keys = (fresh * (breaks_a.size + 1) + broken) * (stands_v.size + 1) + stood
        keys = 2 * keys + (volts >= protection.HIGHER_VOLTAGE_V)
        _, first, number = np.unique(keys, return_index=True, return_inverse=True)
        levels = tuple(
            Level.of(self.shelf, float(short_a[row]), float(volts[row]), int(fresh[row]))
            for row in first
        )
        return np.asarray(number, dtype=np.int64).ravel(), levels

    @cached_property
    def wirings(self) -> Wirings:
        """The wiring sets of every class of drives and level of banks, made as they are asked."""
        bank = self.bank
        levels = self._levels(bank["short_circuit_a"], bank["charging_v"], bank["fresh_v"])[1]
        return Wirings(self.shelf, levels, self.harnesses, self.joins)

    @cached_property
    def drive_types(self) -> Ints:
        """(motor, controller or -1 for the motor's own control) of every type, shape (n, 2)."""
        return self._drive_types[:, :2]

    @cached_property
    def driver(self) -> Ints:
        """Number of each drive type's motor with its control, in the catalog's order.

        Alike for every mount, so that equal kits come in the order of their mounts.
        """
        found = np.unique(self.drive_types, axis=0, return_inverse=True)[1]
        return np.asarray(found, dtype=np.int64).ravel()

    @cached_property
    def _mount_kinds(self) -> tuple[Floats, Bools]:
        """(height above the keel and moment held, each two once; which mount is of which kind)."""
        mounts = self.case.outing.craft.mounts
        each = [(m.z_m, np.inf if m.holds_n_m is None else m.holds_n_m) for m in mounts]
        kinds, number = np.unique(each, axis=0, return_inverse=True)
        return kinds, np.arange(len(kinds))[:, None] == number.ravel()

    @cached_property
    def _drive_types(self) -> Ints:
        """(motor, controller, kind of mount) of every type, shape (n, 3).

        The deeper a shaft goes, the more it drags, and a mount holds so much: mounts of one height
        that hold the same make one type.
        Controllers that another beats for the same motor are left out: one beats another if it is
        no dearer, no heavier and no less efficient, stands as much heat, and is truly better in
        price or mass or comes earlier in the catalog. Every limit grows with a controller's price
        and mass and eases with its efficiency, so a beaten one is in no best kit.
        """
        hung = [m for m in range(len(self.motors)) if self._hangs[m].any()]
        found = [(m, -1) for m in hung] if None in self.controllers else []
        by_needs: dict[tuple[int, float], list[int]] = {}
        least = [self._least_rated_a(motor) for motor in self.motors]
        for number in hung:
            motor = self.motors[number]
            if motor.control == "stepped":
                by_needs.setdefault((motor.system_v, least[number]), []).append(number)
        efficiency, stands_c = np.array(
            [(c.efficiency, c.max_temperature_c) if c else (0.0, 0.0) for c in self.controllers]
        ).T
        low, high, amperes = self._controller_reach.T
        price, mass = (sums[:-1] for sums in self._controller_sums)

        def of(numbers: Ints, *virtues: Floats) -> Ints:
            """Those of the numbered controllers that none of them beats."""
            if self.every_control:
                return numbers
            each = np.column_stack([efficiency, stands_c, *virtues])[numbers]
            return numbers[worthwhile(price[numbers], mass[numbers], each)]

        worth = of(np.flatnonzero([c is not None for c in self.controllers]), -low, high, amperes)
        known = dict[bytes, list[int]]()
        for (system_v, current_a), motors in by_needs.items():
            needs = float(protection.smallest_controller_a(max_current_a=current_a))
            able = (low <= system_v) & (system_v <= high) & (amperes >= just_below(needs))
            numbers = worth[able[worth]]
            if numbers.tobytes() not in known:
                known[numbers.tobytes()] = of(numbers).tolist()
            for controller in known[numbers.tobytes()]:
                found += [(motor, controller) for motor in motors]
        high = [
            (*drive, kind)
            for drive in sorted(found)
            for kind in np.flatnonzero((self._hangs[drive[0]] & self._mount_kinds[1]).any(axis=1))
        ]
        return np.array(high, dtype=np.int64).reshape(len(high), 3)

    @cached_property
    def _hangs(self) -> Bools:
        """Whether a motor reaches the water from a mount that may hold it, (motors, mounts)."""
        mounts, motors = self.case.outing.craft.mounts, self.motors
        shaft = np.array([m.shaft_m for m in motors], dtype=float)
        needed = np.array([just_below(mount.shaft_needed_m or 0.0) for mount in mounts])
        least = np.array([self.least_moment_n_m(m) for m in motors], dtype=float)
        held = np.array([np.inf if m.holds_n_m is None else m.holds_n_m for m in mounts])
        return np.asarray((shaft[:, None] >= needed) & (just_below(least)[:, None] <= held))

    @property
    def any_hangs(self) -> bool:
        return bool(self._hangs.any())

    @cached_property
    def hangs(self) -> Bools:
        """By drive type, shape (types, mounts)."""
        return np.asarray(
            self._hangs[self.drive_types[:, 0]] & self._mount_kinds[1][self._drive_types[:, 2]]
        )

    @cached_property
    def _controller_reach(self) -> Floats:
        """Lowest and highest system and current of each controller, shape (n, 3)."""
        return np.array(
            [
                (c.min_system_v, c.max_system_v, c.current_a) if c else (0.0, 0.0, 0.0)
                for c in self.controllers
            ]
        ).reshape(-1, 3)

    @cached_property
    def _controller_sums(self) -> tuple[Ints, Ints]:
        """Price to pay and mass of each controller in its box; the last stands for none."""
        parts, (box_cents, box_g) = self.case.outing.parts, self._control_box
        price = [
            to_buy(parts, c.id, 1) * c.price_cents + box_cents if c else 0 for c in self.controllers
        ]
        mass = [grams(c.mass_kg) + box_g if c else 0 for c in self.controllers]
        return _ints([*price, 0]), _ints([*mass, 0])

    @cached_property
    def _control_box(self) -> tuple[int, int]:
        """Cents and grams of the closed box round a controller, if there is one."""
        got = self.shelf.beside.control_box()
        return (round(got.to_pay), round(got.grams)) if got else (0, 0)

    @cached_property
    def _drive(self) -> Columns:
        """Every drive type's column under the names of :data:`keelwatt.kits.table.DRIVE`."""
        motor, controller = self.drive_types.T
        parts, motors = self.case.outing.parts, self.motors

        def of(name: str) -> Floats:
            return np.asarray(np.array([getattr(m, name) for m in motors], dtype=float)[motor])

        price = _ints(to_buy(parts, m.id, 1) * m.price_cents for m in motors)[motor]
        motor_g = _ints(grams(m.mass_kg) for m in motors)[motor]
        extra_cost, controller_g = (sums[controller] for sums in self._controller_sums)
        control_g = controller_g - np.where(controller >= 0, self._control_box[1], 0)
        price = price + extra_cost
        case = self.case
        built_in = np.array([m.control == "chopper" for m in motors], dtype=bool)[motor]
        chopper = (controller >= 0) | built_in
        efficiency = np.array([*(c.efficiency if c else 1.0 for c in self.controllers), 1.0])
        own = of("efficiency")
        return {
            "price_cents": price,
            "season_units": price * season_units(1),
            "mass_g": motor_g + controller_g,
            "motor_g": motor_g,
            "controller_g": controller_g,
            "piece_g": np.maximum(motor_g, control_g),
            "system_v": of("system_v").astype(np.int64),
            "current_a": of("current_a"),
            "ends_ohm": self._plugs_ohm + np.array([_lead_ohm(m) for m in motors])[motor],
            "no_load_a": of("no_load_a"),
            "thrust_n": np.array([case.thrust_n(m) for m in motors])[motor],
            "no_thrust_speed_m_s": np.array([case.no_thrust_speed_m_s(m) for m in motors])[motor],
            "winding": of("winding"),
            "chopper": chopper,
            "over": (controller >= 0) & case.outing.craft.control_apart,
            "step_ohm": self._step_ohm[:, motor],
            "control_a": np.where(controller >= 0, self._control_a[controller], np.inf),
            "efficiency": np.where(controller >= 0, efficiency[controller], own),
            "tube_m": of("tube_m"),
            "pod_m": of("pod_m"),
            "shaft_m": of("shaft_m"),
            "hung_m": self._mount_kinds[0][self._drive_types[:, 2], 0],
            **self._warming(controller),
        }

    @property
    def _plugs_ohm(self) -> float:
        return contacts_ohm(plugs=self.case.outing.policy.disconnects)

    @enters(FILTERS, "control_heat")
    def _warming(self, controller: Ints) -> Columns:
        """What tells which couples keep their control cool enough, by each drive's controller.

        The hardest leg's power only grows with displacement, so it is one more demand of the day.
        """
        each = [warming(self.case, control) for control in (*self.controllers, None)]
        k_w, most_c = np.array(each).T
        return {"warming_k_w": k_w[controller], "warmest_c": most_c[controller]}

    @property
    def demands(self) -> tuple[str, ...]:
        """What the day asks of couples: the wishes, and a control's heat where it has a box."""
        boxed = self.case.outing.craft.control_box is not None
        return (*DEMANDS, "control_heat") if boxed else DEMANDS

    @cached_property
    def drive(self) -> Columns:
        """The drives' columns, and what leans a boat when a motor is turned across."""
        drive, draft_m = (
            Drive.of_columns(self._drive),
            float(self.case.draft_m(self.case.heaviest_kg)),
        )
        full = across_kg_m(drive, self._claimed_n, draft_m)
        turning = turning_kg_m(self.case, drive)
        return {**self._drive, "turning_kg_m": turning, "full_turning_kg_m": full}

    @cached_property
    def _claimed_n(self) -> Floats:
        """Each drive type's thrust as the catalog has it."""
        return np.array([m.thrust_n for m in self.motors])[self.drive_types[:, 0]]

    @cached_property
    def _control_a(self) -> Floats:
        return np.array([*(c.current_a if c else np.inf for c in self.controllers), np.inf])

    @cached_property
    def _step_ohm(self) -> Floats:
        """Of every motor, shape (steps, motors); where one has fewer, its switch is open."""
        each = [step_ohm(motor) for motor in self.motors]
        most = max((ohm.size for ohm in each), default=1)
        padded = [np.concatenate([np.full(most - ohm.size, OPEN), ohm]) for ohm in each]
        return np.array(padded).reshape(len(each), most).T

    @cached_property
    def _least_fresh(self) -> float:
        """The least a full battery has of its system's voltage."""
        ratios = [b.voltage_v * _share(b, "fresh") / b.system_v for b in self.batteries]
        return min(ratios, default=1.0)

    def _on_lowest(self, motor: Motor) -> tuple[Drive, Floats]:
        """A motor, and the lowest voltage of a fresh bank it may be given."""
        drive = Drive.of_parts(self.case, motor, None, self.case.outing.craft.mounts[0])
        return drive, np.asarray(motor.system_v * self._least_fresh)

    def _least_rated_a(self, motor: Motor) -> float:
        """What a control must stand at the least, on whatever bank."""
        drive, fresh_v = self._on_lowest(motor)
        return float(drive.rated_a(fresh_v)[0])

    def least_moment_n_m(self, motor: Motor) -> float:
        """What a mount must hold at the least, on whatever bank."""
        drive, fresh_v = self._on_lowest(motor)
        return float(mount_moment_n_m(drive, np.asarray(motor.thrust_n), fresh_v)[0])

    @cached_property
    def rated_a(self) -> Floats:
        """What wiring must stand by the banks' fresh voltage, shape (fresh, drive types)."""
        fresh_v = np.unique(self.bank["fresh_v"])
        return np.asarray(Drive.of_columns(self.drive).rated_a(fresh_v[:, None]))

    @cached_property
    @enters(FILTERS, "controller_rating", "mount_moment")
    def stood(self) -> Bools:
        """Whether control and mount stand a motor by the banks' fresh voltage, (fresh, types)."""
        needed_a = np.asarray(protection.smallest_controller_a(max_current_a=self.rated_a))
        fresh_v = np.unique(self.bank["fresh_v"])[:, None]
        moment = mount_moment_n_m(Drive.of_columns(self.drive), self._claimed_n, fresh_v)
        held = self._mount_kinds[0][self._drive_types[:, 2], 1]
        return np.asarray(
            (just_below(needed_a) <= self.drive["control_a"]) & (just_below(moment) <= held)
        )

    @cached_property
    def _harnesses(self) -> tuple[Ints, Harnesses]:
        drive = self.drive
        asked = [drive[name] for name in ("system_v", "current_a", "ends_ohm", "over")]
        keys = np.column_stack([*asked, self.rated_a.T])
        keys, number = np.unique(keys, axis=0, return_inverse=True)
        return (
            np.asarray(number, dtype=np.int64).ravel(),
            Harnesses(
                keys[:, 0].astype(np.int64),
                keys[:, 1],
                keys[:, 2],
                keys[:, 3].astype(bool),
                keys[:, 4:].T,
            ),
        )

    @property
    def harness(self) -> Ints:
        """Number of each drive type's class of wiring."""
        return self._harnesses[0]

    @property
    def harnesses(self) -> Harnesses:
        return self._harnesses[1]

    @cached_property
    def displacements(self) -> Displacements:
        fastest = float(self._idle_m_s.max(initial=0.1))
        low_kg, high_kg = self.case.bare_g / 1000.0, self.cap_g / 1000.0
        if self.known and self.known.reaches(high_kg, fastest):
            return self.known
        return Displacements.between(self.case, low_kg, high_kg, fastest)

    @cached_property
    def _idle_m_s(self) -> Floats:
        """The speed each drive without load reaches on the highest bank that suits it."""
        drive, bank = self.drive, self.bank
        volts = np.zeros(drive["system_v"].shape)
        for v in np.unique(drive["system_v"]).tolist():
            of = bank["voltage_v"][bank["system_v"] == v].max(initial=v)
            volts[drive["system_v"] == v] = of / v
        return np.asarray(volts / (1.0 - drive["winding"]) * drive["no_thrust_speed_m_s"])

    @cached_property
    def day(self) -> Day:
        bank, drive = Bank.of_columns(self.bank), Drive.of_columns(self.drive)
        return Day(self.case, self.displacements, bank, drive)

    @cached_property
    def cap_g(self) -> int:
        """The heaviest boat any kit of the catalog makes."""
        heaviest = (
            int(self.bank["mass_g"].max(initial=0)),
            int(self.drive["motor_g"].max(initial=0)),
            int(self._controller_sums[1].max()),
            self.least_wiring.heaviest_g,
        )
        return self.case.bare_g + sum(heaviest)

    @cached_property
    def over_load_g(self) -> Ints:
        """Bank's mass above each compartment's load limit, shape (types, compartments)."""
        boxes = self.case.outing.craft.compartments
        loads = [
            None if box.max_load_kg is None else whole_grams_within(box.max_load_kg)
            for box in boxes
        ]
        mass_g = self.bank["stands_g"]
        over = [np.full(mass_g.shape, -1) if load is None else mass_g - load for load in loads]
        return np.array(over, dtype=np.int64).reshape(len(boxes), mass_g.size).T

    @cached_property
    def loads_matter(self) -> bool:
        """Whether some bank is too heavy for a compartment it goes into."""
        return bool((self.fits & (self.over_load_g > 0)).any())


def _share(battery: Battery, state: State) -> float:
    """Of a battery's nominal voltage in some state."""
    volts = bank_voltage_v(chemistry=battery.chemistry, nominal_voltage_v=1.0, state=state)
    return float(volts)


def _lead_ohm(motor: Motor) -> float:
    """Of a motor's own lead, there and back."""
    area_mm2, by_area = motor.lead
    return 2 * motor.lead_m * conductor_ohm_m(area_mm2=area_mm2, by_area=by_area)


def shelf_of(case: LoadCase, catalog: Catalog, allowed: Allowed) -> Shelf:
    return Shelf(
        case,
        catalog,
        allowed.of("cable", catalog.cables),
        allowed.of("fuse", catalog.fuses),
        allowed.of("connector", catalog.connectors),
    )


def _ints(values: Iterable[int] | Iterator[int]) -> Ints:
    return np.array(list(values), dtype=np.int64)
