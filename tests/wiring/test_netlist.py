"""The wiring of random kits and of one kit of each kind, against the proof and the rules."""

from dataclasses import replace
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from keelwatt.files.catalog.beside import Beside
from keelwatt.files.catalog.got import Strand
from keelwatt.files.kit import Kit
from keelwatt.files.outing import Device
from keelwatt.physics.joining import (
    BRANCH_DROP,
    BRANCH_LUGS,
    BRANCH_MARGIN,
    DEVICE_RUN_M,
    FUSE_LEAD_M,
    INLET_LEAD_M,
    MAIN_LUGS,
    MOST_TIMES_ASKED,
    branch_fuse_a,
    joining_lugs,
)
from keelwatt.physics.protection import FUSE_WITHIN_M, SMALLEST_CONDUCTOR_MM2
from keelwatt.wiring import Netlist, faults, netlist
from keelwatt.wiring.build import sections
from keelwatt.wiring.model import BANK, CHARGING, MOTOR, MOTOR_PLUG
from oracle.random_cases import Case, random_case
from wiring.kits import KITS, net_of, outing_of, shipped, wired

MEANS = {
    "bank_current": "rating",
    "voltage_drop": "drop",
    "ampacity": "ampacity",
    "conductor": "conductor",
    "protection": "rating",
    "fuse_voltage": "fuse voltage",
    "interrupting": "interrupting",
    "controller_rating": "rating",
    "connector_rating": "rating",
    "connector_size": "connector size",
}
"""The rule of a wiring that says what a limit of the proof says."""


def any_kit(r: Random, case: Case) -> Kit:
    """Parts at random, suiting one another or not; a charger more often than a wish asks."""
    catalog, outing = case.catalog, case.outing
    battery, motor = r.choice(catalog.batteries), r.choice(catalog.motors)
    box, mount = r.choice(outing.craft.compartments), r.choice(outing.craft.mounts)
    controllers = catalog.controllers if motor.control == "stepped" else ()
    controller = r.choice((None, *controllers))
    charger = r.choice((None, *catalog.chargers))
    return Kit(
        battery=battery.id,
        series=r.choice([1, 1, 2, 3]),
        parallel=r.choice([1, 1, 2, 3]),
        compartment=box.name,
        motor=motor.id,
        mount=mount.name,
        controller=controller.id if controller else None,
        cable=r.choice(catalog.cables).id,
        run_m=r.choice([0.05, 0.5, case.load_case.run_m(box, mount, controlled=bool(controller))]),
        fuse=r.choice(catalog.fuses).id,
        connector=r.choice(catalog.connectors).id,
        charger=charger.id if charger else None,
        box=r.choice((None, *(box.id for box in catalog.boxes if box.holds == "battery"))),
    )


@settings(max_examples=250, deadline=None)
@given(seed=st.integers(0, 40), draw=st.integers(0, 10**6))
def test_faults_are_what_the_proof_finds_broken(seed: int, draw: int) -> None:
    case = random_case(seed)
    kit = any_kit(Random(draw), case)
    assessment = case.assessor.assess(kit)
    net = netlist(kit, case.assessor.chosen(kit), case.load_case, case.catalog)
    broken = {MEANS[limit.name] for limit in assessment.broken if limit.name in MEANS}
    has = {limit.name: limit.has for limit in assessment.limits}
    assert {fault.rule for fault in faults(net)} == broken
    assert net.drop_v("motor") == pytest.approx(has["voltage_drop"], rel=1e-12)


