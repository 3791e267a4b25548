"""The kit as a shopping list."""

from dataclasses import dataclass

from keelwatt.catalog.parts import Battery, Charger, Connector, Controller, Fuse, Motor
from keelwatt.kit import Kit, cable_cents, cable_g, grams, to_buy
from keelwatt.outing import Parts
from keelwatt.prove.model import Chosen


@dataclass(frozen=True)
class Line:
    """One thing to get: ``mass_g`` is 0 for what stays ashore, ``to_buy`` 0 for what is owned."""

    kind: str
    part: str
    name: str
    quantity: str
    where: str
    to_buy: int
    price_cents: int
    mass_g: int

    @property
    def owned(self) -> bool:
        return self.to_buy == 0


def shopping_list(kit: Kit, chosen: Chosen, parts: Parts) -> tuple[Line, ...]:
    """Every part of the kit in the order of the current, battery first."""

    def line(
        kind: str,
        part: Battery | Motor | Controller | Fuse | Connector | Charger,
        where: str,
        *,
        count: int = 1,
        quantity: str = "1 x",
    ) -> Line:
        buy = to_buy(parts, part.id, count)
        mass_g = 0 if isinstance(part, Charger) else count * grams(part.mass_kg)
        return Line(kind, part.id, part.name, quantity, where, buy, buy * part.price_cents, mass_g)

    cable, run_m = chosen.cable, kit.run_m
    buy_cable = to_buy(parts, cable.id, 1)
    lines = [
        line(
            "battery",
            chosen.battery,
            kit.compartment,
            count=kit.units,
            quantity=f"{kit.units} x",
        ),
        line("fuse", chosen.fuse, "at the battery"),
        line("connector", chosen.connector, "after the fuse", quantity="1 pair"),
        Line(
            "cable",
            cable.id,
            cable.name,
            f"{2 * run_m:.2f} m",
            f"two of {run_m:.2f} m",
            buy_cable,
            buy_cable * cable_cents(cable, run_m),
            cable_g(cable, run_m),
        ),
    ]
    if chosen.controller:
        lines.append(line("controller", chosen.controller, "before the motor"))
    lines.append(line("motor", chosen.motor, kit.mount))
    if chosen.charger:
        lines.append(line("charger", chosen.charger, "stays ashore"))
    return tuple(lines)


def arrangement(kit: Kit) -> str:
    """How the batteries are joined, in words; empty for a single one."""
    if kit.units == 1:
        return ""
    if kit.parallel == 1:
        return f"{kit.series} in series"
    if kit.series == 1:
        return f"{kit.parallel} in parallel"
    return f"{kit.parallel} strings of {kit.series} in series"
