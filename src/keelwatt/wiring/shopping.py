"""The kit as a shopping list; and what to bring home, branches and whole lengths of cable too."""

from collections import Counter
from collections.abc import Callable, Hashable, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from math import ceil
from typing import TypeVar

from keelwatt.files.catalog.parts import Battery, Charger, Connector, Controller, Fuse, Motor
from keelwatt.files.kit import Kit, cable_cents, cable_g, grams, to_buy
from keelwatt.files.outing import Parts
from keelwatt.proof.model import Chosen
from keelwatt.units import shown
from keelwatt.wiring.model import Conductor, Item, Netlist

METRES_A_FOOT = 0.3048

_Part = TypeVar("_Part", Item, Conductor)


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
    length = Line(
        kind="cable",
        part=cable.id,
        name=cable.name,
        quantity=shown.run(2 * run_m),
        where=f"two of {shown.run(run_m)}",
        to_buy=buy_cable,
        price_cents=buy_cable * cable_cents(cable, run_m),
        mass_g=cable_g(cable, run_m),
    )
    count = kit.units
    lines = [
        line("battery", chosen.battery, kit.compartment, count=count, quantity=f"{count} x"),
        line("fuse", chosen.fuse, "at the battery"),
        line("connector", chosen.connector, "after the fuse", quantity="1 pair"),
        length,
        line("controller", chosen.controller, "before the motor") if chosen.controller else None,
        line("motor", chosen.motor, kit.mount),
        line("charger", chosen.charger, "stays ashore") if chosen.charger else None,
    ]
    return tuple(each for each in lines if each)


def arrangement(kit: Kit) -> str:
    """How the batteries are joined, in words; empty for a single one."""
    if kit.units == 1:
        return ""
    if kit.parallel == 1:
        return f"{kit.series} in series"
    if kit.series == 1:
        return f"{kit.parallel} in parallel"
    return f"{kit.parallel} strings of {kit.series} in series"


@dataclass(frozen=True, kw_only=True)
class Purchase:
    """One row to buy: ``needed`` and ``bought`` in ``unit``, prices None where no catalog tells.

    ``uses`` tells what a part beside the kit is for; it is empty for the kit itself.
    ``counted_cents`` is what the choice of the kit reckoned with, 0 for what lies beside it;
    ``price_cents`` what ``bought`` costs.
    """

    uses: tuple[str, ...] = ()
    kind: str
    part: str | None
    name: str
    colour: str = ""
    needed: float
    bought: float
    unit: str
    each_cents: float | None
    counted_cents: int = 0
    price_cents: int | None
    owned: bool


@dataclass(frozen=True)
class Purchases:
    """Every row, the kit's first; ``feet``: cable by the foot, else by the metre."""

    rows: tuple[Purchase, ...]
    feet: bool

    @property
    def counted_cents(self) -> int:
        """The kit's price as the choice reckoned it, cable by the length that is used."""
        return sum(row.counted_cents for row in self.rows)

    @property
    def kit_cents(self) -> int:
        """The kit's price with cable in whole lengths."""
        return sum(row.price_cents or 0 for row in self.rows if not row.uses)

    @property
    def beside_cents(self) -> int:
        """What lies beside the kit, as far as the catalog tells prices."""
        return sum(row.price_cents or 0 for row in self.rows if row.uses)

    @property
    def unpriced(self) -> tuple[Purchase, ...]:
        return tuple(row for row in self.rows if row.price_cents is None)


def purchases(
    bill: Iterable[Line], kit: Kit, parts: Parts, net: Netlist, *, feet: bool = False
) -> Purchases:
    """What to bring home for a kit's bill and its netlist, cable by the whole metre, or foot.

    A colour of one cable is bought in one length and cut, so that only the sum is rounded up; what
    the kit needs comes first, and what lies beside it adds to that.
    """
    buying = _Buying(parts, feet)
    rows: list[Purchase] = []
    for line in bill:
        if line.kind == "cable":
            rows += _counted(buying.cables(net.main, {}), line.price_cents)
        else:
            rows.append(buying.line(line, kit.units if line.kind == "battery" else 1))
    told = {circuit.name: circuit.told for circuit in net.beside}
    bought = (item for item in net.items if item.kind not in {"battery", "device"})
    rows += buying.items((item for item in bought if item.circuit in told), told)
    rows += buying.cables((c for c in net.conductors if c.circuit in told), told)
    return Purchases(tuple(rows), feet)


