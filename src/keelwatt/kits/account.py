"""The account of everything left out before a program exists: part, rule, value, bound."""

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from typing import Any

FILTERS: dict[str, Callable[..., Any]] = {}
"""Limit -> what keeps kits that break it out of the tables, or out of the choice at once."""


@dataclass(frozen=True)
class Excluded:
    """The nearest a part came to passing one rule, and in how many ways it was tried."""

    kind: str
    part: str
    rule: str
    value: float
    bound: float
    unit: str
    where: str
    tried: int = 1
    wholly: bool = False

    @property
    def miss(self) -> float:
        return abs(self.value - self.bound)


@dataclass
class Account:
    """Collects exclusions while tables are made; each part and rule keeps its nearest miss."""

    nearest: dict[tuple[str, str, str], Excluded] = field(default_factory=dict)

    def leave_out(
        self, kind: str, part: str, rule: str, miss: tuple[float, float, str], where: str
    ) -> None:
        """``miss``: (value, bound, unit)."""
        key = (kind, part, rule)
        new = Excluded(kind, part, rule, *miss, where)
        if known := self.nearest.get(key):
            new = replace(min(known, new, key=lambda e: e.miss), tried=known.tried + 1)
        self.nearest[key] = new

    def told(self, used: frozenset[str]) -> tuple[Excluded, ...]:
        """One a part and rule; ``wholly`` where no kit uses the part at all."""
        return tuple(replace(e, wholly=e.part not in used) for e in self.nearest.values())
