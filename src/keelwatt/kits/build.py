"""All tables of one outing and catalog."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import pandas as pd

from keelwatt.boat.facts import Facts
from keelwatt.files.catalog.parts import Charger
from keelwatt.files.catalog.reader import Catalog
from keelwatt.files.kit import Kit, season_units, to_buy
from keelwatt.kits.account import Account
from keelwatt.kits.allowed import Allowed, named
from keelwatt.kits.banks import bank_table
from keelwatt.kits.couples import Couple, Shortlist
from keelwatt.kits.drives import drive_table
from keelwatt.kits.least import LeastCharger, LeastWiring
from keelwatt.kits.light import Light
from keelwatt.kits.pairs import NEVER, Pairs, pair_tables
from keelwatt.kits.shelf import Level, Shelf
from keelwatt.kits.wiring import Wirings, Zone

CHARGER_COLUMNS = {
    "row": "row in the catalog, from 0",
    "charger": "charger id",
    "price_cents": "price of what is not owned",
    "season_units": "hundredths of a cent a season",
    "system_v": "system class",
    "current_a": "charging current",
    "chemistries": "chemistries it charges, joined by |",
}
"""Column -> meaning."""


@dataclass(frozen=True)
class Table:
    """Everything a program needs, and the account of what it will never see.

    ``light`` holds the bounds over the whole catalog, however few types the tables are of.
    ``banks`` gains ``level`` (fuse class) and ``drives`` gains ``harness`` (wiring class); the
    columns are described beside the tables' makers.
    """

    facts: Facts
    catalog: Catalog
    light: Light
    banks: pd.DataFrame
    drives: pd.DataFrame
    wiring: pd.DataFrame
    wirings: Wirings
    chargers: pd.DataFrame
    pairs: Pairs
    excluded: pd.DataFrame
    charger_required: bool

    def kit(self, bank: int, drive: int, wiring: int, charger: int | None) -> Kit:
        """The kit that the numbered rows of the four tables make."""
        b, d, w = self.banks.iloc[bank], self.drives.iloc[drive], self.wiring.iloc[wiring]
        return Kit(
            battery=str(b["battery"]),
            series=int(b["series"]),
            parallel=int(b["parallel"]),
            compartment=str(b["compartment"]),
            motor=str(d["motor"]),
            mount=str(d["mount"]),
            controller=str(d["controller"]) or None,
            cable=self.catalog.cables[int(w["cable_row"])].id,
            run_m=float(w["run_m"]),
            fuse=self.catalog.fuses[int(w["fuse_row"])].id,
            connector=self.catalog.connectors[int(w["connector_row"])].id,
            charger=None if charger is None else str(self.chargers.iloc[charger]["charger"]),
        )


def light_of(facts: Facts, catalog: Catalog) -> Light:
    """Lower bounds over everything the outing allows."""
    allowed = Allowed(facts, Account())
    craft = facts.outing.craft
    return Light(
        facts,
        allowed.of("battery", catalog.batteries),
        allowed.of("motor", catalog.motors),
        allowed.controllers(catalog.controllers),
        LeastCharger(
            facts,
            allowed.of("charger", catalog.chargers),
            named(catalog.chargers, allowed.require),
        ),
        LeastWiring(
            _shelf(facts, catalog, allowed),
            tuple(facts.run_m(box, mount) for box in craft.compartments for mount in craft.mounts),
        ),
    )


def _shelf(facts: Facts, catalog: Catalog, allowed: "Allowed") -> Shelf:
    return Shelf(
        facts,
        catalog,
        allowed.of("cable", catalog.cables),
        allowed.of("fuse", catalog.fuses),
        allowed.of("connector", catalog.connectors),
    )


def candidates(
    facts: Facts, catalog: Catalog, only: Shortlist | None = None, *, light: Light | None = None
) -> Table:
    """Every bank, drive, pair, wiring set and charger the rules allow.

    With a shortlist, only of the bank and drive types on it; its account is then not whole.
    ``light``: the bounds of :func:`light_of`, if they are there already.
    """
    light = light or light_of(facts, catalog)
    account = Account()
    allowed = Allowed(facts, account)
    if only is None:
        motors = allowed.of("motor", catalog.motors)
        controllers = allowed.controllers(catalog.controllers)
        drives = drive_table(facts, ((m, controllers) for m in motors), catalog, account)
        batteries = allowed.of("battery", catalog.batteries)
    else:
        drives = drive_table(facts, only.drives, catalog, account)
        listed = {battery for battery, _, _ in only.banks}
        batteries = tuple(battery for battery in catalog.batteries if battery.id in listed)
    systems = frozenset(drives["system_v"])
    banks = bank_table(
        facts, batteries, catalog, systems, account, only=only.banks if only else None
    )
    shelf = _shelf(facts, catalog, allowed)
    levels = _levels(shelf, banks, account)
    harnesses = _harnesses(drives)
    wirings = Wirings(shelf, levels, harnesses)
    considered = None if only is None else _considered(banks, drives, only.couples)
    zones = _wanted(banks, drives, considered)
    if only is None:
        wirings.account(zones, account)
    wiring, suiting = wirings.table(zones, tell=only is None)
    pairs = pair_tables(
        facts,
        banks,
        drives,
        light.cap_g,
        wiring_g=light.wiring.heaviest_g,
        displacements=light.displacements,
        considered=considered,
    )
    if only is None:
        _account_for_pairs(facts, banks, drives, pairs, account)
    chargers = _charger_table(facts, allowed.of("charger", catalog.chargers), catalog)
    placed = (banks["battery"], drives["motor"], drives["controller"], chargers["charger"])
    used = suiting.union(*placed)
    return Table(
        facts=facts,
        catalog=catalog,
        light=light,
        banks=banks,
        drives=drives,
        wiring=wiring,
        wirings=wirings,
        chargers=chargers,
        pairs=pairs,
        excluded=account.frame(used),
        charger_required=named(catalog.chargers, allowed.require),
    )


def _levels(shelf: Shelf, banks: pd.DataFrame, account: Account) -> tuple[Level, ...]:
    """Sorts banks by the fuses that stand their fault; writes ``level`` into ``banks``."""
    known: dict[bytes, int] = {}
    levels: list[Level] = []
    numbers = []
    strongest_a, strongest_v = (float(able.max(initial=0.0)) for able in shelf.fuses_stand)
    for battery, short, volts in zip(
        banks["battery"], banks["short_circuit_a"], banks["voltage_v"], strict=True
    ):
        level = Level.of(shelf, float(short), float(volts))
        if level.key not in known:
            known[level.key] = len(levels)
            levels.append(level)
        numbers.append(known[level.key])
        for rule, able, value, bound, unit in (
            ("interrupting", level.interrupting, float(short), strongest_a, "A"),
            ("fuse_voltage", level.fuse_voltage, float(volts), strongest_v, "V"),
        ):
            if not able.any():
                account.leave_out(
                    "battery",
                    str(battery),
                    rule,
                    value=value,
                    bound=bound,
                    unit=unit,
                    where="the strongest fuse on the shelf",
                )
    banks["level"] = np.array(numbers, dtype=np.int64)
    return tuple(levels)


def _harnesses(drives: pd.DataFrame) -> tuple[tuple[float, int], ...]:
    """Drives by what their wiring must carry; writes ``harness`` into ``drives``."""
    keys = list(zip(drives["current_a"].astype(float), drives["system_v"].astype(int), strict=True))
    known = {key: number for number, key in enumerate(dict.fromkeys(keys))}
    drives["harness"] = np.array([known[key] for key in keys], dtype=np.int64)
    return tuple(known)


def _considered(
    banks: pd.DataFrame, drives: pd.DataFrame, couples: frozenset[Couple]
) -> npt.NDArray[np.bool_]:
    """Whether a couple of types is among the listed, shape (bank types, drive types)."""
    b, d = (frame.drop_duplicates("type") for frame in (banks, drives))
    of_bank = list(zip(b["battery"], b["series"], b["parallel"], strict=True))
    of_drive = [(m, c or None) for m, c in zip(d["motor"], d["controller"], strict=True)]
    return np.array(
        [[(bank, drive) in couples for drive in of_drive] for bank in of_bank], dtype=bool
    ).reshape(len(of_bank), len(of_drive))


def _wanted(
    banks: pd.DataFrame, drives: pd.DataFrame, considered: npt.NDArray[np.bool_] | None
) -> frozenset[Zone]:
    """The zones that a bank and a drive of one voltage may need."""
    if considered is None:
        ends = set(zip(banks["system_v"], banks["level"], banks["place"], strict=True))
        heads = set(zip(drives["system_v"], drives["harness"], drives["place"], strict=True))
        return frozenset(
            (int(harness), int(level), int(box), int(mount))
            for volts, level, box in ends
            for v, harness, mount in heads
            if v == volts
        )
    types = (frame["type"].to_numpy(dtype=np.int64) for frame in (banks, drives))
    b, d = np.nonzero(considered[np.ix_(*types)])
    of = (drives["harness"], banks["level"], banks["place"], drives["place"])
    rows = (d, b, b, d)
    zones = np.column_stack([c.to_numpy()[at] for c, at in zip(of, rows, strict=True)])
    return frozenset((h, level, box, m) for h, level, box, m in np.unique(zones, axis=0).tolist())


def _account_for_pairs(
    facts: Facts, banks: pd.DataFrame, drives: pd.DataFrame, pairs: Pairs, account: Account
) -> None:
    """Batteries too weak for every motor, and parts no partner lets meet the day's demands."""
    battery = banks.drop_duplicates("type")["battery"].to_numpy()
    strength = banks.drop_duplicates("type")["continuous_a"].to_numpy(dtype=float)
    motor = drives.drop_duplicates("type")["motor"].to_numpy()
    weak = pairs.matched & ~pairs.carried
    for b in np.flatnonzero(weak.any(axis=1)):
        account.leave_out(
            "battery",
            str(battery[b]),
            "bank_current",
            value=float(strength[b]),
            bound=float(pairs.full_throttle_a[b][weak[b]].min()),
            unit="A",
            where="the most modest motor it cannot feed",
        )
    possible = pairs.matched & pairs.carried
    reach = 1.0 - facts.outing.limits.voltage_drop
    for demand, bound, unit, best in (
        ("leg_speed", reach, "of its full speed", np.nanmin),
        ("top_speed", reach, "of its full speed", np.nanmin),
        ("hours", facts.outing_hours, "h", np.nanmax),
    ):
        served = possible & (pairs.w_max_g[demand] != NEVER)
        for kind, names, axis in (("battery", battery, 1), ("motor", motor, 0)):
            for number in np.flatnonzero(possible.any(axis=axis) & ~served.any(axis=axis)):
                account.leave_out(
                    kind,
                    str(names[number]),
                    demand,
                    value=float(best(pairs.lightest[demand].take(number, axis=1 - axis))),
                    bound=bound,
                    unit=unit,
                    where="with its best partner, at its lightest",
                )


def _charger_table(facts: Facts, chargers: tuple[Charger, ...], catalog: Catalog) -> pd.DataFrame:
    rows = {charger.id: row for row, charger in enumerate(catalog.chargers)}
    found = []
    for charger in chargers:
        price = to_buy(facts.outing.parts, charger.id, 1) * charger.price_cents
        values = {
            "row": rows[charger.id],
            "charger": charger.id,
            "price_cents": price,
            "season_units": season_units(price),
            "system_v": charger.system_v,
            "current_a": charger.current_a,
            "chemistries": "|".join(charger.chemistries),
        }
        found.append([values[column] for column in CHARGER_COLUMNS])
    return pd.DataFrame(found, columns=list(CHARGER_COLUMNS))
