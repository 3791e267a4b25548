"""What is measured is worth measuring: valid, varied, and the same for the same seed."""

from pathlib import Path

import pytest

from benchmarks.catalogs import write_catalog
from benchmarks.outings import write_outings
from keelwatt.files.catalog.reader import Catalog, read_catalog
from keelwatt.files.catalog.shipped import shipped_catalog
from keelwatt.files.outing import read_outing
from keelwatt.physics.propeller import momentum_thrust_n


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Catalog:
    return read_catalog(write_catalog(tmp_path_factory.mktemp("catalog"), 4, 7))


def test_there_is_nothing_to_object_to(made: Catalog) -> None:
    assert made.warnings == ()


def test_it_has_so_many_times_the_shipped_rows(made: Catalog) -> None:
    shipped = read_catalog(shipped_catalog()).kinds()
    for kind, parts in made.kinds().items():
        assert len(parts) == 4 * len(shipped[kind])


def test_motors_stay_well_below_what_physics_allows(made: Catalog) -> None:
    for motor in made.motors:
        power_w = motor.system_v * motor.current_a
        most_n = momentum_thrust_n(power_w=power_w, diameter_m=motor.propeller_m)
        assert 0.55 * most_n < motor.thrust_n < 0.85 * most_n


def test_hardly_any_two_parts_have_one_price(made: Catalog) -> None:
    for parts in (made.batteries, made.motors, made.controllers):
        prices = [part.price_cents for part in parts]
        assert len(set(prices)) >= 0.98 * len(prices)


def test_a_seed_makes_one_catalog_and_more_rows_come_after_fewer(tmp_path: Path) -> None:
    folders = {
        name: write_catalog(tmp_path / name, times, seed)
        for name, times, seed in (("a", 2, 1), ("b", 2, 1), ("c", 2, 2), ("d", 3, 1))
    }
    for stem in ("batteries", "cables", "fuses"):
        a, b, c, d = (
            (folders[name] / f"{stem}.csv").read_text(encoding="utf-8").splitlines()
            for name in "abcd"
        )
        assert a == b
        assert a != c
        assert d[: len(a) - 1] == a[:-1]


def test_every_kind_of_part_has_its_variety(made: Catalog) -> None:
    assert {b.chemistry for b in made.batteries} == {"flooded", "agm", "gel", "lfp", "nmc"}
    assert {m.system_v for m in made.motors} == {12, 24, 36, 48}
    assert {m.control for m in made.motors} == {"stepped", "chopper"}
    assert {cable.size.split()[-1] for cable in made.cables} == {"AWG", "mm2"}


def test_varied_outings_are_valid_and_all_different(tmp_path: Path) -> None:
    outings = [read_outing(path) for path in write_outings(tmp_path, 10, 3)]
    assert len({outing.craft.waterline_length_m for outing in outings}) == 10
