"""What was answered, table by table, each value as it will stand in quotes in the file."""

from dataclasses import dataclass, field

Table = dict[str, str]


@dataclass
class Answers:
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