def _counted(rows: Iterable[Purchase], cents: int) -> Iterator[Purchase]:
    """The rows with what the choice reckoned for them all shared out, the first taking the odd."""
    rows = tuple(rows)
    share, odd = divmod(cents, len(rows))
    for number, row in enumerate(rows):
        yield replace(row, counted_cents=share + (odd if number == 0 else 0))


class _Buying:
    """Keeps count of what is bought already, while rows are made."""

    def __init__(self, parts: Parts, feet: bool) -> None:
        self.parts = parts
        self.unit, self.unit_m = ("ft", METRES_A_FOOT) if feet else ("m", 1.0)
        self.pieces: Counter[str] = Counter()
        self.cut_m: dict[tuple[str, str], float] = {}

    def line(self, line: Line, count: int) -> Purchase:
        """A line of the kit."""
        self.pieces[line.part] += count
        return Purchase(
            kind=line.kind,
            part=line.part,
            name=line.name,
            needed=count,
            bought=line.to_buy,
            unit="pair" if line.kind == "connector" else "piece",
            each_cents=line.price_cents / line.to_buy if line.to_buy else None,
            counted_cents=line.price_cents,
            price_cents=line.price_cents,
            owned=line.owned,
        )

    def items(self, items: Iterable[Item], told: Mapping[str, str]) -> Iterator[Purchase]:
        """What lies between conductors, equal ones together."""
        for same in _alike(items, lambda item: (item.kind, item.part or item.told)):
            item, count, each = same[0], len(same), same[0].price_cents
            buy = count if item.part is None else self._still_to_buy(item.part, count)
            yield Purchase(
                uses=_uses(same, told),
                kind=item.kind,
                part=item.part,
                name=item.told,
                needed=count,
                bought=buy,
                unit="pair" if item.kind == "inlet" else "piece",
                each_cents=each,
                price_cents=None if each is None else buy * each,
                owned=buy == 0,
            )

    def _still_to_buy(self, part: str, count: int) -> int:
        """Of so many more of a part, beyond those bought already."""
        before = to_buy(self.parts, part, self.pieces[part])
        self.pieces[part] += count
        return to_buy(self.parts, part, self.pieces[part]) - before

    def cables(
        self, conductors: Iterable[Conductor], told: Mapping[str, str]
    ) -> Iterator[Purchase]:
        """A row for each colour of each cable."""
        for same in _alike(conductors, lambda c: (c.wire, c.colour)):
            wire, colour = same[0].wire, same[0].colour
            length_m = sum(c.length_m for c in same)
            roll = wire.part or wire.told, colour
            before_m = self.cut_m.get(roll, 0.0)
            self.cut_m[roll] = before_m + length_m
            owned = wire.part is not None and to_buy(self.parts, wire.part, 1) == 0
            bought = 0 if owned else self._whole(self.cut_m[roll]) - self._whole(before_m)
            each = None if wire.price_cents_m is None else wire.price_cents_m * self.unit_m
            yield Purchase(
                uses=_uses(same, told),
                kind="cable",
                part=wire.part,
                name=wire.told,
                colour=colour,
                needed=length_m / self.unit_m,
                bought=bought,
                unit=self.unit,
                each_cents=each,
                price_cents=None if each is None else round(bought * each),
                owned=owned,
            )

    def _whole(self, length_m: float) -> int:
        return ceil(round(length_m / self.unit_m, 6))


def _alike(parts: Iterable[_Part], key: Callable[[_Part], Hashable]) -> Iterable[list[_Part]]:
    """The parts of one key together, in the order of each first."""
    groups = dict[Hashable, list[_Part]]()
    for part in parts:
        groups.setdefault(key(part), []).append(part)
    return groups.values()


def _uses(same: Iterable[Item | Conductor], told: Mapping[str, str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(told[one.circuit] for one in same if one.circuit in told))
