"""Everything that must be bought and fitted for a kit, line by line."""

from dataclasses import dataclass

from keelwatt.files.kit import season_units

WHAT = (
    "battery", "motor", "controller", "fuse", "connector", "cable", "bus bar", "lug", "inlet",
    "converter", "hold-down", "terminal cover", "box", "charger",
)  # fmt: skip
"""Kinds of line in the order one shops."""


@dataclass(frozen=True, kw_only=True)
class BillLine:
    """``needed`` and ``bought`` in ``unit``; prices None where nobody knows; ``uses``: for what.
    ``typical``: its price is from memory. ``mass_g`` is 0 for what stays ashore."""

    what: str
    part: str | None
    name: str
    colour: str = ""
    needed: float
    bought: float
    unit: str = "piece"
    each_cents: float | None
    price_cents: int | None
    typical: bool = False
    mass_g: int = 0
    uses: tuple[str, ...] = ()

    @property
    def owned(self) -> bool:
        return self.bought == 0


@dataclass(frozen=True)
class Bill:
    """The lines in the order one shops, equal ones together."""

    lines: tuple[BillLine, ...]
    battery_seasons: float

    @property
    def price_cents(self) -> int:
        return sum(line.price_cents or 0 for line in self.lines)

    @property
    def typical_cents(self) -> int:
        """What of it is priced from memory."""
        return sum(line.price_cents or 0 for line in self.lines if line.typical)

    @property
    def season_units(self) -> int:
        return sum(
            season_units(line.price_cents or 0, self.battery_seasons)
            if line.what == "battery"
            else season_units(line.price_cents or 0)
            for line in self.lines
        )

    @property
    def mass_g(self) -> int:
        return sum(line.mass_g for line in self.lines)

    @property
    def unpriced(self) -> tuple[str, ...]:
        return tuple(line.name for line in self.lines if line.price_cents is None)
