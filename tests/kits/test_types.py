"""Types of bank and drive, what the rules allow of them, and wiring, by hand."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from keelwatt.boat.load_case import LoadCase
from keelwatt.choose.question import Question
from keelwatt.choose.search import Search
from keelwatt.files.catalog.reader import Catalog
from keelwatt.files.outing import Outing, Parts
from keelwatt.kits import Ground, Table, Types
from keelwatt.kits.holding import STRAP
from keelwatt.physics import stowage
from oracle.ledger import whole_table
from oracle.one_of_each import (
    BATTERY,
    CABLE,
    CATALOG,
    CHARGER,
    CONNECTOR,
    CONTROLLER,
    FUSE,
    MOTOR,
    OUTING,
    with_craft,
    with_limits,
)


def types(outing: Outing = OUTING, catalog: Catalog = CATALOG) -> Types:
    return Types(LoadCase(outing), catalog)


def table(outing: Outing = OUTING, catalog: Catalog = CATALOG) -> Table:
    return whole_table(Search(LoadCase(outing), catalog))


def test_nothing_that_fits_leaves_no_bank_and_no_kit() -> None:
    box = OUTING.craft.compartments[0].model_copy(update={"length_m": 0.05})
    tight = with_craft(compartments=(box,))
    assert len(types(tight).bank_types) == 0
    assert len(types(tight).drive_types) == 2
    assert len(table(tight).run) == 0


def test_a_bank_by_hand() -> None:
    """Usable: 100 Ah * 0.5 (kind use of lead) * (1 - 0.2); a season: 200.00 over five."""
    bank = {name: column.tolist() for name, column in types().bank.items()}
    assert types().bank_types.tolist() == [[0, 1, 1, STRAP]]
    assert types().fits.tolist() == [[True]]
    assert (bank["mass_g"], bank["piece_g"]) == ([20000], [20000])
    assert (bank["price_cents"], bank["season_units"]) == ([20000], [400000])
    assert bank["usable_ah"] == [pytest.approx(40.0)]
    assert (bank["system_v"], bank["voltage_v"], bank["continuous_a"]) == ([12], [12.0], [60.0])
    assert types().over_load_g.tolist() == [[-1]]
    assert not types().loads_matter


def test_the_charger_that_refills_a_bank_in_time() -> None:
    """Lead keeps 0.9 and ends with 6 h: 40 Ah in 11 h take 40 / (0.9 * 5) = 8.889 A.

    Its inlet takes a metre each of red and black; fuse and inlet have no price here.
    """
    assert types().bank["charge_ah"].tolist() == [pytest.approx(40 / 0.9)]
    assert types().bank["slow_end_h"].tolist() == [6.0]
    for current_a, enough in ((8.89, True), (8.88, False)):
        charger = CHARGER.model_copy(update={"current_a": current_a})
        outing, catalog = with_limits(recharge_within_h=11.0), replace(CATALOG, chargers=(charger,))
        cents = Ground(types(outing, catalog)).charger_cents(11.0)
        assert bool(cents[0] == charger.price_cents + 2 * 250) is enough


def test_without_a_charger_no_time_refills_a_bank() -> None:
    search = Search(LoadCase(with_limits(recharge_within_h=1e5)), CATALOG)
    pick = search.best(Question("cost"))
    assert pick is not None
    assert pick.block.kit(pick.row).charger == CHARGER.id


def test_a_compartment_load_in_whole_grams() -> None:
    """19.9996 kg allow no bank of 20.000 kg, however the limit rounds."""
    box = OUTING.craft.compartments[0].model_copy(update={"max_load_kg": 19.9996})
    loaded = types(with_craft(compartments=(box,)))
    assert loaded.over_load_g.tolist() == [[1]]
    assert loaded.loads_matter
    borne = types(with_craft(compartments=(box.model_copy(update={"max_load_kg": 20.0}),)))
    assert not borne.loads_matter


def test_drives_by_hand() -> None:
    """On the 11.4 V that are left a step of r takes 1 + 20 r^2 A; its resistance has the rest."""
    step_ohm = [(11.4 - 12 * r) / (1 + 20 * r**2) for r in (0.2, 0.4, 0.6, 0.8, 0.95)]
    drive = {name: column.tolist() for name, column in types().drive.items()}
    assert types().drive_types.tolist() == [[0, -1], [0, 1]]
    assert (drive["mass_g"], drive["price_cents"]) == ([5000, 5500], [10000, 15000])
    assert drive["chopper"] == [False, True]
    assert [row[0] for row in drive["step_ohm"]] == pytest.approx(step_ohm)
    assert drive["efficiency"] == [1.0, 0.9]
    assert (drive["motor_g"], drive["controller_g"]) == ([5000, 5000], [0, 500])
    assert drive["piece_g"] == [5000, 5000]
    assert drive["season_units"] == [10000 * 100 // 10, 15000 * 100 // 10]


def test_no_controller_drives_a_motor_with_its_own_electronics() -> None:
    motor = MOTOR.model_copy(update={"control": "chopper", "steps": 0, "efficiency": 0.95})
    drive = types(catalog=replace(CATALOG, motors=(motor,))).drive
    assert (drive["chopper"].tolist(), drive["efficiency"].tolist()) == ([True], [0.95])


def test_a_required_controller_leaves_no_motor_to_its_own_switch() -> None:
    outing = OUTING.model_copy(update={"parts": Parts(require=("controller",))})
    assert types(outing).drive["chopper"].tolist() == [True]


def test_a_controller_beaten_by_another_is_listed_only_where_all_are() -> None:
    dearer = CONTROLLER.model_copy(update={"id": "dearer", "price_cents": 9000})
    catalog = replace(CATALOG, controllers=(CONTROLLER, dearer))
    assert len(types(catalog=catalog).drive_types) == 2
    assert len(Types(LoadCase(OUTING), catalog, every_control=True).drive_types) == 3


def test_owned_parts_cost_nothing_more() -> None:
    ids = ("battery", "motor", "controller", "cable", "fuse", "connector", "charger")
    owned = OUTING.model_copy(update={"parts": Parts(own=ids)})
    for columns in (types(owned).bank, types(owned).drive, types(owned).charger):
        assert not columns["price_cents"].any()
        assert not columns["season_units"].any()
    assert not table(owned).wiring["price_cents"].any()


def test_one_owned_battery_of_two_is_paid_for_once() -> None:
    catalog = replace(CATALOG, batteries=(BATTERY.model_copy(update={"max_parallel": 2}),))
    parts = Parts(own=("battery",), own_pieces={"battery": 1})
    bank = types(OUTING.model_copy(update={"parts": parts}), catalog).bank
    assert bank["price_cents"].tolist() == [0, 20000]


def test_wiring_by_hand() -> None:
    """Two conductors of 2 m at 0.1 kg/m and 2.50 a metre, a fuse, a connector."""
    wiring = {name: column.tolist() for name, column in table().wiring.items()}
    assert (wiring["mass_g"], wiring["price_cents"]) == ([400 + 100 + 100], [1000 + 1000 + 1500])


def test_wiring_beaten_on_price_and_mass_is_dropped_and_equals_keep_the_first() -> None:
    dearer = FUSE.model_copy(update={"id": "dearer", "price_cents": 1100})
    lighter = FUSE.model_copy(update={"id": "lighter", "price_cents": 1200, "mass_kg": 0.05})
    twin = CONNECTOR.model_copy(update={"id": "twin"})
    catalog = replace(CATALOG, fuses=(dearer, FUSE, lighter), connectors=(CONNECTOR, twin))
    wiring = table(catalog=catalog).wiring
    assert wiring["fuse_row"].tolist() == [1, 2]
    assert wiring["connector_row"].tolist() == [0, 0]


def test_a_connector_takes_cables_of_its_sizes_only() -> None:
    thick = CABLE.model_copy(update={"id": "thick", "size": "21 mm2"})
    thin = CABLE.model_copy(update={"id": "thin", "size": "4 mm2"})
    catalog = replace(CATALOG, cables=(thick, thin, CABLE))
    assert set(table(catalog=catalog).wiring["cable_row"].tolist()) == {2}


SIDE = st.floats(0.05, 0.6)


@given(
    st.lists(st.tuples(st.integers(1, 16), SIDE, SIDE, SIDE, st.booleans()), min_size=1),
    st.tuples(SIDE, SIDE, SIDE),
    st.sampled_from([0.0, 0.01]),
)
def test_many_at_once_fit_where_one_has_a_block(
    boxes: list[tuple[int, float, float, float, bool]],
    room: tuple[float, float, float],
    clearance_m: float,
) -> None:
    found = stowage.fits(
        units=np.array([box[0] for box in boxes]),
        unit_m=np.array([box[1:4] for box in boxes]),
        upright_only=np.array([box[4] for box in boxes]),
        room_m=room,
        clearance_m=clearance_m,
    )
    for (units, length, width, height, upright), fits in zip(boxes, found, strict=True):
        block = stowage.block(
            units=units,
            unit_m=(length, width, height),
            upright_only=upright,
            room_m=room,
            clearance_m=clearance_m,
        )
        assert fits == (block is not None)
