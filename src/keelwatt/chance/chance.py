"""A chance counted on days drawn, and how well so many days tell it."""

from dataclasses import dataclass
from math import sqrt

Z_95 = 1.959963984540054
"""Standard deviations about the mean that hold 95 % of a normal distribution."""


@dataclass(frozen=True)
class Chance:
    """How many of the days drawn were so."""

    hits: int
    days: int

    @property
    def share(self) -> float:
        return self.hits / self.days

    @property
    def standard_error(self) -> float:
        """Of the share, from the days drawn alone."""
        return sqrt(self.share * (1.0 - self.share) / self.days)

    @property
    def interval(self) -> tuple[float, float]:
        """Holds the true chance 95 times in 100 (E. B. Wilson, J. Am. Stat. Assoc. 22, 1927).

        >>> low, high = Chance(9, 10).interval
        >>> f"{low:.4f} {high:.4f}"
        '0.5958 0.9821'
        """
        n, p, z = self.days, self.share, Z_95
        middle = p + z * z / (2 * n)
        reach = z * sqrt(p * (1 - p) / n + z * z / (4 * n * n))
        scale = 1 + z * z / n
        low, high = (middle - reach) / scale, (middle + reach) / scale
        return (0.0 if not self.hits else low), (1.0 if self.hits == n else high)
