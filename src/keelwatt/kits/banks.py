"""Banks: every n_s x n_p of one battery type, in every compartment it fits."""

from collections.abc import Iterator
from itertools import permutations

import numpy as np
import pandas as pd

from keelwatt.boat.facts import Facts, recharge_factor
from keelwatt.boat.powertrain import Bank
from keelwatt.files.catalog.parts import Battery
from keelwatt.files.catalog.reader import Catalog
from keelwatt.files.kit import bank_seasons, grams, season_units, to_buy, whole_grams_within
from keelwatt.files.outing import Compartment
from keelwatt.kits.account import FILTERS, Account
from keelwatt.limits import enters
from keelwatt.physics import stowage

COLUMNS = {
    "row": "row of the battery in the catalog, from 0",
    "battery": "battery id",
    "series": "n_s",
    "parallel": "n_p",
    "compartment": "compartment name",
    "place": "compartment's number in the outing, from 0",
    "type": "number of the (battery, n_s, n_p) triple, the index of the pair tables' first axis",
    "price_cents": "price of what is not owned",
    "season_units": "hundredths of a cent a season",
    "mass_g": "mass of the whole bank",
    "piece_g": "mass of its heaviest piece",
    "over_load_g": "mass above the compartment's load limit, negative where it is within",
    "system_v": "system class",
    "voltage_v": "nominal voltage",
    "continuous_a": "continuous current the bank may give",
    "capacity_ah": "rated capacity of one string",
    "rated_h": "hours of that rating",
    "peukert": "exponent",
    "usable_ah": "charge the outing may take out, reserve kept back",
    "short_circuit_a": "the fuse must interrupt this",
    "chemistry": "chemistry",
    "charger_a": "least charger current that refills it in the wished time, 0 for no wish",
}
"""Column -> meaning."""


def bank_table(
    facts: Facts,
    batteries: tuple[Battery, ...],
    catalog: Catalog,
    systems: frozenset[int],
    account: Account,
    *,
    only: frozenset[tuple[str, int, int]] | None = None,
) -> pd.DataFrame:
    """One row a bank and compartment, in catalog order; ``systems`` are the voltages drives use."""
    rows = {battery.id: row for row, battery in enumerate(catalog.batteries)}
    found: list[list[object]] = []
    types = 0
    for battery in batteries:
        fits = [
            (place, box)
            for place, box in enumerate(facts.outing.craft.compartments)
            if _enters(battery, box, account)
        ]
        for series, parallel in _counts(battery, systems, account):
            if only is not None and (battery.id, series, parallel) not in only:
                continue
            places = [
                (place, box)
                for place, box in fits
                if _packs(facts, battery, series * parallel, box, account)
            ]
            if not places:
                continue
            common = bank_values(facts, battery, series, parallel)
            for place, box in places:
                spot = {"row": rows[battery.id], "compartment": box.name, "place": place}
                load_g = (
                    whole_grams_within(box.max_load_kg) if box.max_load_kg is not None else None
                )
                over = -1 if load_g is None else int(common["mass_g"]) - load_g  # type: ignore[call-overload]
                values = {**common, **spot, "type": types, "over_load_g": over}
                found.append([values[column] for column in COLUMNS])
            types += 1
    return pd.DataFrame(found, columns=list(COLUMNS), dtype=None if found else np.int64)


@enters(FILTERS, "bank_size", "voltage_match")
def _counts(
    battery: Battery, systems: frozenset[int], account: Account
) -> Iterator[tuple[int, int]]:
    matching = [s for s in range(1, battery.max_series + 1) if s * battery.system_v in systems]
    if systems and not matching:
        nearest = min(systems, key=lambda v: abs(v - battery.system_v))
        account.leave_out(
            "battery",
            battery.id,
            "voltage_match",
            value=battery.system_v,
            bound=nearest,
            unit="V",
            where="no motor runs on it",
        )
    for series in matching:
        for parallel in range(1, battery.max_parallel + 1):
            yield series, parallel


@enters(FILTERS, "compartment")
def stowed(facts: Facts, battery: Battery, units: int, box: Compartment, account: Account) -> bool:
    """Whether a compartment takes so many of a battery."""
    return _enters(battery, box, account) and _packs(facts, battery, units, box, account)


def _enters(battery: Battery, box: Compartment, account: Account) -> bool:
    unit_m = (battery.length_m, battery.width_m, battery.height_m)
    if stowage.passes_hatch(unit_m=unit_m, opening_m=box.opening_m):
        return True
    needed_m, room_m = max(zip(sorted(unit_m), sorted(box.opening_m), strict=False), key=_over)
    account.leave_out(
        "battery",
        battery.id,
        "compartment",
        value=1000 * needed_m,
        bound=1000 * room_m,
        unit="mm",
        where=f"opening of {box.name}",
    )
    return False


def _packs(facts: Facts, battery: Battery, units: int, box: Compartment, account: Account) -> bool:
    block = stowage.block(
        units=units,
        unit_m=(battery.length_m, battery.width_m, battery.height_m),
        upright_only=battery.upright_only,
        room_m=(box.length_m, box.width_m, box.height_m),
        clearance_m=facts.outing.policy.clearance_m,
    )
    if block is None and units == 1:
        needed_m, room_m = _tightest(battery, box, facts.outing.policy.clearance_m)
        account.leave_out(
            "battery",
            battery.id,
            "compartment",
            value=1000 * needed_m,
            bound=1000 * room_m,
            unit="mm",
            where=f"{box.name}, clearance counted",
        )
    return block is not None


def _tightest(battery: Battery, box: Compartment, clearance_m: float) -> tuple[float, float]:
    """What a battery needs and a compartment has, where it lacks most, turned the best way."""
    turns = [
        turn
        for turn in permutations((battery.length_m, battery.width_m, battery.height_m))
        if not battery.upright_only or turn[2] == battery.height_m
    ]
    room = (box.length_m, box.width_m, box.height_m)
    worst = [
        max(
            ((side + 2 * clearance_m, has) for side, has in zip(turn, room, strict=True)), key=_over
        )
        for turn in turns
    ]
    return min(worst, key=_over)


def _over(needed_and_room: tuple[float, float]) -> float:
    needed_m, room_m = needed_and_room
    return needed_m - room_m


def bank_values(facts: Facts, battery: Battery, series: int, parallel: int) -> dict[str, object]:
    """What a bank is wherever it stands, by column."""
    units = series * parallel
    outing = facts.outing
    price = to_buy(outing.parts, battery.id, units) * battery.price_cents
    bank = Bank.of_parts(battery, series, parallel, facts.usable_share(battery.chemistry))
    usable_ah = float(bank.usable_ah)
    within_h = outing.limits.recharge_within_h
    return {
        "battery": battery.id,
        "series": series,
        "price_cents": price,
        "season_units": season_units(price, bank_seasons(battery, outing.wish.outings_per_season)),
        "piece_g": grams(battery.mass_kg),
        "system_v": series * battery.system_v,
        **bank.numbers(),
        "short_circuit_a": parallel * battery.string_short_circuit_a,
        "chemistry": battery.chemistry,
        "charger_a": usable_ah * recharge_factor(battery.chemistry) / within_h if within_h else 0.0,
    }
