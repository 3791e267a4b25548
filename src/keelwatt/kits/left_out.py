"""The account of every part that the rules leave out before any kit is chosen."""

from collections.abc import Iterator
from itertools import permutations, product

import numpy as np

from keelwatt.boat.arrays import Ints
from keelwatt.boat.load_case import LoadCase
from keelwatt.files.catalog.parts import Battery, Controller, Motor
from keelwatt.files.kit import just_below
from keelwatt.files.outing import Compartment
from keelwatt.kits.account import FILTERS, Account, Excluded
from keelwatt.kits.allowed import Allowed, shelf_of
from keelwatt.kits.pairs import at_once, carried, lightest_g
from keelwatt.kits.types import Types
from keelwatt.kits.wiring import Zone
from keelwatt.limits import enters
from keelwatt.physics import protection, stowage

MOST_COUPLES = 400_000
"""Beyond so many couples of bank and drive only parts are accounted for, not what no partner lets
serve."""


def left_out(types: Types) -> tuple[Excluded, ...]:
    """Each part and rule with the nearest miss; ``types`` with every control."""
    case, account, catalog = types.case, Account(), types.catalog
    allowed = Allowed(case, account)
    motors = allowed.of("motor", catalog.motors)
    controllers = allowed.controllers(catalog.controllers)
    for motor, moment_n_m in zip(motors, types.on_lowest[1].tolist(), strict=True):
        _hangs(case, motor, moment_n_m, account)
        for controller in controllers if motor.control == "stepped" else ():
            if controller is not None:
                _drives(controller, motor, account)
    for battery in allowed.of("battery", catalog.batteries):
        _account_for_battery(types, battery, account)
    shelf_of(case, catalog, allowed)
    _account_for_faults(types, account)
    zones = wanted(types)
    types.wirings.account(zones, account)
    if len(types.bank_types) * len(types.drive_types) <= MOST_COUPLES:
        _account_for_couples(types, account)
    allowed.of("charger", catalog.chargers)
    return account.told(types.wirings.suiting(zones).union(*_placed(types)))


def _placed(types: Types) -> Iterator[set[str]]:
    """The batteries, motors, controllers and chargers that some kit might hold."""
    yield {types.batteries[number].id for number in np.unique(types.bank_types[:, 0])}
    yield {types.motors[number].id for number in np.unique(types.drive_types[:, 0])}
    external = np.unique(types.drive_types[:, 1])
    controllers = (types.controllers[number] for number in external[external >= 0])
    yield {controller.id for controller in controllers if controller}
    yield {charger.id for charger in types.chargers}


def _account_for_battery(types: Types, battery: Battery, account: Account) -> None:
    case, systems = types.case, {*np.unique(types.drive["system_v"]).tolist()}
    units = list(_units(types, battery, account))
    places = product(case.outing.craft.compartments, units)
    fits = [(box, unit) for box, unit in places if _enters(battery, box, unit, account)]
    matching = [s for s in range(1, battery.max_series + 1) if s * battery.system_v in systems]
    if systems and not matching:
        nearest = min(systems, key=lambda v: abs(v - battery.system_v))
        account.leave_out(
            "battery",
            battery.id,
            "voltage_match",
            (battery.system_v, nearest, "V"),
            "no motor runs on it",
        )
    for box, unit in fits if 1 in matching else ():
        _packs(case, battery, box, unit, account)


Unit = tuple[stowage.Triple, bool, str]
"""Sides of what stands in a compartment, whether it stands upright only, and in what."""


def _units(types: Types, battery: Battery, account: Account) -> Iterator[Unit]:
    """A battery without a box, and in each that takes it."""
    holding = types.holding
    if holding.strapped:
        yield battery.size_m, battery.upright_only, ""
    taking = holding.taking(battery)
    for way in taking.tolist():
        yield holding.boxes[way].outer_m, True, f", in {holding.boxes[way].id}"
    if not (holding.strapped or taking.size):
        longest_m = max((max(box.inner_m) for box in holding.boxes), default=0.0)
        account.leave_out(
            "battery",
            battery.id,
            "compartment",
            (1000 * max(battery.size_m), 1000 * longest_m, "mm"),
            "no box takes it, and battery_box is always or a box is required",
        )


