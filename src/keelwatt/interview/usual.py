"""What is offered for each kind of craft: everyday sizes, invented or from memory."""

from collections.abc import Mapping
from dataclasses import dataclass

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
    room: Offered
    speed: str
    distance: str


USUAL: Mapping[str, Usual] = {
    "slender": Usual(
        words="long and narrow",
        length="5 m",
        beam="60 cm",
        hull_mass="26 kg",
        hull_height="14 cm",
        plate="190 kg",
        seat="22 cm",
        floor="14 cm",
        battery="14 cm",
        clamp="30 cm",
        room=("45 cm", "32 cm", "26 cm"),
        speed="5 km/h",
        distance="6 km",
    ),
    "canoe": Usual(
        words="open, pointed at both ends",
        length="4.6 m",
        beam="80 cm",
        hull_mass="30 kg",
        hull_height="18 cm",
        plate="230 kg",
        seat="35 cm",
        floor="20 cm",
        battery="15 cm",
        clamp="40 cm",
        room=("45 cm", "35 cm", "30 cm"),
        speed="4.5 km/h",
        distance="6 km",
    ),
    "sit-on-top": Usual(
        words="closed deck with wells",
        length="4 m",
        beam="74 cm",
        hull_mass="31 kg",
        hull_height="15 cm",
        plate="170 kg",
        seat="36 cm",
        floor="25 cm",
        battery="22 cm",
        clamp="35 cm",
        room=("52 cm", "42 cm", "30 cm"),
        speed="4.5 km/h",
        distance="5 km",
    ),
    "flat-bottomed": Usual(
        words="dinghy, punt, pram",
        length="3.1 m",
        beam="1.3 m",
        hull_mass="52 kg",
        hull_height="22 cm",
        plate="290 kg",
        seat="55 cm",
        floor="25 cm",
        battery="20 cm",
        clamp="40 cm",
        room=("45 cm", "60 cm", "28 cm"),
        speed="3.5 km/h",
        distance="4 km",
    ),
}
"""By shape. Invented, or from memory."""

SPOTS: Mapping[str, float] = {
    "bow": 0.30,
    "fore": 0.15,
    "middle": 0.0,
    "aft": -0.15,
    "stern": -0.30,
}
"""How far forward of midship a word means, as a share of the waterline's length (from memory)."""

SITTING_KG = 30.0
"""From here on somebody who sits, rather than something lying on the floor (from memory)."""

LOADS: tuple[Offered, ...] = (("me", "80 kg", "middle"), ("gear", "15 kg", "fore"))
ANOTHER_LOAD = ("-", "10 kg", "middle")

COMPARTMENTS: tuple[tuple[str, str], ...] = (("behind the seat", "aft"),)
ANOTHER_COMPARTMENT = ("-", "middle")

LEGS: tuple[tuple[str, str], ...] = (("out", "2 m/s"), ("home", "0 m/s"))
ANOTHER_LEG = ("-", "0 m/s")

DEVICE = ("-", "5 W", "2 h")
