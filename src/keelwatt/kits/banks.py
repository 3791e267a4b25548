"""Every type of bank that an outing allows, as columns, and the chargers for it."""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from keelwatt.boat.arrays import Bools, Floats, Ints, alike
from keelwatt.files.kit import (
    SEASON_UNITS_PER_CENT,
    bank_seasons,
    grams,
    just_below,
    season_units,
    to_buy,
    whole_grams_within,
)
from keelwatt.kits.account import FILTERS
from keelwatt.kits.allowed import Columns, whole
from keelwatt.kits.branches import Branches
from keelwatt.kits.charging import Chargers, by_kind, charging_columns
from keelwatt.kits.drives import DriveTypes, voltage_share
from keelwatt.kits.holding import STRAP
from keelwatt.kits.shelf import Level
from keelwatt.limits import enters
from keelwatt.physics import protection, stowage
from keelwatt.physics.bank import State


@dataclass(frozen=True)
class BankTypes(DriveTypes):
    """A bank type is so many of a battery in series and parallel, and how they are held."""

    @cached_property
    def bank_types(self) -> Ints:
        """(battery, n_s, n_p, way it is held) of every type that some compartment takes, (n, 4)."""
        return self._bank_types[0]

    @cached_property
    def banked(self) -> Ints:
        """Number of each bank type's batteries, however they are held."""
        return alike(*self.bank_types.T[:3])[1]

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
        systems = set(self.drive["system_v"].tolist())
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
        passes = [
            stowage.passes_hatch(unit_m=sides, opening_m=box.opening_m)
            for box in craft.compartments
        ]
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
        return np.array(passes).T[piece] & np.array(packs).T

    @property
    def bank(self) -> Columns:
        """Every bank type's column under the names of :data:`keelwatt.kits.table.BANK`."""
        return self._banks[0]

    @cached_property
    def _banks(self) -> tuple[Columns, Branches, tuple[Level, ...]]:
        number, series, parallel, _ = self.bank_types.T
        case, units = self.case, series * parallel
        batteries = self.batteries

        def of(values: Iterable[float]) -> Floats:
            return np.asarray(np.array(list(values), dtype=float)[number])

        price = np.maximum(0, units - self._owned(batteries)[number])
        price = price * whole(b.price_cents for b in batteries)[number]
        per_season = case.outing.wish.outings_per_season
        seasons = of(bank_seasons(b, per_season) for b in batteries)
        chemistry = np.array([b.chemistry for b in batteries], dtype=str)[number]
        kinds = {b.chemistry for b in batteries}
        shares = {kind: case.usable_share(kind) for kind in kinds}

        def volts(state: State) -> Floats:
            share = {kind: voltage_share(kind, state) for kind in kinds}
            return np.asarray(voltage_v * of(share[b.chemistry] for b in batteries))

        usable_ah = of(b.capacity_ah for b in batteries) * parallel
        usable_ah = usable_ah * of(shares[b.chemistry] for b in batteries)
        piece_g = whole(grams(b.mass_kg) for b in batteries)[number]
        system_v = series * whole(b.system_v for b in batteries)[number]
        short_circuit_a = parallel * of(b.string_short_circuit_a for b in batteries)
        voltage_v = series * of(b.voltage_v for b in batteries)
        fresh_v, charging_v = volts("fresh"), volts("charging")
        branches = Branches(
            self.shelf.beside, chemistry, voltage_v, system_v, charging_v, short_circuit_a
        )
        beside_cents, beside_g = branches.of_devices
        if self.timed or self.charger_required:
            beside_g = beside_g + branches.heaviest_g
        season = np.rint(price * SEASON_UNITS_PER_CENT / seasons).astype(np.int64)
        level, levels = self._levels(short_circuit_a, charging_v, fresh_v)
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
            "low_v": volts("low"),
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
            "level": level,
            "short_circuit_a": short_circuit_a,
            "chemistry": chemistry,
        }
        return columns, branches, levels

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
    def timed(self) -> bool:
        return self.case.outing.limits.recharge_within_h is not None

    @cached_property
    def charger(self) -> Columns:
        """Price to pay, by the season too, and current of each charger; the last is none."""
        parts = self.case.outing.parts
        price = [to_buy(parts, c.id, 1) * c.price_cents for c in self.chargers]
        return {
            "price_cents": whole([*price, 0]),
            "season_units": whole([*map(season_units, price), 0]),
            "current_a": np.array([*(c.current_a for c in self.chargers), 0.0]),
        }

    @cached_property
    def _chargers(self) -> Chargers:
        return by_kind(self.chargers)

    @cached_property
    def charged_cents(self) -> Ints:
        """Each charger with its inlet, and last none, by class of banks; 0 where it suits none."""
        branches, own = self._banks[1], self.charger["price_cents"]
        found = np.zeros((len(branches.firsts), own.size), dtype=np.int64)
        for number in range(len(found)):
            each = branches.suiting(number, self._chargers)
            currents_a = {charger.current_a for _, charger in each}
            inlet = {a: branches.of_charger(number, a)[0] for a in currents_a}
            for row, charger in each:
                found[number, row] = own[row] + inlet[charger.current_a]
        return found

    @cached_property
    def chargers_of(self) -> tuple[Ints, ...]:
        """Each class of banks' chargers that no cheaper one beats on time, as numbers.

        -1 stands for none; where one is required and suits, no bank goes without.
        """
        return tuple(map(self._on_offer, range(len(self._banks[1].firsts))))

    def _on_offer(self, number: int) -> Ints:
        price, each = self.charged_cents[number], self._banks[1].suiting(number, self._chargers)
        suits = [(int(price[row]), charger.current_a, row) for row, charger in each]
        fastest, kept = 0.0, list[int]()
        for _, current_a, row in sorted(suits):
            if current_a > fastest:
                fastest = current_a
                kept.append(row)
        needed = self.charger_required or self.timed
        if not needed:
            return whole([-1])
        return whole(sorted(kept) if self.charger_required and kept else [-1, *sorted(kept)])

    def _levels(
        self, short_a: Floats, volts: Floats, fresh_v: Floats
    ) -> tuple[Ints, tuple[Level, ...]]:
        """Banks by their voltage when fresh and by the fuses that break their fault and suit."""
        breaks_a, stands_v = (np.unique(able) for able in self.shelf.fuses_stand)
        broken = np.searchsorted(breaks_a, just_below(short_a))
        stood = np.searchsorted(stands_v, just_below(volts))
        fresh = np.unique(fresh_v, return_inverse=True)[1].ravel()
        first, number = alike(fresh, broken, stood, volts >= protection.HIGHER_VOLTAGE_V)
        levels = tuple(
            Level.of(self.shelf, float(short_a[row]), float(volts[row]), int(fresh[row]))
            for row in first
        )
        return number, levels

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