def _enters(battery: Battery, box: Compartment, unit: Unit, account: Account) -> bool:
    unit_m, _, within = unit
    if stowage.passes_hatch(unit_m=unit_m, opening_m=box.opening_m):
        return True
    needed_m, room_m = max(zip(sorted(unit_m), sorted(box.opening_m), strict=False), key=_over)
    account.leave_out(
        "battery",
        battery.id,
        "compartment",
        (1000 * needed_m, 1000 * room_m, "mm"),
        f"opening of {box.name}{within}",
    )
    return False


def _packs(
    case: LoadCase, battery: Battery, box: Compartment, unit: Unit, account: Account
) -> None:
    unit_m, upright_only, within = unit
    block = stowage.block(
        units=1,
        unit_m=unit_m,
        upright_only=upright_only,
        room_m=(box.length_m, box.width_m, box.height_m),
        clearance_m=case.outing.policy.clearance_m,
    )
    if block is None:
        needed_m, room_m = _tightest(unit, box, case.outing.policy.clearance_m)
        account.leave_out(
            "battery",
            battery.id,
            "compartment",
            (1000 * needed_m, 1000 * room_m, "mm"),
            f"{box.name}, clearance counted{within}",
        )


def _tightest(unit: Unit, box: Compartment, clearance_m: float) -> tuple[float, float]:
    """What a unit needs and a compartment has, where it lacks most, turned the best way."""
    turns = [turn for turn in permutations(unit[0]) if not unit[1] or turn[2] == unit[0][2]]
    room = (box.length_m, box.width_m, box.height_m)
    worst = [
        max(
            ((side + 2 * clearance_m, has) for side, has in zip(turn, room, strict=True)), key=_over
        )
        for turn in turns
    ]
    return min(worst, key=_over)


def _over(needed_and_room: tuple[float, float]) -> float:
    needed_m, room_m = needed_and_room
    return needed_m - room_m


@enters(FILTERS, "shaft")
def _hangs(case: LoadCase, motor: Motor, moment: float, account: Account) -> None:
    for mount in case.outing.craft.mounts:
        if mount.held_n_m < just_below(moment):
            account.leave_out(
                "motor", motor.id, "mount_moment", (moment, mount.held_n_m, "N m"), mount.name
            )
        needed = mount.shaft_needed_m
        if needed is not None and motor.shaft_m < just_below(needed):
            account.leave_out(
                "motor", motor.id, "shaft", (1000 * motor.shaft_m, 1000 * needed, "mm"), mount.name
            )


@enters(FILTERS, "voltage_match", "controller_rating")
def _drives(controller: Controller, motor: Motor, account: Account) -> None:
    needs = float(protection.smallest_controller_a(max_current_a=motor.current_a))
    if not controller.min_system_v <= motor.system_v <= controller.max_system_v:
        above = motor.system_v > controller.max_system_v
        account.leave_out(
            "controller",
            controller.id,
            "voltage_match",
            (motor.system_v, controller.max_system_v if above else controller.min_system_v, "V"),
            motor.id,
        )
    elif controller.current_a < just_below(needs):
        account.leave_out(
            "controller",
            controller.id,
            "controller_rating",
            (controller.current_a, needs, "A"),
            f"{needs / motor.current_a:g} x {motor.current_a:g} A of {motor.id}",
        )


def _account_for_faults(types: Types, account: Account) -> None:
    """Batteries whose fault no fuse breaks, or whose voltage on the charger none stands."""
    shelf, bank = types.shelf, types.bank
    strongest_a, strongest_v = (float(able.max(initial=0.0)) for able in shelf.fuses_stand)
    for row in np.nonzero(types.fits)[0].tolist():
        level = types.wirings.levels[int(bank["level"][row])]
        battery = types.batteries[int(types.bank_types[row, 0])].id
        for rule, able, value, bound, unit in (
            ("interrupting", level.interrupting, bank["short_circuit_a"][row], strongest_a, "A"),
            ("fuse_voltage", level.fuse_voltage, bank["charging_v"][row], strongest_v, "V"),
        ):
            if not able.any():
                account.leave_out(
                    "battery",
                    battery,
                    rule,
                    (float(value), bound, unit),
                    "the strongest fuse on the shelf",
                )


