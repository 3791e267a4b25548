"""At which price a part would be in the best kit."""

from dataclasses import dataclass, replace
from typing import Any

from keelwatt.choose.question import NOTHING, THEN, Pick, Question
from keelwatt.choose.search import Search
from keelwatt.choose.sums import Measure
from keelwatt.explain.prices import Found
from keelwatt.files.catalog.parts import Battery
from keelwatt.files.kit import Kit, bank_seasons, season_units, to_buy
from keelwatt.limits import LIMITS, MEASURED


def winning_price_cents(
    search: Search, by: Measure, best: Found | None, part_id: str, kind: str
) -> int | None:
    """The highest whole price at which some kit of a search beats the best kit without the part.

    Every kit of the search holds the part; its price is that of a piece, or a metre of one
    conductor. Kits the budget shuts out count as soon as the lower price lets them in. None where
    the part wins at no price.

    A kit that wins at one price wins at all lower ones. So the part is priced at nothing, then just
    above the last price at which the kit found wins, until no kit does.
    """
    priced = _Priced(search, by, best, part_id, kind)
    highest: int | None = None
    while highest is None or highest < int(priced.price):
        asked = 0 if highest is None else highest + 1
        pick = priced.winner(asked)
        if pick is None:
            break
        highest = priced.wins_up_to(pick, asked)
    return highest


@dataclass(frozen=True)
class _Priced:
    """A search with another price for a part that all its kits hold."""

    search: Search
    by: Measure
    best: Found | None
    part_id: str
    kind: str

    @property
    def _field(self) -> str:
        return "price_cents_m" if self.kind == "cables" else "price_cents"

    @property
    def price(self) -> float:
        price: float = getattr(self.search.catalog.part(self.part_id), self._field)
        return price

    def winner(self, price_cents: int) -> Pick | None:
        """The best kit at this price, None if it does not win."""
        parts = tuple(
            part.model_copy(update={self._field: price_cents}) if part.id == self.part_id else part
            for part in self.search.catalog.kinds()[self.kind]
        )
        changed: dict[str, Any] = {self.kind: parts}
        catalog = replace(self.search.catalog, **changed)
        water = self.search.types.displacements
        search = Search(self.search.case, catalog, water=water)
        below = NOTHING if self.best is None else self._of_best(self.by) + 1
        pick = search.best(Question(self.by, below=below))
        if pick is None or not self._beats(pick.value(self.by), pick.value(THEN[self.by])):
            return None
        return pick

    def wins_up_to(self, pick: Pick, price_cents: int) -> int:
        """The highest whole price, up to today's, at which this kit wins."""
        low, high = price_cents, max(price_cents, int(self.price))
        while low < high:
            middle = (low + high + 1) // 2
            wins = self._wins(pick, price_cents, middle)
            low, high = (middle, high) if wins else (low, middle - 1)
        return low

    def _wins(self, pick: Pick, before_cents: int, price_cents: int) -> bool:
        kit = pick.block.kit(pick.row)
        before, after = self._owed(kit, before_cents), self._owed(kit, price_cents)
        measures: dict[Measure, int] = {
            "cost": pick.value("cost") + after[0] - before[0],
            "mass": pick.value("mass"),
            "season": pick.value("season") + after[1] - before[1],
        }
        for name, measure in MEASURED.items():
            bound = LIMITS[name].whole(self.search.case.outing.limits)
            if bound is not None and measures[measure] > bound:
                return False
        return self._beats(measures[self.by], measures[THEN[self.by]])

    def _beats(self, first: int, second: int) -> bool:
        if self.best is None:
            return True
        return (first, second) < (self._of_best(self.by), self._of_best(THEN[self.by]))

    def _of_best(self, measure: Measure) -> int:
        assert self.best is not None
        sums = {
            "cost": self.best.cost_cents,
            "mass": self.best.mass_g,
            "season": self.best.season_units,
        }
        return sums[measure]

    def _owed(self, kit: Kit, price_cents: float) -> tuple[int, int]:
        """What the part takes of the kit's cost and season price."""
        outing, part = self.search.case.outing, self.search.catalog.part(self.part_id)
        if isinstance(part, Battery):
            owed = round(to_buy(outing.parts, part.id, kit.units) * price_cents)
            return owed, season_units(owed, bank_seasons(part, outing.wish.outings_per_season))
        length = 2.0 * kit.run_m if self.kind == "cables" else 1.0
        owed = to_buy(outing.parts, part.id, 1) * round(length * price_cents)
        return owed, season_units(owed)
