"""A named limit and the room a kit leaves under it."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from keelwatt.files.kit import ROUNDING

Kind = Literal["wish", "rule"]
Sense = Literal["at most", "at least", "equal"]

WISHES = (
    "budget",
    "season",
    "kit_mass",
    "lift",
    "hours",
    "leg_speed",
    "top_speed",
    "recharge",
    "trim",
    "heel",
)
"""Limits a user may give up, in the order they are shown."""

RULES = (
    "payload",
    "stability",
    "compartment",
    "compartment_load",
    "shaft",
    "bank_size",
    "voltage_match",
    "bank_current",
    "voltage_drop",
    "ampacity",
    "conductor",
    "protection",
    "fuse_voltage",
    "interrupting",
    "controller_rating",
    "connector_rating",
    "connector_size",
    "chemistry",
    "parts",
)
"""Limits nobody may give up."""

TIGHT_SHARE = 0.01
"""A limit with less room than this share of its bound is called tight."""


@dataclass(frozen=True)
class Limit:
    """The bound a kit needs to keep and what it has, both in ``unit``."""

    name: str
    sense: Sense
    needs: float
    has: float
    unit: str

    @property
    def kind(self) -> Kind:
        return "wish" if self.name in WISHES else "rule"

    @property
    def room(self) -> float:
        """Distance to the bound; negative when broken."""
        if self.sense == "at most":
            return self.needs - self.has
        if self.sense == "at least":
            return self.has - self.needs
        return -abs(self.needs - self.has)

    @property
    def relative_room(self) -> float:
        return self.room / abs(self.needs) if self.needs else self.room

    @property
    def holds(self) -> bool:
        return self.room >= -ROUNDING * abs(self.needs)

    @property
    def tight(self) -> bool:
        return self.sense != "equal" and self.relative_room <= TIGHT_SHARE


def narrowest(limits: Iterable[Limit]) -> tuple[Limit, ...]:
    """One limit a name, the one with the least relative room, in the order of WISHES then RULES."""
    least: dict[str, Limit] = {}
    for limit in limits:
        known = least.get(limit.name)
        if known is None or limit.relative_room < known.relative_room:
            least[limit.name] = limit
    return tuple(least[name] for name in (*WISHES, *RULES) if name in least)