def wanted(types: Types) -> tuple[Zone, ...]:
    """The zones that a bank and a drive of one voltage may need."""
    bank, drive = types.bank, types.drive
    b, box = np.nonzero(types.fits)
    d, mount = np.nonzero(types.hangs)
    ends = np.unique(np.column_stack([bank["system_v"][b], bank["level"][b], box]), axis=0)
    heads = np.unique(np.column_stack([drive["system_v"][d], types.harness[d], mount]), axis=0)
    return tuple(
        (harness, level, box_, mount_, 0)
        for volts, level, box_ in ends.tolist()
        for v, harness, mount_ in heads.tolist()
        if v == volts
    )


def _account_for_couples(types: Types, account: Account) -> None:
    """Batteries too weak for a motor, and parts no partner lets meet the day's demands."""
    case = types.case
    matched = types.bank["system_v"][:, None] == types.drive["system_v"][None, :]
    matched &= types.stood[types.bank["fresh"]]
    b, d = np.nonzero(matched)
    strong = np.zeros(matched.shape, dtype=bool)
    strong[b, d] = carried(types, b, d)
    battery = [types.batteries[number].id for number in types.bank_types[:, 0].tolist()]
    motor = [types.motors[number].id for number in types.drive_types[:, 0].tolist()]
    weak = matched & ~strong
    for row in np.flatnonzero(weak.any(axis=1)):
        rows = np.flatnonzero(weak[row])
        full_a = types.day.full_throttle_a(np.full(rows.shape, row), rows)
        account.leave_out(
            "battery",
            battery[row],
            "bank_current",
            (float(types.bank["continuous_a"][row]), float(full_a.min()), "A"),
            "the most modest motor it cannot feed",
        )
    possible = matched & strong
    controls = [part.id if part else "" for part in (*types.controllers, None)]
    controller = [controls[number] for number in types.drive_types[:, 1].tolist()]
    both = ("battery", battery, 1), ("motor", motor, 0)
    third = (("controller", controller, 0),)
    met, has = _at_lightest(types, b, d)
    for demand, bound, unit, best, kinds in (
        ("leg_speed", 1.0, "of full throttle", np.nanmin, both),
        ("top_speed", 1.0, "of full throttle", np.nanmin, both),
        ("hours", case.outing_hours, "h", np.nanmax, both),
        ("control_heat", types.drive["warmest_c"], "degC", np.nanmin, third),
    ):  # fmt: skip
        if demand not in types.demands:
            continue
        served, lightest = np.zeros(matched.shape, dtype=bool), np.full(matched.shape, np.nan)
        served[b, d], lightest[b, d] = met[demand], has[demand]
        served &= possible
        for kind, names, axis in kinds:
            for number in np.flatnonzero(possible.any(axis=axis) & ~served.any(axis=axis)):
                account.leave_out(
                    kind,
                    names[number],
                    demand,
                    (
                        float(best(lightest.take(number, axis=1 - axis))),
                        float(np.broadcast_to(bound, len(names))[number]),
                        unit,
                    ),
                    "with its best partner, at its lightest",
                )


def _at_lightest(
    types: Types, b: Ints, d: Ints
) -> tuple[dict[str, np.ndarray], dict[str, np.ndarray]]:
    """What couples meet of the day without wiring, and how they do, by demand."""
    met, has = [], []
    size = at_once(types)
    for start in range(0, max(b.size, 1), size):
        at = slice(start, start + size)
        day = types.day.asked(b[at], d[at], lightest_g(types, b[at], d[at]))
        met.append({demand: day.met(demand) for demand in types.demands})
        has.append(day.has())
    together = (
        {name: np.concatenate([one[name] for one in of]) for name in types.demands}
        for of in (met, has)
    )
    return next(together), next(together)