@settings(max_examples=100, deadline=None)
@given(seed=st.integers(0, 40), draw=st.integers(0, 10**6))
def test_every_kit_is_wired_whole(seed: int, draw: int) -> None:
    case = random_case(seed)
    kit = any_kit(Random(draw), case)
    net = netlist(kit, case.assessor.chosen(kit), case.load_case, case.catalog)
    assert [c.number for c in net.conductors] == list(range(1, len(net.conductors) + 1))
    assert len({item.name for item in net.items}) == len(net.items)
    for polarity in ("positive", "negative"):
        run_m = sum(c.length_m for c in net.main if c.polarity == polarity)
        assert run_m == pytest.approx(kit.run_m, abs=1e-9)
    assert sum(len(string) for string in net.strings) == kit.units
    links = [c for c in net.conductors if c.polarity == "link"]
    assert len(links) == kit.parallel * (kit.series - 1)
    string_fuses = [i for i in net.items if i.kind == "fuse" and i.circuit == BANK]
    assert len(string_fuses) == (kit.parallel if kit.parallel > 1 else 0)
    assert any(c.name == CHARGING for c in net.circuits) == (kit.charger is not None)
    assert sum(item.kind == "device" for item in net.items) == len(case.outing.devices)
    for conductor in net.conductors:
        assert conductor.wire.area_mm2 >= SMALLEST_CONDUCTOR_MM2 * (1 - 1e-9)
        assert conductor.length_m > 0.0


@pytest.mark.parametrize("name", KITS)
def test_kits_of_each_kind_may_be_built(name: str) -> None:
    assert faults(net_of(name)) == ()


@pytest.mark.parametrize("name", KITS)
def test_branches_use_what_suits_or_say_what_to_ask_for(name: str) -> None:
    net = net_of(name)
    ids = {part.id for parts in shipped().shelves().values() for part in parts}
    for item in net.items:
        assert item.part is None or item.part in ids
        if item.kind == "fuse" and item.circuit not in {MOTOR, BANK}:
            assert item.rating_a is not None
            least = BRANCH_MARGIN * item.current_a
            assert (
                least <= item.rating_a <= MOST_TIMES_ASKED * branch_fuse_a(current_a=item.current_a)
            )
            if item.part is None:
                assert f"{item.rating_a:g} A" in item.told
                assert f"{net.short_circuit_a:.0f} A" in item.told


@pytest.mark.parametrize("name", KITS)
def test_joints_carry_what_the_fuses_of_the_strings_let_through(name: str) -> None:
    net = net_of(name)
    joints = [item for item in net.items if item.kind == "joint"]
    assert len(joints) == (2 if net.joined else 0)
    fuses = [i for i in net.items if i.kind == "fuse" and i.circuit == BANK]
    for joint in joints:
        assert joint.rating_a is not None
        assert joint.rating_a >= sum(fuse.rating_a or 0.0 for fuse in fuses)
        assert joint.part or f"at least {joint.rating_a:g} A" in joint.told


def test_the_current_goes_by_fuse_connector_and_control() -> None:
    def way(net: Netlist) -> list[str]:
        return [c.end.item for c in net.main if c.polarity == "positive"]

    assert way(net_of("one battery")) == ["main fuse", "connector", "speed control", "motor"]
    assert way(net_of("stepped without a control")) == ["main fuse", "connector", "motor"]
    assert net_of("parallel").main[0].start.item == "plus joint"
    assert net_of("series").main[0].start.item == "battery 1"
    assert net_of("series").main[2].start.item == "battery 2"


def test_a_second_disconnect_lets_the_motor_off() -> None:
    for name, last in (
        ("one battery", "speed control"),
        ("stepped without a control", "connector"),
    ):
        outing, kit = outing_of(name), KITS[name][1]
        changed = outing.policy.model_copy(update={"disconnects": 2})
        one, two = (
            net_of(name),
            wired(kit, outing.model_copy(update={"policy": changed}), shipped()),
        )
        ends = [c for c in two.main if c.polarity == "positive"][-2:]
        assert [c.start.item for c in ends] == [last, MOTOR_PLUG]
        assert ends[-1].end.item == "motor"
        assert {fault.rule for fault in faults(two)} <= {"drop"}
        more_v = two.drop_v(MOTOR) - one.drop_v(MOTOR)
        assert more_v == pytest.approx(0.001 * two.item("motor").current_a)
        assert sum(item.kind == "connector" for item in two.items) == 2


