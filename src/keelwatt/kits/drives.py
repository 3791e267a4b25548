"""Drives: a motor with its control, on every mount that takes it."""

from collections.abc import Iterable, Iterator

import numpy as np
import pandas as pd

from keelwatt.boat.facts import Facts
from keelwatt.boat.powertrain import Drive
from keelwatt.files.catalog.parts import Controller, Motor
from keelwatt.files.catalog.reader import Catalog
from keelwatt.files.kit import grams, just_below, season_units, to_buy
from keelwatt.kits.account import FILTERS, Account
from keelwatt.limits import enters
from keelwatt.physics import protection

COLUMNS = {
    "row": "row of the motor in the catalog, from 0",
    "controller_row": "row of the external controller, -1 for none",
    "motor": "motor id",
    "controller": "external controller's id, '' for none",
    "mount": "mount name",
    "place": "mount's number in the outing, from 0",
    "type": "number of the (motor, controller) couple, the index of the pair tables' second axis",
    "price_cents": "price of what is not owned",
    "season_units": "hundredths of a cent a season",
    "mass_g": "motor and external controller",
    "motor_g": "motor alone",
    "controller_g": "external controller alone",
    "piece_g": "mass of the heaviest piece",
    "system_v": "system class",
    "current_a": "I_max, tethered at full throttle",
    "no_load_a": "I0",
    "thrust_n": "T0, tethered at full throttle",
    "no_thrust_speed_m_s": "V_f",
    "chopper": "whether a chopper drives it, external or built in",
    "steps": "steps of the motor's own switch, 1 where a chopper drives it",
    "efficiency": "of the chopper, 1 for stepped control",
}
"""Column -> meaning."""


def drive_table(
    facts: Facts,
    couples: Iterable[tuple[Motor, tuple[Controller | None, ...]]],
    catalog: Catalog,
    account: Account,
) -> pd.DataFrame:
    """One row a drive and mount, in catalog order, the motor's own control first.

    ``couples`` lists what might drive each motor; None stands for the motor's own control.
    """
    motor_rows = {motor.id: row for row, motor in enumerate(catalog.motors)}
    controller_rows = {c.id: row for row, c in enumerate(catalog.controllers)}
    found: list[list[object]] = []
    types = 0
    for motor, controllers in couples:
        places = tuple(_mounts(facts, motor, account))
        for controller in controllers:
            if controller is not None and not _may_drive(controller, motor, account):
                continue
            common = drive_values(facts, motor, controller)
            for place, mount in places:
                values = {
                    **common,
                    "row": motor_rows[motor.id],
                    "controller_row": controller_rows[controller.id] if controller else -1,
                    "mount": mount,
                    "place": place,
                    "type": types,
                }
                found.append([values[column] for column in COLUMNS])
            types += bool(places)
    return pd.DataFrame(found, columns=list(COLUMNS), dtype=None if found else np.int64)


@enters(FILTERS, "shaft")
def _mounts(facts: Facts, motor: Motor, account: Account) -> Iterator[tuple[int, str]]:
    for place, mount in enumerate(facts.outing.craft.mounts):
        needed = mount.shaft_needed_m
        if needed is None or motor.shaft_m >= just_below(needed):
            yield place, mount.name
        else:
            account.leave_out(
                "motor",
                motor.id,
                "shaft",
                value=1000 * motor.shaft_m,
                bound=1000 * needed,
                unit="mm",
                where=mount.name,
            )


@enters(FILTERS, "voltage_match", "controller_rating")
def _may_drive(controller: Controller, motor: Motor, account: Account) -> bool:
    if motor.control == "chopper":
        return False
    needs = float(protection.smallest_controller_a(max_current_a=motor.current_a))
    if not controller.min_system_v <= motor.system_v <= controller.max_system_v:
        above = motor.system_v > controller.max_system_v
        account.leave_out(
            "controller",
            controller.id,
            "voltage_match",
            value=motor.system_v,
            bound=controller.max_system_v if above else controller.min_system_v,
            unit="V",
            where=motor.id,
        )
        return False
    if controller.current_a < just_below(needs):
        account.leave_out(
            "controller",
            controller.id,
            "controller_rating",
            value=controller.current_a,
            bound=needs,
            unit="A",
            where=motor.id,
        )
        return False
    return True


def drive_values(facts: Facts, motor: Motor, controller: Controller | None) -> dict[str, object]:
    """What a drive is on whichever mount, by column."""
    parts = facts.outing.parts
    pieces: list[Motor | Controller] = [motor, controller] if controller else [motor]
    price = sum(to_buy(parts, piece.id, 1) * piece.price_cents for piece in pieces)
    masses = [grams(piece.mass_kg) for piece in pieces]
    return {
        "motor": motor.id,
        "controller": controller.id if controller else "",
        "price_cents": price,
        "season_units": season_units(price),
        "motor_g": masses[0],
        "controller_g": sum(masses[1:]),
        "piece_g": max(masses),
        **Drive.of_parts(motor, controller).numbers(),
    }
