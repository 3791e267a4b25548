"""What is offered for each kind of craft: everyday sizes, invented or from memory."""

import csv
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from importlib.resources import files

Offered = tuple[str, str, str]


@dataclass(frozen=True)
class Usual:
    """A craft of one shape, in words a user could type.

    Heights are above the keel: of its own centre of mass, of somebody sitting, of gear on the
    floor, of the middle of a battery and of a motor's clamp.
    """

    words: str
    length: str
    beam: str
    hull_mass: str
    hull_height: str
    plate: str
    seat: str
    floor: str
    battery: str
    clamp: str
    speed: str
    distance: str
    room_length: str
    room_width: str
    room_height: str


def _read() -> Iterator[tuple[str, Usual]]:
    text = (files("keelwatt.interview") / "usual.csv").read_text(encoding="utf-8")
    for row in csv.DictReader(text.splitlines()):
        yield row.pop("shape"), Usual(**row)


USUAL: Mapping[str, Usual] = dict(_read())
"""By shape. Invented, or from memory."""

SPOTS: Mapping[str, float] = {
    "bow": 0.30,
    "fore": 0.15,
    "middle": 0.0,
    "aft": -0.15,
    "stern": -0.30,
}
"""How far forward of midship a word means, as a share of the waterline's length (from memory)."""

CALLED: Mapping[str, str] = {
    **dict.fromkeys(["open canoe", "canadian", "canadian canoe"], "canoe"),
    **dict.fromkeys(["sea kayak", "surfski", "rowing shell", "long kayak"], "slender"),
    **dict.fromkeys(["sit on top", "fishing kayak", "sit-on-top kayak"], "sit-on-top"),
    **dict.fromkeys(["dinghy", "punt", "pram", "jon boat", "skiff"], "flat-bottomed"),
    **dict.fromkeys(["rowing boat", "rowboat", "flat bottomed"], "flat-bottomed"),
}
"""What people call their boat -> its shape."""

KAYAK = (
    "A kayak: sit-on-top (you sit on a closed deck), canoe (broad, you sit inside), or slender "
    "(a long sea kayak)?"
)

ADRIFT = frozenset({"off", "drift", "drifting", "paddle", "paddling", "paddled", "row", "rowing"})

SITTING_KG = 30.0
"""From here on somebody who sits, rather than something lying on the floor (from memory)."""

LOADS: tuple[Offered, ...] = (("me", "80 kg", "middle"), ("gear", "15 kg", "fore"))
ANOTHER_LOAD = ("-", "10 kg", "middle")

COMPARTMENTS: tuple[tuple[str, str], ...] = (("behind the seat", "aft"),)
ANOTHER_COMPARTMENT = ("-", "middle")

LEGS: tuple[tuple[str, str], ...] = (("out", "2 m/s"), ("home", "0 m/s"))
ANOTHER_LEG = ("-", "0 m/s")

DEVICE = ("-", "5 W", "2 h")
