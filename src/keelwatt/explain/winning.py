"""At which price a part would be in the best kit."""

from dataclasses import dataclass, replace
from typing import Any

from keelwatt.choose.question import NOTHING, THEN, Pick, Question
from keelwatt.choose.search import Search
from keelwatt.choose.sums import Measure
from keelwatt.explain.prices import Found
from keelwatt.files.catalog.reader import Catalog
from keelwatt.files.kit import Kit
from keelwatt.limits import LIMITS, MEASURED
from keelwatt.proof import Assessor


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

    def _catalog(self, price_cents: int) -> Catalog:
        parts = tuple(
            part.model_copy(update={self._field: price_cents}) if part.id == self.part_id else part
            for part in self.search.catalog.kinds()[self.kind]
        )
        changed: dict[str, Any] = {self.kind: parts}
        return replace(self.search.catalog, **changed)

    def winner(self, price_cents: int) -> Pick | None:
        """The best kit at this price, None if it does not win."""
        water = self.search.types.displacements
        search = Search(self.search.case, self._catalog(price_cents), water=water)
        below = NOTHING
        if self.best:
            below = self._measures(self.best.kit, price_cents)[self.by] + 1
        pick = search.best(Question(self.by, below=below))
        if pick is None or not self._wins(pick, price_cents):
            return None
        return pick

    def wins_up_to(self, pick: Pick, price_cents: int) -> int:
        """The highest whole price, up to today's, at which this kit wins."""
        low, high = price_cents, max(price_cents, int(self.price))
        while low < high:
            middle = (low + high + 1) // 2
            low, high = (middle, high) if self._wins(pick, middle) else (low, middle - 1)
        return low

    def _wins(self, pick: Pick, price_cents: int) -> bool:
        """Whether a kit keeps the limits on its sums at this price, and beats the best."""
        measures = self._measures(pick.block.kit(pick.row), price_cents)
        for name, measure in MEASURED.items():
            bound = LIMITS[name].whole(self.search.case.outing.limits)
            if bound is not None and measures[measure] > bound:
                return False
        if self.best is None:
            return True
        best = self._measures(self.best.kit, price_cents)
        order = self.by, THEN[self.by]
        return [measures[name] for name in order] < [best[name] for name in order]

    def _measures(self, kit: Kit, price_cents: int) -> dict[Measure, int]:
        """A kit's sums at this price; the part may be in its branches too."""
        totals = Assessor(self.search.case.outing, self._catalog(price_cents)).totals(kit)
        return {
            "cost": totals.price_cents,
            "mass": totals.mass_g,
            "season": totals.season_units,
        }
