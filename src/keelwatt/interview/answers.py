"""What was answered, table by table, each value as it will stand in quotes in the file."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

Table = dict[str, str]

ASSUMED, OFFERED = "assumed", "offered"
"""A value nobody was asked for, and one that Enter took."""


class Marked(str):
    """A value of the file that nobody typed, and how it came there."""

    __slots__ = ("mark",)
    mark: str

    def __new__(cls, text: str, mark: str) -> "Marked":
        made = super().__new__(cls, text)
        made.mark = mark
        return made


@dataclass
class Answers:
    """``own``: ids of the catalog; ``to_add``: what is owned and not in it; ``us``: units."""

    title: str = ""
    currency: str = ""
    water: Table = field(default_factory=dict)
    craft: Table = field(default_factory=dict)
    compartments: list[Table] = field(default_factory=list)
    mounts: list[Table] = field(default_factory=list)
    aboard: list[Table] = field(default_factory=list)
    legs: list[Table] = field(default_factory=list)
    devices: list[Table] = field(default_factory=list)
    limits: Table = field(default_factory=dict)
    wish: Table = field(default_factory=dict)
    own: list[str] = field(default_factory=list)
    to_add: list[str] = field(default_factory=list)
    us: bool = False

    def tables(self) -> Mapping[str, Sequence[Table]]:
        """The tables of the file by their paths, those above the first header left out."""
        return {
            "water": [self.water],
            "craft": [self.craft],
            "craft.compartment": self.compartments,
            "craft.mount": self.mounts,
            "aboard": self.aboard,
            "leg": self.legs,
            "device": self.devices,
            "limits": [self.limits],
            "wish": [self.wish],
        }

    def assumed(self) -> list[str]:
        """What nobody was asked for, as in "me: y 0 m, z 35 cm"."""
        tables = [("craft", self.craft)]
        for each in (*self.compartments, *self.mounts, *self.aboard, *self.legs):
            tables.append((each["name"], each))
        told = (
            (name, ", ".join(f"{key} {v}" for key, v in table.items() if mark_of(v) == ASSUMED))
            for name, table in tables
        )
        return [f"{name}: {values}" for name, values in told if values]


def mark_of(value: str) -> str:
    return value.mark if isinstance(value, Marked) else ""
