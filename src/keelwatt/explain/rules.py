"""What each rule on wiring costs the chosen kit: told as a fact, never offered for loosening."""

from dataclasses import replace

import numpy as np

from keelwatt.choose.space import THEN, Kits, Space
from keelwatt.choose.sums import Ints
from keelwatt.explain.ledger import Ledger
from keelwatt.explain.prices import Found, Price
from keelwatt.files.kit import Kit
from keelwatt.kits.wiring import WIRING_RULES


def rule_prices(ledger: Ledger) -> tuple[Price, ...]:
    """Each wiring rule with the best kit there would be without it alone. The ledger has a best."""
    best = ledger.best
    if best is None:
        raise ValueError("no kit keeps every limit")
    space = Space(ledger.space.table)
    couples = _couples_in_reach(space, ledger, ledger.value(best))
    return tuple(_price(space, ledger, rule, couples, best) for rule in WIRING_RULES)


def _couples_in_reach(space: Space, ledger: Ledger, value: int) -> tuple[Ints, Ints]:
    """Banks and drives that with wiring for nothing would beat the value and keep the limits."""
    banks, drives, _ = space.measures[ledger.by]
    good = space.typed(space.table.pairs.matched.astype(np.int64)) > 0
    good &= banks[:, None] + drives[None, :] < value
    mass = space.measures["mass"]
    displacement = space.bare_g + mass[0][:, None] + mass[1][None, :]
    for w_max in space.w_max_g.values():
        good &= displacement <= space.typed(w_max)
    for limit in space.sums:
        least = min(0, int(limit.of[2].min(initial=0)))
        good &= limit.of[0][:, None] + limit.of[1][None, :] + least <= limit.bound
    bank, drive = np.nonzero(good)
    return bank, drive


def _price(space: Space, ledger: Ledger, rule: str, couples: tuple[Ints, Ints], best: int) -> Price:
    table = space.table
    bank, drive = couples
    heads = np.column_stack(
        [
            table.drives["harness"].to_numpy(np.int64)[drive],
            table.banks["level"].to_numpy(np.int64)[bank],
            table.banks["place"].to_numpy(np.int64)[bank],
            table.drives["place"].to_numpy(np.int64)[drive],
        ]
    )
    zones = {tuple(row) for row in heads.tolist()}
    lifted = None
    if zones:
        wiring, _ = table.wirings.table(zones, lifted=rule, tell=False)
        relaxed = Space(replace(table, wiring=wiring))
        kits = relaxed.expand(bank, drive)
        lifted = _best_of(relaxed, ledger, kits[relaxed.keeps(kits)])
    if lifted is not None and lifted.value(ledger.by) >= _value(ledger, best):
        lifted = None
    return Price(rule, False, "", None, None, lifted, None, None)


def _value(ledger: Ledger, best: int) -> float:
    value = ledger.value(best)
    return value / 100 if ledger.by == "season" else value


def _best_of(space: Space, ledger: Ledger, kits: Kits) -> Found | None:
    if not kits.bank.size:
        return None
    totals = {name: kits.total(parts) for name, parts in space.measures.items()}
    first = np.lexsort(
        (kits.wiring, kits.drive, kits.bank, totals[THEN[ledger.by]], totals[ledger.by])
    )[0]
    return Found(
        _kit(space, kits, int(first)),
        int(totals["cost"][first]),
        int(totals["mass"][first]),
        int(totals["season"][first]),
    )


def _kit(space: Space, kits: Kits, number: int) -> Kit:
    bank = int(kits.bank[number])
    charger = int(space.charger_rows[bank])
    return space.table.kit(
        bank,
        int(kits.drive[number]),
        int(kits.wiring[number]),
        None if charger < 0 else charger,
    )
