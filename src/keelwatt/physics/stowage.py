"""Where the kit goes: blocks of batteries, hatches, trim and heel, the builder's plate."""

from dataclasses import dataclass
from itertools import permutations

import numpy as np

from keelwatt.physics.real import Bools, Floats, Ints, Real

_TINY_M = 1e-9

Triple = tuple[float, float, float]


@dataclass(frozen=True)
class Block:
    """A bank as it stands: rows along the length, columns across, each unit (l, w, h) [m].
    ``size`` is the block itself, without the clearance round it.
    """

    rows: int
    columns: int
    unit: Triple
    size: Triple


def block_or_row(
    *, units: int, unit_m: Triple, upright_only: bool, room_m: Triple, clearance_m: float
) -> Block:
    """As :func:`block`, all across in one row as given where none fits.
    ``units``, ``upright_only`` and the sizes as :func:`block` takes them.
    Source: Common practice.

    >>> block_or_row(units=2, unit_m=(3.0, 0.2, 0.2), upright_only=True, room_m=(0.7, 0.3, 0.3),
    ...              clearance_m=0.01).size
    (3.0, 0.4, 0.2)
    """
    length, width, height = unit_m
    return block(
        units=units,
        unit_m=unit_m,
        upright_only=upright_only,
        room_m=room_m,
        clearance_m=clearance_m,
    ) or Block(1, units, unit_m, (length, units * width, height))


def block(
    *, units: int, unit_m: Triple, upright_only: bool, room_m: Triple, clearance_m: float
) -> Block | None:
    """The lowest block in which a number of equal boxes fits a room.
    One layer, axis-aligned, all units turned alike, a clearance on all six sides of the block.
    The last row may be short. Of equally low blocks the first found stands: the units as given
    before turned, fewest rows first.
    ``units``: int, at least 1. ``unit_m``: length, width, height of one box. ``upright_only``: True
    if the height must stay vertical. ``room_m``: length, width, height of the room.
    ValueError: if ``units`` is below 1.
    Source: Enumeration of every turn, each with the fewest rows the width allows.

    >>> block(units=2, unit_m=(0.3, 0.2, 0.25), upright_only=True, room_m=(0.7, 0.3, 0.3),
    ...       clearance_m=0.01)
    Block(rows=2, columns=1, unit=(0.3, 0.2, 0.25), size=(0.6, 0.2, 0.25))
    """
    if units < 1:
        raise ValueError(f"a block has at least one unit, not {units}")
    length, width, height = unit_m
    upright = [(length, width, height), (width, length, height)]
    tipped = [
        (length, height, width),
        (height, length, width),
        (width, height, length),
        (height, width, length),
    ]
    turns = upright if upright_only else upright + tipped
    long, wide, high = (side - 2 * clearance_m + _TINY_M for side in room_m)
    lowest: Block | None = None
    for unit in turns:
        if unit[2] > high or (lowest is not None and unit[2] >= lowest.size[2]):
            continue
        most_columns = int(wide // unit[1])
        if most_columns < 1:
            continue
        rows = -(-units // min(most_columns, units))
        if rows * unit[0] <= long:
            columns = -(-units // rows)
            size = (rows * unit[0], columns * unit[1], unit[2])
            lowest = Block(rows, columns, unit, size)
    return lowest


def fits(
    *, units: Ints, unit_m: Floats, upright_only: Bools, room_m: Triple, clearance_m: float
) -> Bools:
    """Whether :func:`block` finds one, for many at once.
    ``units``, ``upright_only``: (n,). ``unit_m``: (n, 3), length, width and height of each.
    ``room_m``: of the compartment. Returns (n,).
    Source: Geometry of axis-aligned blocks, as for :func:`block`.

    >>> unit_m, upright = np.array([[0.3, 0.2, 0.2]] * 2), np.array([True, True])
    >>> room_m = (0.5, 0.45, 0.3)
    >>> fits(units=np.array([2, 3]), unit_m=unit_m, upright_only=upright, room_m=room_m,
    ...      clearance_m=0.01).tolist()
    [True, False]
    """
    long, wide, high = (side - 2 * clearance_m + _TINY_M for side in room_m)
    found = np.zeros(units.shape, dtype=bool)
    for along, across, up in permutations(range(3)):
        length, width, height = unit_m[:, along], unit_m[:, across], unit_m[:, up]
        columns = np.minimum((wide // width).astype(np.int64), units)
        rows = -(-units // np.maximum(columns, 1))
        good = (height <= high) & (columns >= 1) & (rows * length <= long)
        found |= good if up == 2 else good & ~upright_only
    return found


def stands_in(*, unit_m: Triple | Floats, inner_m: Triple | Floats) -> Bools:
    """Whether a battery stands upright in a box, either way round.
    ``unit_m``: length, width, height of the battery. ``inner_m``: length, width, height of the
    box's inside. Either may be of several, (..., 3), which broadcast. Returns array of bool, (...).
    Source: Geometry; a fit without play counts.

    >>> bool(stands_in(unit_m=(0.17, 0.33, 0.22), inner_m=(0.34, 0.18, 0.22)))
    True
    """
    room, unit = np.asarray(inner_m), np.asarray(unit_m)
    across = np.sort(room[..., :2]) + _TINY_M >= np.sort(unit[..., :2])
    return np.asarray(across.all(axis=-1) & (room[..., 2] + _TINY_M >= unit[..., 2]))


def passes_hatch(*, unit_m: Triple | Floats, opening_m: tuple[float, float]) -> Bools:
    """Whether a box passes a rectangular opening, turned onto its best face.
    Sides parallel to the opening's; a slanting passage is not credited.
    ``unit_m``: length, width, height of the box, or of several, shape (..., 3). ``opening_m``:
    length, width of the opening. Returns array of bool, shape (...).
    Source: The two smallest sides of the box against the two of the opening.

    >>> bool(passes_hatch(unit_m=(0.33, 0.17, 0.22), opening_m=(0.25, 0.20)))
    True
    """
    smallest = np.sort(unit_m, axis=-1)[..., :2]
    return np.asarray((smallest <= np.sort(opening_m) + _TINY_M).all(axis=-1))


def stiffness_kg_m(*, density_kg_m3: Real, waterplane_m4: Real, rising_moment_kg_m: Real) -> Real:
    """Mass times metacentric height: positive where the craft floats upright.
    Small angles.
    ``waterplane_m4``: transverse second moment. ``rising_moment_kg_m``: sum of mass times height
    above the centre of buoyancy.
    Source: GM = KB + I / volume - KG (Barrass and Derrett, Ship Stability for Masters and Mates),
    times displacement.

    >>> stiffness_kg_m(density_kg_m3=1000.0, waterplane_m4=0.1, rising_moment_kg_m=40.0)
    60.0
    """
    return density_kg_m3 * waterplane_m4 - rising_moment_kg_m
