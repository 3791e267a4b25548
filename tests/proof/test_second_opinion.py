"""A fault in the tables' physics is refused by the proof, which shares none of it.

Every outing here is one that the only kit does not serve. A fault on the unsafe side lets the
tables believe that it does, and the whole pick must end in an internal error.
"""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from keelwatt.boat.bank import Bank
from keelwatt.boat.drive import Drive
from keelwatt.boat.legs import Legs
from keelwatt.boat.load_case import LoadCase
from keelwatt.boat.powertrain import Powertrain
from keelwatt.boat.running import Running
from keelwatt.errors import InternalError
from keelwatt.explain.advise import decide
from keelwatt.files.catalog.reader import Catalog
from keelwatt.files.outing import Box, Device, Outing, Parts
from keelwatt.files.outing import craft as outing_craft
from keelwatt.kits import Types
from keelwatt.kits.branches import Branches
from keelwatt.kits.holding import Holding
from keelwatt.kits.joints import Join
from keelwatt.kits.shelf import Shelf
from oracle.one_of_each import (
    BATTERY,
    BOX,
    CATALOG,
    FUSE,
    MOTOR,
    OUTING,
    with_craft,
    with_leg,
    with_limits,
    with_policy,
)

ONE_KIT = replace(CATALOG, controllers=())
Patch = pytest.MonkeyPatch
Fault = Callable[[Patch], None]


def answer(of: type, name: str, wrong: Callable[..., Any]) -> Fault:
    """The fault of a method: what it gives instead, from itself, the right answer and the rest."""

    def put(patch: Patch) -> None:
        right = getattr(of, name)
        patch.setattr(of, name, lambda self, *a, **k: wrong(self, right(self, *a, **k), *a))

    return put


def value(name: str, wrong: Callable[[Outing], Any]) -> Fault:
    """The fault of a number of the craft or the day: what it is instead."""
    return lambda patch: patch.setattr(LoadCase, name, property(lambda self: wrong(self.outing)))


def legs(name: str, factor: float) -> Fault:
    """The fault of a column of the legs: so many times what it is."""

    def wrong(outing: Outing) -> Legs:
        right = Legs.of_outing(outing)
        return replace(right, **{name: factor * getattr(right, name)})

    return value("legs", wrong)


def imported(name: str, wrong: object, *rooms: str) -> Fault:
    def put(patch: Patch) -> None:
        for room in rooms:
            patch.setattr(f"keelwatt.kits.{room}.{name}", wrong)

    return put


def spending(cents: int, outing: Outing) -> Outing:
    limits = outing.limits.model_copy(update={"budget_cents": cents})
    return outing.model_copy(update={"limits": limits})


def two_wanted() -> Outing:
    """A day for two of the batteries, side by side."""
    wide = OUTING.craft.compartments[0].model_copy(update={"width_m": 0.5})
    return with_leg(duration_h=15.0).model_copy(
        update={"craft": OUTING.craft.model_copy(update={"compartments": (wide,)})}
    )


PAIRED = BATTERY.model_copy(update={"max_parallel": 2})
TWO_WANTED = two_wanted()


def allowance(patch: Patch) -> None:
    patch.setattr(outing_craft, "RUN_ALLOWANCE_M", 0.0)


def weak(**update: Any) -> Catalog:
    return replace(ONE_KIT, batteries=(BATTERY.model_copy(update=update),))


HIGH = BOX.model_copy(update={"outer_height_m": 0.4})
LOW = BOX.model_copy(update={"inner_height_m": 0.1})
UPRIGHT = np.array([True, True])
LUGS = tuple(part for part in CATALOG.fittings if part.what == "lug")
CONTROL_BOX = BOX.model_copy(update={"holds": "control", "price_cents": 900})
IN_A_CASE = with_craft(control_box=Box(length_m=0.2, width_m=0.15, height_m=0.1)).model_copy(
    update={"parts": Parts(require=("controller",))}
)

LONG = with_leg(duration_h=9.9)
"""Somewhat longer than the 9.5 h that the bank lasts."""

