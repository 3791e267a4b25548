"""How a kit's days turn out: chances, what is left, what matters most, how much it stands."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from keelwatt.boat.arrays import Floats
from keelwatt.chance import odds
from keelwatt.chance.margins import Margin, margins
from keelwatt.chance.shares import Shares, shares
from keelwatt.chance.spreads import Spreads
from keelwatt.errors import InputError
from keelwatt.files.catalog.reader import Catalog
from keelwatt.files.outing import Outing

QUANTILES = (0.01, 0.05, 0.25, 0.5, 0.75, 0.95, 0.99)
BINS = 20
"""Equal bins of the charge left, from 0 to a full bank."""


@dataclass(frozen=True)
class Outlook:
    """One kit's days."""

    boat: odds.Boat
    catalog: Catalog
    spreads: Spreads
    days: int
    seed: int
    run: odds.Run
    shares: Shares
    margins: tuple[Margin, ...]

    @property
    def outing(self) -> Outing:
        return self.boat.case.outing

    @cached_property
    def chances(self) -> odds.Chances:
        return odds.chances(self.run)

    @cached_property
    def left_share(self) -> Floats:
        """What is left of a full bank, 0 where it was flat before home; shape (days,)."""
        return np.asarray(np.maximum(self.run.left_share, 0.0))

    def left_at(self, quantile: float) -> tuple[float, float]:
        """(share of a full bank, Ah): so large a share of the days has no more left."""
        left_ah = self.left_share * self.run.full_ah
        return float(np.quantile(self.left_share, quantile)), float(np.quantile(left_ah, quantile))

    @property
    def quantiles(self) -> tuple[tuple[float, float, float], ...]:
        """(quantile, share of a full bank, Ah) at each of ``QUANTILES``."""
        return tuple((at, *self.left_at(at)) for at in QUANTILES)

    def counts(self) -> tuple[tuple[float, float, int], ...]:
        """(from, to, days) of each bin of the share left; a bin's end belongs to the next."""
        edges = np.linspace(0.0, 1.0, BINS + 1)
        days, _ = np.histogram(self.left_share, edges)
        return tuple(zip(edges[:-1].tolist(), edges[1:].tolist(), days.tolist(), strict=True))


def outlook(
    boat: odds.Boat, catalog: Catalog, days: int = odds.DAYS, seed: int = odds.SEED
) -> Outlook:
    """Draw so many days and work each out.
    Raises InputError where they are too few to tell anything, or more than a computer likes."""
    if not odds.FEWEST_DAYS <= days <= odds.MOST_DAYS:
        what = "is too few days" if days < odds.FEWEST_DAYS else "is more days than are worked"
        remedy = f"write from {odds.FEWEST_DAYS} to {odds.MOST_DAYS}: {odds.DAYS} will do"
        raise InputError.at("--days", what, remedy, value=str(days))
    spreads = Spreads(boat.case.outing)
    run, each = odds.simulate(boat, spreads, days, seed), shares(boat, spreads, seed)
    return Outlook(boat, catalog, spreads, days, seed, run, each, margins(boat))
