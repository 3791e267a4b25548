"""At which price a part would be in the best kit."""

from collections.abc import Iterator

import numpy as np
import pandas as pd

from keelwatt.boat.arrays import Bools
from keelwatt.choose.space import THEN
from keelwatt.choose.sums import Ints, Measure
from keelwatt.explain.ledger import Ledger
from keelwatt.explain.prices import Found
from keelwatt.files.catalog.parts import Battery
from keelwatt.files.kit import bank_seasons, season_units, to_buy
from keelwatt.limits import LIMITS, MEASURED


def winning_price_cents(ledger: Ledger, best: Found | None, part_id: str, kind: str) -> int | None:
    """The highest whole price at which some kit of a ledger beats the best kit without the part.

    Every kit of the ledger holds the part; its price is that of a piece, or a metre of one
    conductor. Kits the budget shuts out count as soon as the lower price lets them in. None where
    the part wins at no price.
    """
    priced = _Priced(ledger, part_id, kind)
    low, high = 0, int(priced.price_cents)
    if not priced.wins(low, best):
        return None
    while low < high:
        middle = (low + high + 1) // 2
        low, high = (middle, high) if priced.wins(middle, best) else (low, middle - 1)
    return low


class _Priced:
    """The kits of a ledger with another price for a part they all hold."""

    def __init__(self, ledger: Ledger, part_id: str, kind: str) -> None:
        self.ledger = ledger
        self.kind = kind
        self.part = ledger.space.table.catalog.part(part_id)
        of_metre = kind == "cables"
        price: float = getattr(self.part, "price_cents_m" if of_metre else "price_cents")
        self.price_cents = price
        self.now = self._owed(price)
        self.allowed: Bools = ledger.broken & ~ledger.bit(*MEASURED) == 0

    def wins(self, price_cents: int, best: Found | None) -> bool:
        """Whether a kit that keeps every limit at this price is better than the best."""
        change = [after - now for after, now in zip(self._owed(price_cents), self.now, strict=True)]
        measures: dict[Measure, Ints] = {
            "cost": self.ledger.measures["cost"] + change[0],
            "mass": self.ledger.measures["mass"],
            "season": self.ledger.measures["season"] + change[1],
        }
        good = self.allowed & self._affordable(measures)
        if best is None:
            return bool(good.any())
        by = self.ledger.by
        first, second = (
            {"cost": best.cost_cents, "mass": best.mass_g, "season": best.season_units}[measure]
            for measure in (by, THEN[by])
        )
        better = measures[by] < first
        better |= (measures[by] == first) & (measures[THEN[by]] < second)
        return bool((good & better).any())

    def _affordable(self, measures: dict[Measure, Ints]) -> Bools:
        limits = self.ledger.space.table.facts.outing.limits
        good = np.ones(self.allowed.shape, dtype=bool)
        for name, measure in MEASURED.items():
            if (bound := LIMITS[name].whole(limits)) is not None:
                good &= measures[measure] <= bound
        return good

    def _owed(self, price_cents: float) -> tuple[Ints, Ints]:
        """What the part takes of each kit's cost and season price."""
        table, kits = self.ledger.space.table, self.ledger.kits
        rows: tuple[pd.DataFrame, Ints] = {
            "batteries": (table.banks, kits.bank),
            "motors": (table.drives, kits.drive),
            "controllers": (table.drives, kits.drive),
        }.get(self.kind, (table.wiring, kits.wiring))
        if self.kind == "chargers":
            rows = (table.chargers, self.ledger.charger)
        owed = np.array(list(self._of_rows(rows[0], price_cents)), dtype=np.int64).reshape(-1, 2)
        return owed[rows[1], 0], owed[rows[1], 1]

    def _of_rows(self, frame: pd.DataFrame, price_cents: float) -> Iterator[tuple[int, int]]:
        outing = self.ledger.space.table.facts.outing
        if isinstance(self.part, Battery):
            seasons = bank_seasons(self.part, outing.wish.outings_per_season)
            for series, parallel in zip(frame["series"], frame["parallel"], strict=True):
                owed = round(
                    to_buy(outing.parts, self.part.id, int(series * parallel)) * price_cents
                )
                yield owed, season_units(owed, seasons)
            return
        lengths = 2.0 * frame["run_m"] if self.kind == "cables" else [1.0] * len(frame)
        for length in lengths:
            owed = to_buy(outing.parts, self.part.id, 1) * round(length * price_cents)
            yield owed, season_units(owed)