AGED = with_leg(duration_h=9.0).model_copy(
    update={"policy": OUTING.policy.model_copy(update={"health": 0.8})}
)
AGAINST = with_leg(speed_m_s=0.9, headwind_m_s=3.1, duration_h=9.9)
CLAIMED = replace(ONE_KIT, motors=(MOTOR.model_copy(update={"thrust_is": "claimed"}),))
FAT = replace(ONE_KIT, motors=(MOTOR.model_copy(update={"tube_m": 0.1}),))
SOUNDER = Device(name="sounder", power_w=10.8, duration_h=5.0)
UPSTREAM = with_leg(speed_m_s=0.9, current_m_s=0.6, headwind_m_s=0.0, duration_h=6.0)
LISTING = OUTING.model_copy(update={"aboard": (OUTING.aboard[0].model_copy(update={"y_m": 0.2}),)})
FAULTS: dict[str, tuple[Outing, Catalog, Fault]] = {
    "current too small": (
        LONG, ONE_KIT, answer(Drive, "motor_a", lambda _, right, *__: right / 1.1)
    ),
    "health ignored": (
        AGED, ONE_KIT,
        answer(LoadCase, "full_share", lambda self, right, _: right / self.outing.policy.health),
    ),
    "reserve ignored": (
        LONG, ONE_KIT,
        answer(LoadCase, "usable_share", lambda _, right, *__: right / 0.8),
    ),
    "stream turned": (
        UPSTREAM, ONE_KIT,
        legs("stream_m_s", -1.0),
    ),
    "wind turned": (
        AGAINST, ONE_KIT,
        legs("headwind_m_s", -1.0),
    ),
    "hours of the leg halved": (
        LONG, ONE_KIT,
        legs("duration_h", 0.5),
    ),
    "a weak bank turns the motor at full speed": (
        with_leg(headwind_m_s=9.0, duration_h=0.1), weak(voltage_v=11.0),
        answer(Powertrain, "point", lambda _, right, *__: replace(
            right, feasible=np.ones_like(right.feasible), effort=0.0 * right.effort)),
    ),
    "a claimed thrust counted whole": (
        with_leg(headwind_m_s=8.7, duration_h=0.1), CLAIMED,
        answer(LoadCase, "thrust_n", lambda _, __, motor: motor.thrust_n),
    ),
    "tube and pod forgotten": (
        with_leg(speed_m_s=1.2, headwind_m_s=0.0, duration_h=6.0), FAT,
        answer(Drive, "drag_n", lambda _, right, *__: 0.0 * right),
    ),
    "nothing done against a wind from behind": (
        with_leg(headwind_m_s=-4.0, duration_h=8.0), ONE_KIT,
        answer(Running, "_held_astern", lambda _, at, *__: replace(at, effort=0 * at.effort)),
    ),
    "devices forgotten": (
        with_leg(duration_h=9.0).model_copy(update={"devices": (SOUNDER,)}), ONE_KIT,
        answer(Bank, "device_a", lambda _, right, *__: 0.0 * right),
    ),
    "a load to one side forgotten": (
        LISTING, ONE_KIT,
        value("bare_moments_kg_m", lambda _: (0.0, 0.0, 20.0)),
    ),
    "people aboard forgotten": (
        with_craft(payload_limit_kg=100.0), ONE_KIT, value("room_g", lambda _: 100_000),
    ),
    "a season's life of the bank": (
        OUTING, ONE_KIT, imported("bank_seasons", lambda *_: 50.0, "banks"),
    ),
    "charging without loss": (
        with_limits(recharge_within_h=11.5), ONE_KIT,
        imported("CHARGE_EFFICIENCY", {"lead": 1.0, "lithium": 1.0}, "charging"),
    ),
    "contacts lose nothing": (
        with_limits(voltage_drop=0.02), ONE_KIT,
        imported("contacts_ohm", lambda **_: 0.0, "drives"),
    ),
    "a second plug for nothing": (
        spending(34500, with_policy(disconnects=2)), ONE_KIT,
        lambda patch: patch.setattr(Shelf, "plug_sums", (np.array([1500]), np.array([100]))),
    ),
    "a fuse for the bank's nominal voltage alone": (
        OUTING, replace(ONE_KIT, fuses=(FUSE.model_copy(update={"max_voltage_v": 13.0}),)),
        imported("bank_voltage_v", lambda nominal_voltage_v, **_: nominal_voltage_v, "drives"),
    ),
    "charging without its slow end": (
        with_limits(recharge_within_h=11.5), ONE_KIT,
        imported("SLOW_END_H", {"lead": 0.0, "lithium": 0.0}, "charging"),
    ),
    "cable by the length used": (
        spending(33900, with_craft(cable_run_m={("stern", "transom"): 2.1})), ONE_KIT,
        imported("lengths_cents", lambda cents_m, length_m, _: cents_m * length_m, "shelf"),
    ),
    "string fuses forgotten": (
        spending(55000, TWO_WANTED), replace(ONE_KIT, batteries=(PAIRED,)),
        lambda patch: patch.setattr(Join, "fuses", property(lambda _: 1)),
    ),
    "nothing between the batteries": (
        spending(56000, TWO_WANTED), replace(ONE_KIT, batteries=(PAIRED,)),
        lambda patch: patch.setattr(Join, "lengths_m", property(lambda _: (0.0, 0.0))),
    ),
    "no branch for a device": (
        spending(34000, OUTING.model_copy(update={"devices": (SOUNDER,)})), ONE_KIT,
        answer(Branches, "_devices", lambda *_: (0, 0)),
    ),
    "no inlet for the charger": (
        spending(39900, with_limits(recharge_within_h=12.0)), ONE_KIT,
        answer(Branches, "of_charger", lambda *_: (0, 0)),
    ),
    "nothing to hold a battery down": (
        spending(34000, with_policy(typical_prices=True)), replace(ONE_KIT, fittings=LUGS),
        answer(Holding, "sums", lambda _, right, *__: (0 * right[0], right[1])),
    ),
    "a box no larger than its battery": (
        with_policy(battery_box="always"), replace(ONE_KIT, boxes=(HIGH,)),
        lambda patch: patch.setattr(Types, "_pieces", (np.array(2 * [BATTERY.size_m]), UPRIGHT)),
    ),
    "a battery in a box too small for it": (
        with_policy(battery_box="always"), replace(ONE_KIT, boxes=(LOW,)),
        answer(Holding, "takes", lambda _, right, *__: np.ones_like(right)),
    ),
    "a control box for nothing": (
        spending(38900, IN_A_CASE), replace(CATALOG, boxes=(CONTROL_BOX,)),
        lambda patch: patch.setattr(Types, "_control_box", (0, 0)),
    ),
    "no cable beyond the straight way": (
        with_craft(cable_run_m={}), ONE_KIT, allowance
    ),
}  # fmt: skip


@pytest.mark.parametrize("fault", FAULTS)
def test_the_pick_is_refused(fault: str, monkeypatch: Patch) -> None:
    outing, catalog, put = FAULTS[fault]
    put(monkeypatch)
    with pytest.raises(InternalError, match="does not hold when recomputed"):
        decide(outing, catalog)


ANOTHER_KIT_OR_SUM = {"a season's life of the bank", "no cable beyond the straight way"}
"""Here a kit serves: the fault is in a sum, or in the run that the kit itself names."""


@pytest.mark.parametrize("fault", sorted(FAULTS.keys() - ANOTHER_KIT_OR_SUM))
def test_without_the_fault_no_kit_serves(fault: str) -> None:
    outing, catalog, _ = FAULTS[fault]
    assert decide(outing, catalog).status == "impossible"


@pytest.mark.parametrize("fault", sorted(ANOTHER_KIT_OR_SUM))
def test_without_the_fault_the_kit_is_proved(fault: str) -> None:
    outing, catalog, _ = FAULTS[fault]
    assert decide(outing, catalog).proof is not None
