"""Blocks, hatches and moments: properties against plain enumeration."""

from itertools import permutations, product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from keelwatt.physics.stowage import (
    Block,
    Triple,
    block,
    block_or_row,
    passes_hatch,
    stiffness_kg_m,
)

SIDES_M = st.integers(5, 50).map(lambda cm: cm / 100)
UNITS_M = st.tuples(SIDES_M, SIDES_M, SIDES_M)
ROOMS_M = st.tuples(*[st.integers(10, 150).map(lambda cm: cm / 100)] * 3)
GAP_M = 0.01


def heights_that_fit(units: int, unit_m: Triple, upright_only: bool, room_m: Triple) -> set[float]:
    """Heights of every block that fits, by trying them all."""
    found = set()
    for (a, b, c), rows, columns in product(
        set(permutations(unit_m)), range(1, units + 1), range(1, units + 1)
    ):
        if rows * columns < units or (upright_only and c != unit_m[2]):
            continue
        size = (rows * a, columns * b, c)
        if all(s + 2 * GAP_M <= r + 1e-9 for s, r in zip(size, room_m, strict=True)):
            found.add(c)
    return found


@given(st.integers(1, 6), UNITS_M, st.booleans(), ROOMS_M)
def test_block_is_the_lowest_of_all(
    units: int, unit_m: Triple, upright_only: bool, room_m: Triple
) -> None:
    found = block(
        units=units, unit_m=unit_m, upright_only=upright_only, room_m=room_m, clearance_m=GAP_M
    )
    heights = heights_that_fit(units, unit_m, upright_only, room_m)
    assert (found is None) == (not heights)
    if found is None:
        return
    assert found.unit[2] == min(heights)
    assert sorted(found.unit) == sorted(unit_m)
    assert not upright_only or found.unit[2] == unit_m[2]
    assert found.rows * found.columns >= units > (found.rows - 1) * found.columns
    assert found.size == (
        found.rows * found.unit[0],
        found.columns * found.unit[1],
        found.unit[2],
    )


def test_what_must_stand_upright_is_not_tipped_to_fit() -> None:
    """0.4 m high under 0.3 m: on its side it fits, upright it does not."""

    def shown(*, upright_only: bool) -> Block:
        unit_m, room_m = (0.2, 0.2, 0.4), (0.6, 0.45, 0.3)
        return block_or_row(
            units=1, unit_m=unit_m, upright_only=upright_only, room_m=room_m, clearance_m=GAP_M
        )

    assert shown(upright_only=True).unit == (0.2, 0.2, 0.4)
    assert shown(upright_only=False).unit[2] == 0.2


UNIT_M = (0.33, 0.17, 0.22)


@pytest.mark.parametrize(
    ("units", "upright_only", "room_m", "expected"),
    [
        (1, True, (0.35, 0.19, 0.24), Block(1, 1, UNIT_M, UNIT_M)),
        (1, True, (0.19, 0.35, 0.24), Block(1, 1, (0.17, 0.33, 0.22), (0.17, 0.33, 0.22))),
        (1, True, (0.35, 0.19, 0.23), None),
        (1, True, (0.349, 0.19, 0.24), None),
        (1, False, (0.35, 0.24, 0.19), Block(1, 1, (0.33, 0.22, 0.17), (0.33, 0.22, 0.17))),
        (4, True, (0.68, 0.36, 0.24), Block(2, 2, UNIT_M, (0.66, 0.34, 0.22))),
        (3, True, (0.68, 0.36, 0.24), Block(2, 2, UNIT_M, (0.66, 0.34, 0.22))),
        (3, True, (1.02, 0.19, 0.24), Block(3, 1, UNIT_M, (0.99, 0.17, 0.22))),
        (5, True, (0.68, 0.36, 0.24), None),
    ],
)
def test_known_blocks(
    units: int, upright_only: bool, room_m: Triple, expected: Block | None
) -> None:
    found = block(
        units=units, unit_m=UNIT_M, upright_only=upright_only, room_m=room_m, clearance_m=GAP_M
    )
    if expected is None or found is None:
        assert found is expected
        return
    assert (found.rows, found.columns, found.unit) == (
        expected.rows,
        expected.columns,
        expected.unit,
    )
    assert found.size == pytest.approx(expected.size)


def test_of_equals_the_first_stands() -> None:
    room = (1.0, 1.0, 0.5)
    found = block(units=2, unit_m=UNIT_M, upright_only=True, room_m=room, clearance_m=0.0)
    assert found == Block(1, 2, UNIT_M, (0.33, 0.34, 0.22))


def test_no_units_make_no_block() -> None:
    with pytest.raises(ValueError, match="at least one unit"):
        block(units=0, unit_m=UNIT_M, upright_only=True, room_m=(1, 1, 1), clearance_m=0.0)


@given(UNITS_M, st.tuples(SIDES_M, SIDES_M))
def test_hatch_by_trying_every_face(unit_m: Triple, opening_m: tuple[float, float]) -> None:
    some_face = any(
        a <= opening_m[0] + 1e-9 and b <= opening_m[1] + 1e-9 for a, b, _ in permutations(unit_m)
    )
    assert passes_hatch(unit_m=unit_m, opening_m=opening_m) == some_face


@pytest.mark.parametrize(
    ("opening_m", "passes"),
    [((0.17, 0.22), True), ((0.22, 0.17), True), ((0.16, 0.5), False), ((0.21, 0.21), False)],
)
def test_known_hatches(opening_m: tuple[float, float], passes: bool) -> None:
    assert passes_hatch(unit_m=UNIT_M, opening_m=opening_m) == passes


def test_top_heavy_craft_has_no_stiffness() -> None:
    at = {"density_kg_m3": 1000.0, "waterplane_m4": 0.02, "rising_moment_kg_m": 25.0}
    assert stiffness_kg_m(**at) < 0