def test_a_catalog_with_small_fuses_serves_the_branches() -> None:
    name = "one battery"
    catalog, kit = shipped(), KITS[name][1]
    big = catalog.fuses[0]
    update = {"id": "fuse-small", "rating_a": 2.0, "interrupts_a": 10000.0, "price_cents": 150}
    cheaper = update | {"id": "fuse-cheap", "price_cents": 120}
    weak = update | {"id": "fuse-weak", "interrupts_a": 500.0, "price_cents": 1}
    small = tuple(big.model_copy(update=change) for change in (update, cheaper, weak))
    net = wired(kit, outing_of(name), replace(catalog, fuses=(*catalog.fuses, *small)))
    assert net.item("device 1 fuse").part == "fuse-cheap"
    refused = outing_of(name).parts.model_copy(update={"refuse": ("fuse-cheap",)})
    outing = outing_of(name).model_copy(update={"parts": refused})
    net = wired(kit, outing, replace(catalog, fuses=(*catalog.fuses, *small)))
    assert net.item("device 1 fuse").part == "fuse-small"


def test_a_hungry_device_gets_thicker_cable_for_its_drop() -> None:
    name = "one battery"
    hungry = Device(name="pump", power_w=225.0, duration_h=0.1)
    outing = outing_of(name).model_copy(update={"devices": (hungry,)})
    net = wired(KITS[name][1], outing, shipped())
    assert not [fault for fault in faults(net) if fault.at == "pump"]
    assert net.drop_v("device 1") <= 0.03 * 12
    thin = net.of(CHARGING)[0].wire.area_mm2
    assert net.of("device 1")[0].wire.area_mm2 > thin
    assert sum(c.length_m for c in net.of("device 1")) == pytest.approx(2 * DEVICE_RUN_M)


def test_a_branch_sized_for_one_way_alone_loses_too_much(monkeypatch: pytest.MonkeyPatch) -> None:
    right = Beside.strand

    def one_way(self: Beside, *, length_m: float, **asked: float) -> Strand:
        return right(self, length_m=length_m / 2, **asked)

    name = "one battery"
    hungry = Device(name="pump", power_w=400.0, duration_h=0.1)
    outing = outing_of(name).model_copy(update={"devices": (hungry,)})
    rightly = faults(wired(KITS[name][1], outing, shipped()))
    monkeypatch.setattr(Beside, "strand", one_way)
    found = faults(wired(KITS[name][1], outing, shipped()))
    assert {(fault.rule, fault.at) for fault in {*found} - {*rightly}} == {("drop", "pump")}


@given(run_m=st.floats(0.01, 12.0), beyond=st.floats(0.0, 1.0))
def test_sections_make_up_the_run(run_m: float, beyond: float) -> None:
    parts = sections(run_m, beyond)
    assert sum(parts) == pytest.approx(run_m, abs=1e-12)
    assert 0.0 < parts[0] <= FUSE_WITHIN_M
    assert parts[1] > 0.0
    assert parts[2] > 0.0
    assert (parts[3] > 0.0) == (beyond > 0.0)


def test_fuse_ratings_on_sale() -> None:
    assert [branch_fuse_a(current_a=a) for a in (0.1, 0.8, 0.81, 5.0, 8.0, 80.0, 81.0)] == [
        1,
        1,
        2,
        7.5,
        10,
        100,
        110,
    ]


def test_leads_have_the_lengths_that_are_counted() -> None:
    """By the constants' own sources: 7 in to a fuse, 25 cm on to the plug, common practice."""
    net = net_of("stepped without a control")
    fuse, plug, minus = net.main[:3]
    assert (fuse.end.item, fuse.length_m) == ("main fuse", 0.15)
    assert (plug.end.item, plug.length_m) == ("connector", 0.25)
    assert minus.end.item == "connector"
    assert minus.length_m == pytest.approx(0.40)
    assert sections(2.0, 1e-6)[3] == 0.20
    assert sections(2.0, 1.0)[2] == pytest.approx(0.20 - 2 * 0.05)
    strings = [c for c in net_of("parallel").of(BANK) if c.end.item.startswith("string")]
    assert [c.length_m for c in strings] == [FUSE_LEAD_M] * 2


