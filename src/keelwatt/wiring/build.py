"""From a kit to its netlist."""

from dataclasses import replace
from math import floor

from keelwatt.boat.load_case import LoadCase
from keelwatt.files.catalog.got import Strand
from keelwatt.files.catalog.parts import Fuse
from keelwatt.files.catalog.reader import Catalog
from keelwatt.files.kit import Kit
from keelwatt.physics.joining import BRANCH_DROP, DEVICE_RUN_M, FUSE_LEAD_M, INLET_LEAD_M
from keelwatt.proof import Assessor
from keelwatt.proof.model import Chosen
from keelwatt.wiring.bank import lay_bank, sources, strings
from keelwatt.wiring.draft import Draft
from keelwatt.wiring.model import (
    BANK,
    CHARGING,
    MOTOR,
    MOTOR_PLUG,
    Circuit,
    Item,
    Netlist,
    Terminal,
    fuse_item,
    plug_item,
)

PLUG_LEAD_M = 0.25
"""From the main fuse to the connector, which stays in reach beside the battery. Common practice."""

LEAST_TAIL_M = 0.20
"""Least length on either side of a speed control, to work on its terminals, and from a plug at the
motor to its lead. Common practice."""

FUSE, PLUG, CONTROL = "main fuse", "connector", "speed control"
ENGINE, INLET = "motor", "charging inlet"


def netlist(kit: Kit, chosen: Chosen, case: LoadCase, catalog: Catalog) -> Netlist:
    """The wiring of a kit. The motor circuit uses the kit's own parts, its run cut in sections; its
    current is the motor's largest, as in the proof, on a full bank where a part must stand it. What
    joins the batteries, the charging inlet and the device branches are parts beside the kit, the
    cheapest of the catalog that suit."""
    assessor = Assessor(case.outing, catalog)
    draft = Draft(kit, chosen, case, assessor.billing(kit, chosen))
    circuits = [
        Circuit(BANK, "Joining the batteries", None, None),
        Circuit(
            MOTOR,
            "Motor",
            ENGINE,
            case.outing.limits.voltage_drop,
            ends_ohm=assessor.circuit_ohm(replace(kit, run_m=0.0), chosen),
        ),
    ]
    currents = assessor.device_currents_a(kit, chosen)
    bank_a = assessor.rated_a(kit, chosen) + sum(currents)
    lay_bank(draft, bank_a, assessor.full_throttle_a(kit, chosen))
    _lay_motor(draft, assessor.rated_a(kit, chosen))
    if chosen.charger:
        circuits.append(Circuit(CHARGING, "Charging inlet", INLET, BRANCH_DROP))
        _lay_charging(draft, chosen.charger.current_a)
    for number, (device, current_a) in enumerate(
        zip(case.outing.devices, currents, strict=True), start=1
    ):
        name = f"device {number}"
        got = draft.billing.converter(device)
        told = got.told if got else ""
        circuits.append(Circuit(name, device.name, name, BRANCH_DROP, converter=told))
        fuse, wire = _branch(draft, name, current_a, DEVICE_RUN_M)
        load = Item(name, "device", name, None, device.name, current_a, None)
        _lay_branch(draft, fuse, load, wire=wire, run_m=DEVICE_RUN_M)
    return Netlist(
        circuits=tuple(circuits),
        items=tuple(draft.items),
        conductors=tuple(draft.conductors),
        strings=strings(kit),
        system_v=chosen.motor.system_v,
        bank_v=kit.series * chosen.battery.voltage_v,
        charging_v=draft.billing.charging_v,
        short_circuit_a=draft.billing.short_a,
        fuse_over_ampacity=case.outing.policy.fuse_over_ampacity,
    )


