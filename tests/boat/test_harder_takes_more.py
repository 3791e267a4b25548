"""Whatever motor, hull, bank, wind and stream: what is harder never takes less charge."""

from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from keelwatt.boat.bank import Bank
from keelwatt.boat.drive import Drive
from keelwatt.boat.running import Running
from keelwatt.files.catalog.parts import Battery, Controller, Motor
from keelwatt.files.outing import Device, Leg, Mount, Outing
from keelwatt.kits.types import Types
from keelwatt.physics.shapes import HULL_SHAPES
from oracle.cheap_water import CheapLoadCase
from oracle.one_of_each import BATTERY, CATALOG, CONTROLLER, KIT, MOTOR, with_craft

ROUNDING = 1e-9
ONCE = settings(max_examples=60, deadline=None, derandomize=True)


@dataclass(frozen=True)
class Rig:
    """A boat, its motor and bank."""

    outing: Outing
    battery: Battery
    motor: Motor
    controller: Controller | None

    def running(self, drag: float = 1.0) -> Running:
        """With so many times the drag of hull and water."""
        craft = self.outing.craft
        dragged = craft.model_copy(update={"drag_factor": craft.drag_factor * drag})
        case = CheapLoadCase(self.outing.model_copy(update={"craft": dragged}))
        parts = self.battery, self.motor, self.controller
        return Running.of_kit(case, KIT, parts, case.bare_kg + 30.0)


def part(of: Any, **update: Any) -> Any:
    return of.model_copy(update=update)


@st.composite
def motors(draw: st.DrawFn, control: str) -> Motor:
    steps = draw(st.integers(1, 8)) if control == "stepped" else 0
    current = draw(st.floats(10.0, 60.0))
    printed = None
    if steps > 1 and draw(st.booleans()):
        lowest = draw(st.floats(0.15, 0.6))
        printed = tuple(current * np.linspace(lowest, 1.0, steps))
    motor: Motor = part(
        MOTOR,
        control=control,
        steps=steps,
        current_a=current,
        no_load_a=draw(st.floats(0.01, 0.1)) * current,
        thrust_n=draw(st.floats(3.0, 5.0)) * current,
        no_thrust_speed_m_s=draw(st.none() | st.floats(1.8, 4.0)),
        winding=draw(st.floats(0.0, 0.35)),
        step_currents_a=printed,
        thrust_is=draw(st.sampled_from(["claimed", "measured"])),
        tube_m=draw(st.floats(0.02, 0.05)),
        pod_m=draw(st.floats(0.05, 0.15)),
        efficiency=0.95 if control == "chopper" else 1.0,
    )
    return motor


@st.composite
def rigs(draw: st.DrawFn, controls: tuple[str, ...]) -> Rig:
    control = draw(st.sampled_from(controls))
    shape = HULL_SHAPES[draw(st.sampled_from(list(HULL_SHAPES)))]
    mount = Mount(name="transom", x_m=-2.0, y_m=0.0, z_m=draw(st.floats(0.1, 0.5)))
    outing = with_craft(
        **shape._asdict(),
        waterline_length_m=draw(st.floats(3.0, 5.5)),
        waterline_beam_m=draw(st.floats(0.6, 1.1)),
        hull_mass_kg=draw(st.floats(15.0, 80.0)),
        wind_area_m2=draw(st.floats(0.0, 0.8)),
        mounts=(mount,),
    )
    battery = part(
        BATTERY,
        chemistry=draw(st.sampled_from(["flooded", "agm", "lfp", "nmc"])),
        voltage_v=draw(st.floats(10.0, 15.0)),
        peukert=draw(st.floats(1.0, 1.4)),
    )
    controller = CONTROLLER if control == "controller" else None
    motor = draw(motors("chopper" if control == "chopper" else "stepped"))
    return Rig(outing, battery, motor, controller)


WINDS, STREAMS = st.floats(-6.0, 6.0), st.floats(-1.0, 1.0)
SPEEDS = np.linspace(0.0, 3.5, 141)