def test_the_tail_lies_beyond_the_control() -> None:
    name = "one battery"
    outing, kit = outing_of(name), KITS[name][1]
    box, mount = kit.compartment, kit.mount
    runs = {(box, "control"): 0.6, ("control", mount): 1.8}
    craft = outing.craft.model_copy(update={"cable_run_m": runs})
    net = wired(replace(kit, run_m=2.4), outing.model_copy(update={"craft": craft}), shipped())
    tails = [c.length_m for c in net.main if c.end.item == "motor"]
    assert tails == [pytest.approx(1.8)] * 2


@pytest.mark.parametrize("name", ["parallel", "four strings of four"])
def test_a_string_carries_its_share_and_the_joints_all_of_it(name: str) -> None:
    net, kit = net_of(name), KITS[name][1]
    fuses = [i for i in net.items if i.kind == "fuse" and i.circuit == BANK]
    devices = sum(i.current_a for i in net.items if i.kind == "device")
    whole_a = net.item("main fuse").current_a + devices
    assert [fuse.current_a for fuse in fuses] == [pytest.approx(whole_a / kit.parallel)] * len(
        fuses
    )
    assert net.item("plus joint").current_a == pytest.approx(whole_a)
    for c in net.of(BANK):
        assert c.current_a == pytest.approx(whole_a / kit.parallel)


@pytest.mark.parametrize("name", ["one battery", "parallel", "series"])
def test_an_inlet_carries_its_charger_over_all_of_its_run(name: str) -> None:
    catalog, net = shipped(), net_of(name)
    (charger,) = (each for each in catalog.chargers if each.id == KITS[name][1].charger)
    inlet, fuse = net.item("charging inlet"), net.item(f"{CHARGING} fuse")
    assert inlet.current_a == fuse.current_a == charger.current_a
    assert inlet.rating_a is not None
    assert inlet.rating_a >= charger.current_a
    run_m = FUSE_LEAD_M + INLET_LEAD_M
    lengths = {c.end.pole: 0.0 for c in net.of(CHARGING)}
    for c in net.of(CHARGING):
        lengths[c.end.pole] += c.length_m
    assert lengths == {"+": pytest.approx(run_m), "-": pytest.approx(run_m)}
    wire = net.of(CHARGING)[0].wire
    drop_v = 2 * wire.drop_v(run_m, charger.current_a)
    assert net.drop_v(CHARGING) == pytest.approx(drop_v)
    assert drop_v <= BRANCH_DROP * net.system_v


def test_a_control_is_rated_for_the_motor() -> None:
    net = net_of("one battery")
    control, motor = net.item("speed control"), net.item("motor")
    assert control.current_a >= motor.current_a
    assert control.rating_a == 50.0


@pytest.mark.parametrize("name", KITS)
def test_as_many_lugs_are_counted_as_conductors_end_on_studs(name: str) -> None:
    """On batteries, joints, fuses and the motor; what joins the bank ends on nothing else."""
    net, kit = net_of(name), KITS[name][1]
    kinds = {item.name: item.kind for item in net.items}

    def lugs(circuit: str) -> int:
        ends = [end.item for c in net.of(circuit) for end in (c.start, c.end)]
        return sum(kinds[item] in {"battery", "joint", "fuse", "motor"} for item in ends)

    assert lugs(MOTOR) == MAIN_LUGS
    assert lugs(BANK) == joining_lugs(series=kit.series, parallel=kit.parallel)
    branches = [circuit.name for circuit in net.circuits if circuit.name not in {MOTOR, BANK}]
    assert all(lugs(name) == BRANCH_LUGS for name in branches)
