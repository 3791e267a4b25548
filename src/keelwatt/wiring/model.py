"""Items, conductors and circuits: plain frozen data."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Literal, Self

from keelwatt.files.catalog.got import Got, Strand
from keelwatt.files.catalog.parts import Battery, Connector, Controller, Fuse, Motor

Pole = Literal["+", "-"]
Polarity = Literal["positive", "negative", "link"]
Kind = Literal["battery", "joint", "fuse", "connector", "controller", "motor", "inlet", "device"]
Part = Battery | Fuse | Connector | Controller | Motor

MOTOR, BANK, CHARGING = "motor", "bank", "charging"
"""Names of circuits; a device's is ``device 1`` and so on."""

MOTOR_PLUG = "connector at the motor"


@dataclass(frozen=True)
class Terminal:
    """One pole of an item. A conductor begins on its battery's side and ends on its load's."""

    item: str
    pole: Pole


@dataclass(frozen=True)
class Item:
    """One thing between conductors.
    ``name`` is its own in this netlist, ``told`` the catalog's name of the part, or what to ask for
    where ``part`` is None. ``rating_a`` is None for a device, whose maker knows. ``inside``: what
    sets a motor's speed in its own head. The last four are a fuse's and a connector's."""

    name: str
    kind: Kind
    circuit: str
    part: str | None
    told: str
    current_a: float
    rating_a: float | None
    inside: Literal["stepped", "chopper"] | None = None
    interrupts_a: float | None = None
    max_voltage_v: float | None = None
    smallest_mm2: float | None = None
    largest_mm2: float | None = None

    @classmethod
    def of(
        cls, part: Part, kind: Kind, name: str, circuit: str, *, current_a: float, rating_a: float
    ) -> Self:
        """A part of the catalog."""
        return cls(name, kind, circuit, part.id, part.name, current_a, rating_a)

    @classmethod
    def got(cls, got: Got, kind: Kind, name: str, circuit: str, current_a: float) -> Self:
        """The cheapest that suits, or words to ask for it by."""
        return cls(name, kind, circuit, got.id, got.told, current_a, got.rating_a)


@dataclass(frozen=True)
class Conductor:
    """One piece of cable; ``number`` marks it on the drawing, in the cut list and on its ends.
    ``link`` is the polarity of a piece from minus to plus inside a string. ``fuse`` names the item
    that protects it, None for a link."""

    number: int
    circuit: str
    start: Terminal
    end: Terminal
    polarity: Polarity
    length_m: float
    wire: Strand
    current_a: float
    fuse: str | None
    drop_v: float
    drop_share: float

    @property
    def colour(self) -> str:
        """Of the insulation: ABYC E-11 and ISO 10133, from memory; a link's, our own."""
        return "black or yellow" if self.polarity == "negative" else "red"


@dataclass(frozen=True)
class Circuit:
    """``load`` is the item at its end, None for the bank; ``most_drop`` the share it may lose.
    ``ends_ohm``: of the load's own lead and the contacts, which no conductor here stands for.
    ``converter``: what its end must be led through."""

    name: str
    told: str
    load: str | None
    most_drop: float | None
    ends_ohm: float = 0.0
    converter: str = ""


@dataclass(frozen=True)
class Netlist:
    """The whole wiring; ``strings`` names the batteries of each, the plus end first.
    ``charging_v``: of the bank on its charger, the most that fuses must break."""

    circuits: tuple[Circuit, ...]
    items: tuple[Item, ...]
    conductors: tuple[Conductor, ...]
    strings: tuple[tuple[str, ...], ...]
    system_v: float
    bank_v: float
    charging_v: float
    short_circuit_a: float
    fuse_over_ampacity: float

    def item(self, name: str) -> Item:
        return next(item for item in self.items if item.name == name)

    def of(self, circuit: str) -> tuple[Conductor, ...]:
        return tuple(c for c in self.conductors if c.circuit == circuit)

    def circuit(self, name: str) -> Circuit:
        return next(circuit for circuit in self.circuits if circuit.name == name)

    @cached_property
    def kinds(self) -> Mapping[str, Kind]:
        """By an item's name."""
        return {item.name: item.kind for item in self.items}

    def has(self, kind: Kind) -> bool:
        return kind in self.kinds.values()

    @property
    def joined(self) -> bool:
        """Whether strings meet at two joints."""
        return len(self.strings) > 1

    @property
    def links(self) -> tuple[Conductor, ...]:
        return tuple(c for c in self.conductors if c.polarity == "link")

    @property
    def main(self) -> tuple[Conductor, ...]:
        """What the kit's own cable is cut into."""
        return self.of(MOTOR)

    @property
    def motor(self) -> Circuit:
        return self.circuit(MOTOR)

    @property
    def branches(self) -> tuple[Circuit, ...]:
        """Circuits beside the motor's that end at a load."""
        return tuple(each for each in self.circuits if each.load and each.name != MOTOR)

    def drop_v(self, circuit: str) -> float:
        """Volts lost on the way to the one load of a circuit and back, its own lead too."""
        own = self.circuit(circuit)
        ends_v = own.ends_ohm * self.item(own.load).current_a if own.load else 0.0
        return ends_v + sum(c.drop_v for c in self.of(circuit))

    @property
    def bank_drop_v(self) -> float:
        """Volts lost between the batteries and where the circuits begin: links and one string."""
        one = {*self.strings[0], string_fuse(1)}
        return sum(c.drop_v for c in self.of(BANK) if {c.start.item, c.end.item} & one)


def string_fuse(number: int) -> str:
    return f"string {number} fuse"


def fuse_item(fuse: Fuse, name: str, circuit: str, current_a: float) -> Item:
    return replace(
        Item.of(fuse, "fuse", name, circuit, current_a=current_a, rating_a=fuse.rating_a),
        interrupts_a=fuse.interrupts_a,
        max_voltage_v=fuse.max_voltage_v,
    )


def plug_item(plug: Connector, name: str, circuit: str, current_a: float) -> Item:
    return replace(
        Item.of(plug, "connector", name, circuit, current_a=current_a, rating_a=plug.current_a),
        smallest_mm2=plug.smallest_mm2,
        largest_mm2=plug.largest_mm2,
    )