@ONCE
@given(rigs(("stepped",)), WINDS, STREAMS)
def test_on_the_switch_a_faster_leg_never_takes_less(rig: Rig, wind: float, stream: float) -> None:
    point = rig.running().at(SPEEDS[:, None], np.array([wind]), np.array([stream]))
    amperes = point.battery_a[point.feasible]
    assert (np.diff(amperes) >= -ROUNDING * 60.0).all()
    assert not point.feasible[np.argmin(point.feasible) :].any() or point.feasible.all()


@ONCE
@given(rigs(("stepped",)), st.floats(0.05, 2.5), st.floats(1.001, 3.0), WINDS, STREAMS)
def test_on_the_switch_more_drag_never_takes_less(
    rig: Rig, speed: float, drag: float, wind: float, stream: float
) -> None:
    at = (np.array([each]) for each in (speed, wind, stream))
    leg = tuple(at)
    easy, hard = rig.running().at(*leg), rig.running(drag).at(*leg)
    assert easy.feasible[0] or not hard.feasible[0]
    if hard.feasible[0]:
        assert hard.battery_a[0] >= easy.battery_a[0] - ROUNDING * 60.0


@ONCE
@given(rigs(("stepped",)), st.floats(0.3, 1.5), st.floats(1.05, 2.0))
def test_drag_matters_on_the_switch_too(rig: Rig, speed: float, drag: float) -> None:
    still = np.zeros(1)
    easy, hard = (rig.running(each).at(np.array([speed]), still, still) for each in (1.0, drag))
    if hard.feasible[0]:
        assert hard.battery_a[0] > easy.battery_a[0]


@ONCE
@given(
    rigs(("stepped", "chopper", "controller")),
    st.lists(st.tuples(st.floats(0.0, 1.6), WINDS, STREAMS), min_size=1, max_size=3),
    st.floats(1.05, 2.0),
    st.booleans(),
)
def test_hours_fall_as_drag_rises(
    rig: Rig, legs: list[tuple[float, float, float]], drag: float, devices: bool
) -> None:
    day = tuple(
        Leg(name=str(n), speed_m_s=v, duration_h=1.0, headwind_m_s=wind, current_m_s=stream)
        for n, (v, wind, stream) in enumerate(legs)
    )
    aboard = (Device(name="logger", power_w=5.0, duration_h=2.0),) if devices else ()
    rig = replace(rig, outing=rig.outing.model_copy(update={"legs": day, "devices": aboard}))
    easy, hard = rig.running(), rig.running(drag)
    wished = easy.legs.ground_m_s
    if not hard.on_legs(wished).feasible.all():
        return
    (_, long_h), (_, short_h) = easy.hours_at(wished), hard.hours_at(wished)
    if not np.isfinite(short_h[0]):
        assert not np.isfinite(long_h[0])
        return
    assert short_h[0] <= long_h[0] * (1 + ROUNDING)
    moving = (easy.legs.through_m_s(wished) > 0.05) & (wished > 0.0)
    if moving.any():
        assert short_h[0] < long_h[0]


@ONCE
@given(rigs(("stepped", "chopper", "controller")))
def test_the_columns_that_kits_are_chosen_by_hold_what_the_parts_say(rig: Rig) -> None:
    controllers = (rig.controller,) if rig.controller else ()
    catalog = replace(
        CATALOG, batteries=(rig.battery,), motors=(rig.motor,), controllers=controllers
    )
    types = Types(CheapLoadCase(rig.outing), catalog)
    own, case = rig.running(), CheapLoadCase(rig.outing)
    for row, (_, controller) in enumerate(types.drive_types.tolist()):
        if (controller >= 0) != bool(controllers):
            continue
        column = Drive.of_columns(types.drive).of(np.array([row]))
        for name, value in vars(own.train.drive).items():
            assert np.allclose(getattr(column, name), value), name
    bank = Bank.of_columns(types.bank)
    one = Bank.of_parts(rig.battery, 1, 1, case.usable_share(rig.battery.chemistry))
    for name, value in vars(one).items():
        assert np.allclose(getattr(bank, name)[0], value), name