def _lay_motor(draft: Draft, rated_a: float) -> None:
    chosen = draft.chosen
    motor, control = chosen.motor, chosen.controller
    current_a = motor.current_a
    draft.items += [
        fuse_item(chosen.fuse, FUSE, MOTOR, rated_a),
        plug_item(chosen.connector, PLUG, MOTOR, rated_a),
    ]
    if control:
        rated = {"current_a": rated_a, "rating_a": control.current_a}
        draft.items.append(Item.of(control, "controller", CONTROL, MOTOR, **rated))
    twice = draft.case.outing.policy.disconnects == 2
    if twice:
        draft.items.append(plug_item(chosen.connector, MOTOR_PLUG, MOTOR, rated_a))
    engine = Item.of(motor, "motor", ENGINE, MOTOR, current_a=current_a, rating_a=current_a)
    draft.items.append(replace(engine, inside=motor.control))
    first_m, last_m = draft.case.outing.craft.sections_m(chosen.compartment, chosen.mount)
    # 0 would tell ``sections`` that there is no control at all
    beyond = max(1e-6, last_m / (first_m + last_m)) if control else 0.0
    fuse_m, plug_m, rest_m, tail_m = sections(draft.kit.run_m, beyond)
    plus, minus = sources(draft.kit)
    pieces = [
        (plus, Terminal(FUSE, "+"), fuse_m),
        (Terminal(FUSE, "+"), Terminal(PLUG, "+"), plug_m),
        (minus, Terminal(PLUG, "-"), fuse_m + plug_m),
    ]
    onward = [(PLUG, CONTROL, rest_m), (CONTROL, ENGINE, tail_m)]
    onward = onward if control else [(PLUG, ENGINE, rest_m)]
    if twice:
        start, end, length_m = onward.pop()
        last_m = min(LEAST_TAIL_M, length_m / 2)
        onward += [(start, MOTOR_PLUG, length_m - last_m), (MOTOR_PLUG, end, last_m)]
    for start, end, length_m in onward:
        pieces += [
            (Terminal(start, "+"), Terminal(end, "+"), length_m),
            (Terminal(start, "-"), Terminal(end, "-"), length_m),
        ]
    draft.lay(MOTOR, pieces, wire=draft.cable, current_a=current_a, fuse=FUSE)


def sections(run_m: float, beyond: float) -> tuple[float, float, float, float]:
    """One polarity's run cut at fuse and connector, and at the control if some is ``beyond``.

    >>> [round(length, 2) for length in sections(2.0, 0.5)]
    [0.15, 0.25, 0.6, 1.0]
    """
    tail_m = 0.0
    if beyond > 0.0:
        least_m = min(LEAST_TAIL_M, run_m / 2)
        tail_m = min(max(beyond * run_m, least_m), run_m - least_m)
        tail_m = floor(100 * tail_m + 1e-6) / 100 or tail_m
    before_m = run_m - tail_m
    fuse_m, plug_m = min(FUSE_LEAD_M, before_m / 4), min(PLUG_LEAD_M, before_m / 4)
    return fuse_m, plug_m, before_m - fuse_m - plug_m, tail_m


def _lay_charging(draft: Draft, current_a: float) -> None:
    """An inlet with a fuse that suits the charger's thin lead, which the main fuse would not."""
    run_m = FUSE_LEAD_M + INLET_LEAD_M
    fuse, wire = _branch(draft, CHARGING, current_a, run_m)
    got = draft.billing.beside.inlet(current_a, draft.billing.charging_v)
    inlet = Item.got(got, "inlet", INLET, CHARGING, current_a)
    _lay_branch(draft, fuse, inlet, wire=wire, run_m=run_m)


def _branch(draft: Draft, circuit: str, current_a: float, run_m: float) -> tuple[Item, Strand]:
    """The fuse of a branch, and what to cut it from."""
    billing = draft.billing
    got, strand = billing.branch(current_a, run_m)
    item = Item.got(got, "fuse", f"{circuit} fuse", circuit, current_a)
    known = got.part if isinstance(got.part, Fuse) else None
    breaks_a = known.interrupts_a if known else billing.short_a
    stands_v = known.max_voltage_v if known else billing.charging_v
    return replace(item, interrupts_a=breaks_a, max_voltage_v=stands_v), strand


def _lay_branch(draft: Draft, fuse: Item, load: Item, *, wire: Strand, run_m: float) -> None:
    draft.items += [fuse, load]
    plus, minus = sources(draft.kit)
    pieces = (
        (plus, Terminal(fuse.name, "+"), FUSE_LEAD_M),
        (Terminal(fuse.name, "+"), Terminal(load.name, "+"), run_m - FUSE_LEAD_M),
        (minus, Terminal(load.name, "-"), run_m),
    )
    draft.lay(load.circuit, pieces, wire=wire, current_a=load.current_a, fuse=fuse.name)
