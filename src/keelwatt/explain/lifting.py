"""What binds a chosen kit, and which limits shut every kit out."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from keelwatt.choose.bounds import floor, incumbent
from keelwatt.choose.space import NOTHING, Space
from keelwatt.choose.sums import Measure
from keelwatt.facts import Facts
from keelwatt.prove import WISHES
from keelwatt.units import to_si

LOOSEST = {
    "trim": {"max_trim_rad": to_si(3.0, "deg", "angle")},
    "heel": {"max_heel_rad": to_si(5.0, "deg", "angle")},
}
"""How far trim and heel may be loosened; they are never given up altogether."""


@dataclass(frozen=True)
class Shut:
    """A limit that no kit meets, or whose lifting alone lets a kit in.

    ``alone``: no kit meets this limit even with every other wish and load limit lifted.
    ``opens``: lifting it alone lets a kit in; ``least`` is then that kit's measure.
    """

    name: str
    alone: bool
    opens: bool
    least: int | None

    @property
    def wish(self) -> bool:
        return self.name in WISHES


def limit_names(space: Space) -> tuple[str, ...]:
    """Every limit the tables can be asked about one at a time."""
    return tuple(dict.fromkeys([*(limit.name for limit in space.sums), *space.w_max_g]))


def without(space: Space, name: str) -> Space:
    """All kits with one more limit lifted; trim and heel only as far as they may be loosened."""
    if name not in LOOSEST:
        return space.lifting(name)
    table = space.table
    outing = table.facts.outing
    limits = outing.limits.model_copy(update=LOOSEST[name])
    facts = Facts(outing.model_copy(update={"limits": limits}))
    return Space(replace(table, facts=facts), space.lifted)


def least(space: Space, by: Measure) -> int:
    """The measure of the best kit of a space, NOTHING where there is none.

    The search behind the incumbent ends only when every couple left is bounded above its find, so
    what it returns is exact.
    """
    return incumbent(space, by, floor(space, by))


def binding(space: Space, by: Measure, value: int) -> frozenset[str]:
    """Limits whose lifting alone gives a better kit than one of this value."""
    return frozenset(name for name in limit_names(space) if least(without(space, name), by) < value)


def shut_out(space: Space, by: Measure) -> Iterator[Shut]:
    """The limits to name when nothing fits."""
    names = limit_names(space)
    for name in names:
        alone = least(space.lifting(*(other for other in names if other != name)), by) >= NOTHING
        found = least(without(space, name), by)
        if alone or found < NOTHING:
            yield Shut(name, alone, found < NOTHING, found if found < NOTHING else None)
