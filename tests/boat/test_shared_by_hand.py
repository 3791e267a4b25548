"""What proof and tables must both get right, reckoned by hand, on either side.

Read alike by both, a fault in it would pass every comparison of the two. The outing is that of
``one_of_each``: thrust is the square of the wind, 100 N at full throttle; the arithmetic, and where
it comes from, stands in each test.
"""

from dataclasses import replace
from math import ceil, log10, sqrt
from typing import Any

import numpy as np
import numpy.typing as npt
import pytest

from keelwatt.boat.load_case import LoadCase
from keelwatt.choose.best import choose
from keelwatt.choose.question import Question
from keelwatt.choose.search import Search
from keelwatt.files.catalog.reader import Catalog
from keelwatt.files.kit import Kit
from keelwatt.files.outing import Device, Outing, Place
from keelwatt.kits import NEVER, Found, Ground, Types
from keelwatt.kits.pairs import lightest_g
from keelwatt.proof import Assessment, Assessor, Proof, prove
from keelwatt.wiring.build import netlist
from oracle.cheap_water import CheapCraft, CheapLoadCase, CheapWater
from oracle.ledger import w_max_g as w_max_of
from oracle.ledger import whole_table
from oracle.one_of_each import (
    BATTERY,
    CABLE,
    CATALOG,
    CHARGER,
    CONNECTOR,
    CONTROLLER,
    FUSE,
    KIT,
    MOTOR,
    OUTING,
    with_craft,
    with_leg,
    with_limits,
    with_part,
)
from proof.reckoned import CHOPPED, assess, broken, limit

CHARGED = replace(KIT, charger="charger")


def searching(outing: Outing = OUTING, catalog: Catalog = CATALOG) -> Search:
    return Search(CheapLoadCase(outing), catalog)


def types(outing: Outing = OUTING, catalog: Catalog = CATALOG) -> Types:
    return searching(outing, catalog).types


def bank_row(outing: Outing = OUTING, catalog: Catalog = CATALOG) -> dict[str, Any]:
    return {name: column.item() for name, column in types(outing, catalog).bank.items()}


def is_chosen(outing: Outing, catalog: Catalog = CATALOG) -> bool:
    """Whether there is any kit at all."""
    return choose(searching(outing, catalog), "cost").status == "best"


def w_max_g(search: Search, bank: int, drive: int) -> int:
    """What a couple may weigh for the speed of the legs."""
    couple = Found(np.array([bank]), np.array([drive]), np.array([0]))
    return int(w_max_of(search, couple)["leg_speed"][0])


def proof(outing: Outing, catalog: Catalog = CATALOG, kit: Kit = KIT) -> Proof:
    return prove(CheapWater(outing, catalog), kit)


class Waveless(CheapLoadCase):
    """Friction alone: waves have tests of their own."""

    def rung_waves_n(
        self, fastest_m_s: float, displacement_kg: npt.NDArray[np.float64]
    ) -> npt.NDArray[np.float64]:
        return np.zeros_like(super().rung_waves_n(fastest_m_s, displacement_kg))


class WavelessCraft(CheapCraft):
    """The proof's craft without waves."""

    def waves_n(
        self, through_m_s: npt.NDArray[np.float64], displacement_kg: float
    ) -> npt.NDArray[np.float64]:
        return np.zeros_like(super().waves_n(through_m_s, displacement_kg))


class WavelessProof(Assessor):
    """A proof without waves."""

    def __init__(self, outing: Outing, catalog: Catalog) -> None:
        super().__init__(outing, catalog)
        self.craft = WavelessCraft(outing)


WEIGHTLESS = replace(
    CATALOG,
    cables=(CABLE.model_copy(update={"mass_kg_m": 1e-5}),),
    fuses=(FUSE.model_copy(update={"mass_kg": 1e-5}),),
    connectors=(CONNECTOR.model_copy(update={"mass_kg": 1e-5}),),
    controllers=(CONTROLLER.model_copy(update={"mass_kg": 1e-5}),),
)
"""Wiring of no mass, so that the lightest boat of the tables is the kit's."""


LOW_V = 11.6 * 0.95
"""A bank of 12 V of lead near the day's end (from memory), 5 % lost in the cable."""


def in_a_stream(ground_m_s: float, stream_m_s: float, headwind_m_s: float = 0.0) -> Outing:
    """A Wigley hull, L/B 10 and B/T 1.6, in fresh water of 15 degC; 999.10 kg/m3 (ITTC).

    It displaces 4 * 0.4 * 0.25 * 4/9 m3: 177.618 kg, of which 80 + 20 + 5 are not hull.
    """
    craft: dict[str, Any] = {
        "waterline_beam_m": 0.4,
        "drag_factor": 1.0,
        "hull_mass_kg": 72.618,
    }
    outing = with_craft(**craft)
    leg = with_leg(speed_m_s=ground_m_s, current_m_s=stream_m_s, headwind_m_s=headwind_m_s)
    water = outing.water.model_copy(update={"temperature_c": 15.0})
    return outing.model_copy(update={"legs": leg.legs, "water": water})


def friction_n(speed_m_s: float) -> float:
    """The ITTC-1957 line and a form factor of 0.15; S = 0.14879 L^2 for that Wigley hull."""
    if speed_m_s == 0.0:
        return 0.0
    coefficient = 0.075 / (log10(speed_m_s * 4 / 1.1386e-6) - 2) ** 2
    return 0.5 * 999.10 * 0.14879 * 16 * speed_m_s**2 * coefficient * 1.15


def shaft_ratio(thrust_n: float, speed_m_s: float) -> float:
    """From T = T0 (r - v)(r + 0.22 v), v of the no-thrust speed of 3 m/s, T0 100 N."""
    v, share = speed_m_s / 3.0, thrust_n / 100.0
    return (0.78 * v + sqrt(0.6084 * v**2 + 4 * (share + 0.22 * v**2))) / 2


STREAMS = [
    (0.0, 1.0, 1.0),
    (1.0, 0.5, 1.5),
    (1.0, -0.5, 0.5),
    (0.7, 0.0, 0.7),
    (0.4, -1.0, 0.0),
]
"""Speed over ground, stream against it, speed through the water."""


@pytest.mark.parametrize(("ground", "stream", "through"), STREAMS)
def test_a_stream_against_adds_to_the_speed_through_the_water(
    ground: float, stream: float, through: float
) -> None:
    """At 1 m/s: Re 3.5131e6, C_f 0.0036296, 4.964 N, and the air's (ground speed)^2 N."""
    outing = in_a_stream(ground, stream)
    thrust_n = friction_n(through) + ground**2
    ratio = shaft_ratio(thrust_n, through)
    (leg,) = WavelessProof(outing, WEIGHTLESS).assess(KIT).legs
    assert leg.thrust_n == pytest.approx(thrust_n, rel=2e-4, abs=1e-9)
    assert leg.shaft_ratio == pytest.approx(ratio, rel=2e-4)
    tables, couple = Types(Waveless(outing), WEIGHTLESS), (np.array([0]), np.array([0]))
    lightest = tables.day.has(*couple, lightest_g(tables, *couple))
    assert lightest["leg_speed"][0] == pytest.approx(12 * ratio / LOW_V, rel=2e-4)


def test_the_friction_of_that_hull() -> None:
    assert friction_n(1.0) == pytest.approx(4.964, abs=5e-4)


def test_what_the_stream_takes_is_the_speed_over_ground() -> None:
    """Without wind a boat goes as fast through the water, whatever the stream (Galilei)."""

    def reached(stream_m_s: float) -> float:
        outing = in_a_stream(0.5, stream_m_s)
        calm = outing.craft.model_copy(update={"wind_area_m2": 0.0})
        still = outing.model_copy(update={"craft": calm})
        return limit("leg_speed", WavelessProof(still, WEIGHTLESS).assess(KIT)).has

    assert reached(0.6) == pytest.approx(reached(0.0) - 0.6, abs=1e-3)
    assert reached(-0.6) == pytest.approx(reached(0.0) + 0.6, abs=1e-3)


def test_in_a_stream_against_it_the_propeller_is_unloaded() -> None:
    """Held at r 0.97 a poor chopper draws 27.10 A at the quay, more than its harness's 26.5 A.

    The harness is rated for the full bank, 12.8 * 12.7 / 12 V: r 1.1289, 1 + 20 r^2 = 26.49 A.
    1 + 20 * 0.97^2 = 19.818 A; 0.97 * 12 * 19.818 / (0.7 * 0.95) / 12.8. In a stream of 1 m/s,
    v 1/3: T = 100 (0.97 - v)(0.97 + 0.22 v) = 66.426 N, 4.964 N of it the water's;
    i = 1 + 20 (r^2 - 0.67 r v - 0.18 v^2) = 15.085 A; 0.97 * 12 * 15.085 / 0.665 / 12.8.
    """
    battery = BATTERY.model_copy(update={"voltage_v": 12.8})
    (controller,) = WEIGHTLESS.controllers
    poor = controller.model_copy(update={"efficiency": 0.7, "current_a": 60.0})
    catalog = replace(WEIGHTLESS, batteries=(battery,), controllers=(poor,))
    stream = in_a_stream(0.0, 1.0, headwind_m_s=sqrt(66.426 - 4.964))
    assessment = WavelessProof(stream, catalog).assess(CHOPPED)
    (leg,) = assessment.legs
    assert leg.shaft_ratio == pytest.approx(0.97, abs=2e-4)
    assert leg.battery_a == pytest.approx(20.629, abs=1e-2)
    assert "leg_speed" not in broken(assessment)
    assert w_max_g(Search(Waveless(stream), catalog), 0, 1) != NEVER
    quay = in_a_stream(0.0, 0.0, headwind_m_s=9.7)
    assert "leg_speed" in broken(WavelessProof(quay, catalog).assess(CHOPPED))
    assert w_max_g(Search(Waveless(quay), catalog), 0, 1) == NEVER


AGED = OUTING.model_copy(update={"policy": OUTING.policy.model_copy(update={"health": 0.8})})


def test_a_bank_gives_what_its_age_leaves() -> None:
    """100 Ah * 0.8 * 0.5 (kind use of lead, common practice) * (1 - 0.2); warm: 25 degC."""
    assert assess(outing=AGED).usable_ah == pytest.approx(32.0)
    assert limit("hours", assess(outing=AGED)).has == pytest.approx(5 * 32 / 21)
    assert bank_row(AGED)["usable_ah"] == pytest.approx(32.0)


def test_age_is_counted_once_in_the_day() -> None:
    """80 Ah at the quay, 80 - 32 of them to stay; 4.2 A for 5 h."""
    day = proof(AGED)
    assert (day.full_ah, day.keep_ah) == pytest.approx((80.0, 48.0))
    assert day.leg_ends[-1].left_ah == pytest.approx(59.0)


@pytest.mark.parametrize(
    ("chemistry", "water_c", "holds", "usable_ah"),
    [
        ("agm", 5.0, 100 / 1.290, 40 / 1.290),
        ("flooded", 15.0, 100 / 1.118, 40 / 1.118),
        ("lfp", 5.0, 85.0, 0.9 * 0.8 * 85.0),
    ],
)
def test_a_bank_in_cold_water_holds_less(
    chemistry: str, water_c: float, holds: float, usable_ah: float
) -> None:
    """Cell sizes of IEEE 485: 1.300 at 40 degF, 1.250 at 45, 1.150 at 55, 1.110 at 60.

    Lithium 0.80 at 0 degC, 1 at 20. Half of lead-acid, 0.9 of lfp, and a fifth of that in reserve.
    """
    water = OUTING.water.model_copy(update={"temperature_c": water_c})
    outing = OUTING.model_copy(update={"water": water})
    catalog = with_part("batteries", chemistry=chemistry)
    assert bank_row(outing, catalog)["usable_ah"] == pytest.approx(usable_ah)
    told = proof(outing, catalog)
    assert told.assessment.usable_ah == pytest.approx(usable_ah)
    assert told.full_ah == pytest.approx(holds)


def test_a_new_bank_gives_all_it_is_rated_for() -> None:
    assert assess().usable_ah == bank_row()["usable_ah"] == pytest.approx(40.0)


REACHES = [
    (11.1, 8.48, True),
    (11.1, 8.51, False),
    (9.6, 7.34, True),
    (9.6, 7.36, False),
    (12.0, 9.17, True),
    (12.0, 9.19, False),
    (12.8, 9.78, True),
    (12.8, 9.81, False),
    (14.8, 11.31, True),
    (14.8, 11.34, False),
]
"""Nominal volts of the bank, wind in m/s, whether the motor turns that fast at the day's end."""


@pytest.mark.parametrize(("volts", "wind", "reached"), REACHES)
def test_a_bank_below_the_motors_voltage_reaches_less_one_above_it_more(
    volts: float, wind: float, reached: bool
) -> None:
    """A direct-current motor's speed goes with its voltage, here that of a bank nearly empty.

    Lead has 11.6 V of 12 (from memory), 5 % of it lost: r = V / 12 * 11.6 / 12 * 0.95. 11.1 V:
    0.8495; 9.6 V: 0.7347; 12 V: 0.9183; 12.8 V: 0.9796; 14.8 V: 1.1326. Thrust is r^2, wind
    10 r m/s.
    """
    outing = with_leg(headwind_m_s=wind, duration_h=0.2)
    catalog = with_part("batteries", voltage_v=volts)
    assert ("leg_speed" not in broken(assess(KIT, outing, catalog))) is reached
    assert (w_max_g(searching(outing, catalog), 0, 0) != NEVER) is reached
    assert is_chosen(outing, replace(catalog, controllers=())) is reached


@pytest.mark.parametrize(
    ("volts", "rated_a"), [(9.6, 15.4), (11.1, 20.2), (12.8, 26.5), (14.8, 35.1)]
)
def test_a_chopper_takes_the_motors_power_from_the_banks_voltage(
    volts: float, rated_a: float
) -> None:
    """0.4 * 12 V * 4.2 A = 20.16 W; / (0.9 * 0.95), / the bank's voltage.

    Full: r = V / 12 * 12.7 / 12 (from memory), 1 + 20 r^2 A in tenths, and the chopper's loss.
    """
    strong = CONTROLLER.model_copy(update={"current_a": 60.0})
    catalog = replace(with_part("batteries", voltage_v=volts), controllers=(strong,))
    (leg,) = assess(CHOPPED, catalog=catalog).legs
    assert leg.battery_a == pytest.approx(20.16 / 0.855 / volts)
    full = limit("bank_current", assess(CHOPPED, catalog=catalog)).needs
    assert full == pytest.approx(rated_a / 0.9)
    full_a = types(catalog=catalog).day.full_throttle_a(np.array([0]), np.array([1]))
    assert full_a[0] == pytest.approx(full)


def test_the_day_counts_a_low_voltage_too() -> None:
    """11.1 V at full setting: r 11.1 * 0.95 / 12, 1 + 20 r^2 = 16.44 A, 0.14 V through 2 m.

    Contacts of 3 mOhm take 0.05 V more. 0.92 * 12 V is wanted; near the end the bank has
    11.1 * 11.6 / 12 = 10.73 V. At 11.9 V: 11.5 V.
    """
    windy = with_leg(headwind_m_s=9.2, duration_h=0.2)
    asks = (
        "leg 'hold' asks for 11.0 V at the motor; near the end of the day, after the wiring's "
        "drop, it has 10.5 V"
    )
    assert proof(windy, with_part("batteries", voltage_v=11.1)).failures == (asks,)
    assert proof(windy, with_part("batteries", voltage_v=11.9)).failures == ()


APART = with_craft(
    compartments=(OUTING.craft.compartments[0].model_copy(update={"x_m": 0.3, "z_m": 0.05}),),
    mounts=(OUTING.craft.mounts[0].model_copy(update={"x_m": -1.9, "y_m": -0.25, "z_m": 0.45}),),
    cable_run_m={},
)
"""From (0.3, 0.1, 0.05) to (-1.9, -0.25, 0.45)."""


def proved_run_m(outing: Outing, kit: Kit = KIT) -> float:
    return Assessor(outing, CATALOG).planned_run_m(kit)


def test_a_run_along_across_and_up_and_what_is_added_to_it() -> None:
    """2.2 + 0.35 + 0.4 m and 0.6 m (common practice): 3.55 m one way, 7.1 m of conductor.

    4 m of red and 4 m of black are bought for it.
    """
    wiring = whole_table(searching(APART)).wiring
    assert wiring["mass_g"].tolist() == [710 + 200]
    assert wiring["price_cents"].tolist() == [2 * 4 * 250 + 2500]
    kit = choose(searching(APART), "cost").kit
    assert kit is not None
    assert kit.run_m == pytest.approx(3.55)
    assert proved_run_m(APART) == pytest.approx(3.55)


AWAY = Place(x_m=-1.0, y_m=0.4, z_m=0.25)
"""1.3 + 0.3 + 0.2 m from the bank and 0.9 + 0.65 + 0.2 m from the motor, and 0.6 m at each."""


@pytest.mark.parametrize(
    ("at", "runs", "direct_m", "over_m", "tail_m"),
    [
        (AWAY, {}, 3.55, 4.75, 2.35),
        (None, {}, 3.55, 3.55, 0.2),
        (AWAY, {"stern/transom": 4.0}, 4.0, 4.75, 2.35),
        (AWAY, {"stern/transom": 5.0}, 5.0, 5.0, 5.0 * 2.35 / 4.75),
        (None, {"stern/transom": 2.0}, 2.0, 2.0, 0.2),
        (AWAY, {"stern/control": 1.1, "control/transom": 0.7}, 3.55, 1.8, 0.7),
        (None, {"stern/control": 1.1, "control/transom": 0.7}, 3.55, 1.8, 0.7),
        (AWAY, {"stern/control": 1.1, "stern/transom": 5.0}, 5.0, 3.45, 2.35),
        (AWAY, {"control/transom": 0.7}, 3.55, 3.1, 0.7),
        (None, {"control/transom": 0.7}, 3.55, 4.25, 0.7),
        (None, {"control/transom": 0.7, "stern/transom": 2.0}, 2.0, 2.7, 0.7),
        (None, {"stern/control": 1.1}, 3.55, 1.1, 0.2),
    ],
)
def test_a_run_over_a_control(
    at: Place | None, runs: dict[str, float], direct_m: float, over_m: float, tail_m: float
) -> None:
    """Two sections, guessed or given; one given for the whole run is the least of two guesses."""
    pairs = {tuple(pair.split("/")): run_m for pair, run_m in runs.items()}
    craft = APART.craft.model_copy(update={"controller_at": at, "cable_run_m": pairs})
    outing = OUTING.model_copy(update={"craft": craft})
    for kit, run_m, apart_g, apart_cents in ((KIT, direct_m, 0, 0), (CHOPPED, over_m, 500, 5000)):
        parts = {("require" if kit.controller else "refuse"): ("controller",)}
        asked = outing.model_copy(update={"parts": outing.parts.model_copy(update=parts)})
        found = choose(searching(asked), "cost")
        assert found.kit is not None and found.measures is not None
        assert found.kit.run_m == pytest.approx(run_m)
        assert proved_run_m(asked, kit) == found.kit.run_m
        assert found.measures["mass"] == 2 * round(100 * run_m) + 25_200 + apart_g
        assert found.measures["cost"] == 500 * ceil(run_m - 1e-9) + 32_500 + apart_cents
        totals = assess(found.kit, asked).totals
        assert (totals.mass_g, totals.price_cents) == (
            found.measures["mass"],
            found.measures["cost"],
        )
    kit = replace(CHOPPED, run_m=over_m)
    net = netlist(kit, Assessor(outing, CATALOG).chosen(kit), LoadCase(outing), CATALOG)
    tails = [c.length_m for c in net.conductors if c.end.item == "motor"]
    assert tails == pytest.approx([tail_m, tail_m], abs=0.01)
    plus = [c.length_m for c in net.conductors if c.polarity == "positive"]
    assert sum(plus) == pytest.approx(over_m)


def test_a_run_the_outing_gives_has_nothing_added() -> None:
    given = APART.craft.model_copy(update={"cable_run_m": {("stern", "transom"): 1.25}})
    outing = APART.model_copy(update={"craft": given})
    kit = choose(searching(outing), "cost").kit
    assert kit is not None
    assert kit.run_m == proved_run_m(outing) == 1.25


@pytest.mark.parametrize(
    ("chemistry", "hours"),
    [
        ("agm", 40 / (0.9 * 8) + 6),
        ("flooded", 40 / (0.9 * 8) + 6),
        ("lfp", 72 / (0.98 * 8) + 1),
        ("nmc", 64 / (0.98 * 8) + 1),
    ],
)
def test_lithium_is_charged_with_less_loss_and_sooner_full_than_lead(
    chemistry: str, hours: float
) -> None:
    """Lead-acid keeps 0.9 and ends with 6 h, lithium 0.98 and 1 h (from memory).

    100 Ah * 0.8: half of it from lead, 0.9 of LFP, 0.8 of NMC in kind use; at 8 A.
    An inlet takes a metre of red and one of black.
    """
    catalog = replace(
        with_part("batteries", chemistry=chemistry),
        chargers=(CHARGER.model_copy(update={"chemistries": (chemistry,)}),),
    )
    for share, enough in ((1.001, True), (0.999, False)):
        outing = with_limits(recharge_within_h=share * hours)
        assessment = assess(CHARGED, outing, catalog)
        assert limit("recharge", assessment).has == pytest.approx(hours)
        assert ("recharge" not in broken(assessment)) is enough
        assert is_chosen(outing, catalog) is enough
        assert is_chosen(outing, catalog) is enough
        cents = Ground(types(outing, catalog)).charger_cents(share * hours)
        assert (cents.tolist() == [6000 + 2 * 250]) is enough


def sideways(side: float) -> Outing:
    """Paddler, battery, motor and controller off the centreline; ``side`` -1.0 mirrors the boat."""
    (box,), (mount,), (paddler,) = OUTING.craft.compartments, OUTING.craft.mounts, OUTING.aboard
    outing = with_craft(
        compartments=(box.model_copy(update={"y_m": side * 0.1}),),
        mounts=(mount.model_copy(update={"y_m": side * -0.15}),),
        controller_at=Place(x_m=-1.5, y_m=side * 0.3, z_m=0.4),
        cable_run_m={
            ("stern", "transom"): 2.0,
            ("stern", "control"): 1.2,
            ("control", "transom"): 0.8,
        },
    )
    aside = paddler.model_copy(update={"y_m": side * -0.05})
    return outing.model_copy(update={"aboard": (aside,)})


@pytest.mark.parametrize("side", [1.0, -1.0])
def test_what_stands_to_one_side_is_righted_by_the_other_but_for_wiring_and_controller(
    side: float,
) -> None:
    """80 * -0.05 + 20 * 0.1 + 5 * -0.15 = -2.75 kg m; 0.6 kg of wiring at 0.15 m: 2.84 kg m.

    The stiffness is 83.862 kg m as in the proof's own test: weights above the keel are the same.
    atan(2.84 / 83.862) = 1.9396 deg. A controller of 0.5 kg at 0.3 m on the other side takes the
    wiring there, 0.18 kg m, and adds 0.15 kg m, and 0.5 * (0.4 - 0.0431) to what tips:
    atan(3.08 / 83.684) = 2.10785 deg.
    """
    outing = sideways(side)
    for kit, heel_deg in ((KIT, 1.9396), (CHOPPED, 2.10785)):
        assert limit("heel", assess(kit, outing)).has == pytest.approx(heel_deg, abs=5e-5)


@pytest.mark.parametrize("side", [1.0, -1.0])
@pytest.mark.parametrize(("controllers", "heel_deg"), [((), 1.9396), ((CONTROLLER,), 2.10785)])
def test_the_tables_heel_by_the_same_moments(
    side: float, controllers: tuple[Any, ...], heel_deg: float
) -> None:
    """A step above that heel there is a kit, a step below there is none."""
    catalog = replace(CATALOG, controllers=controllers)
    outing = sideways(side)
    if controllers:
        parts = outing.parts.model_copy(update={"require": ("controller",)})
        outing = outing.model_copy(update={"parts": parts})
    for share, enough in ((1.001, True), (0.999, False)):
        most = outing.limits.model_copy(update={"max_heel_rad": np.radians(share * heel_deg)})
        assert is_chosen(outing.model_copy(update={"limits": most}), catalog) is enough
    pick = searching(outing, catalog).best(Question("cost"))
    assert pick is not None
    heel_rad = pick.block.angle_rad("heel", np.array([pick.row]))
    assert np.degrees(heel_rad) == pytest.approx(heel_deg, abs=5e-5)


@pytest.mark.parametrize(
    ("plate_kg", "margin_kg", "enough"),
    [(105.6, 0.0, True), (105.599, 0.0, False), (110.6, 5.0, True), (110.599, 5.0, False)],
)
def test_what_the_plate_leaves_when_a_margin_is_kept(
    plate_kg: float, margin_kg: float, enough: bool
) -> None:
    """Paddler 80 kg, kit 25.6 kg; the charger stays ashore."""
    outing = with_craft(payload_limit_kg=plate_kg)
    limits = with_limits(payload_margin_kg=margin_kg).limits
    outing = outing.model_copy(update={"limits": limits})
    assert is_chosen(outing) is enough
    assert broken(assess(outing=outing)) == ([] if enough else ["payload"])


@pytest.mark.parametrize(
    ("cycles", "years", "seasons"), [(1000, 4.0, 4.0), (60, 4.0, 3.0), (80, 10.0, 4.0)]
)
def test_a_bank_lasts_its_cycles_or_its_years_whichever_end_first(
    cycles: int, years: float, seasons: float
) -> None:
    """Twenty outings a season; 200.00 over the seasons, a tenth of 135.00 for the rest."""
    catalog = with_part("batteries", cycles=cycles, calendar_years=years)
    bank_units = round(20000 * 100 / seasons)
    assert assess(catalog=catalog).totals.season_units == bank_units + 13500 * 10
    assert bank_row(catalog=catalog)["season_units"] == bank_units


def test_a_charger_and_its_inlet_wear_like_the_rest() -> None:
    """200.00 over five years, and a tenth of 135.00, of 60.00 and of 2 m of inlet at 2.50."""
    outing = with_limits(recharge_within_h=20.0)
    season_units = 20000 * 100 // 5 + (13500 + 6000 + 500) * 10
    assert assess(CHARGED, outing).totals.season_units == season_units
    measures = choose(searching(outing), "season").measures
    assert measures is not None
    assert measures["season"] == season_units


def test_more_outings_a_season_wear_a_bank_sooner() -> None:
    """400 cycles: at 20 outings five years end first, at 100 outings four seasons do."""
    catalog = with_part("batteries", cycles=400)

    def bank_units(outings: int) -> int:
        wish = OUTING.wish.model_copy(update={"outings_per_season": outings})
        outing = OUTING.model_copy(update={"wish": wish})
        assessment: Assessment = assess(outing=outing, catalog=catalog)
        assert bank_row(outing, catalog)["season_units"] + 135000 == assessment.totals.season_units
        return assessment.totals.season_units - 135000

    assert (bank_units(20), bank_units(100)) == (400000, 500000)


ROOMY = with_craft(
    compartments=(OUTING.craft.compartments[0].model_copy(update={"length_m": 2.0}),)
)


def banked(volts: float, *, series: int = 2, parallel: int = 3) -> Catalog:
    """A motor of 24 V, and batteries of 50 Ah, 60 A, 2000 A into a short and 5 kg for it."""
    battery = BATTERY.model_copy(
        update={
            "voltage_v": volts,
            "capacity_ah": 50.0,
            "mass_kg": 5.0,
            "max_series": series,
            "max_parallel": parallel,
        }
    )
    motor = MOTOR.model_copy(update={"system_v": 24})
    fuse = FUSE.model_copy(update={"interrupts_a": 6000.0})
    return replace(CATALOG, batteries=(battery,), motors=(motor,), controllers=(), fuses=(fuse,))


TWO_BY_THREE = replace(KIT, series=2, parallel=3)
"""Two in series, three strings."""


def test_strings_and_series_are_told_apart() -> None:
    """Of 12.8 V: 25.6 V, 180 A, 6000 A; 6 * 5 kg, 6 * 200.00; 150 Ah * 0.5 * 0.8 = 60 Ah.

    Full it has 25.6 * 12.7 / 12 V, which turn the motor of 24 V at 1.1289: 1 + 20 r^2 = 26.5 A.

    They stand three by two, 90 by 34 cm: leads of 15 and of 62 + 10 cm, links of 30 + 10 cm. Two
    bars of 200 g (from memory) join them.
    """
    catalog = banked(12.8)
    tables = types(ROOMY, catalog)
    of = tables.bank_types[:, 1:3].tolist().index([2, 3])
    bank = {name: column[of].item() for name, column in tables.bank.items()}
    assert (bank["mass_g"], bank["price_cents"]) == (30000, 120000)
    assert (bank["system_v"], bank["voltage_v"]) == (24, 25.6)
    assert (bank["continuous_a"], bank["short_circuit_a"]) == (180.0, 6000.0)
    assert bank["usable_ah"] == pytest.approx(60.0)
    assert Ground(tables).supply_wh[of] == pytest.approx(60.0 * 25.6)
    day = proof(ROOMY, catalog, TWO_BY_THREE)
    assert (day.full_ah, day.keep_ah) == pytest.approx((150.0, 90.0))
    assessment = day.assessment
    strings, links = 3 * (0.15 + 0.62 + 0.1), 3 * (0.3 + 0.1)
    cable_g = round(100 * (2 + strings + links)) + round(100 * (2 + strings))
    assert assessment.totals.mass_g == 30000 + 5200 + cable_g + 3 * 100 + 2 * 200
    for name, needs, has in (
        ("voltage_match", 24, 24),
        ("bank_current", 26.5, 180.0),
        ("interrupting", 6000.0, 6000.0),
        ("fuse_voltage", 25.6 * 14.4 / 12, 32.0),
    ):
        found = limit(name, assessment)
        assert (found.needs, found.has) == pytest.approx((needs, has))


@pytest.mark.parametrize(
    ("parallel", "device_a", "carries"),
    [(1, 30.0, True), (3, 82.5, True), (3, 82.7, False)],
)
def test_a_strings_fuse_carries_its_share_of_devices_the_motors_carries_none(
    parallel: int, device_a: float, carries: bool
) -> None:
    """40 A, a tenth above the most: the motor draws 26.5 A, three strings give (26.5 + d) / 3."""
    device = Device(name="pump", power_w=0.9 * 25.6 * device_a, duration_h=0.1)
    outing = ROOMY.model_copy(update={"devices": (device,)})
    kit = replace(TWO_BY_THREE, parallel=parallel)
    assert ("protection" not in broken(assess(kit, outing, banked(12.8)))) is carries


def test_the_hours_ask_for_strings_and_the_kit_has_them() -> None:
    """20 Ah a string at about 4.2 A: two last 9.5 h, three 14.3 h."""
    outing = ROOMY.model_copy(update={"legs": with_leg(duration_h=12.0).legs})
    assert choose(searching(outing, banked(12.8)), "cost").kit == TWO_BY_THREE


def test_series_add_up_to_the_voltage_that_turns_the_motor() -> None:
    """22.2 V, 21.46 V near the day's end, 5 % of it lost: 0.8495 of the motor's 24 V."""
    catalog = banked(11.1)
    for wind, reached in ((8.48, True), (8.51, False)):
        windy = with_leg(headwind_m_s=wind, duration_h=0.2)
        outing = ROOMY.model_copy(update={"legs": windy.legs})
        found = broken(assess(TWO_BY_THREE, outing, catalog))
        assert ("leg_speed" not in found) is reached
        assert is_chosen(outing, catalog) is reached


def test_strings_and_series_each_have_a_most_of_their_own() -> None:
    battery = BATTERY.model_copy(update={"max_series": 1, "max_parallel": 2})
    tables = types(ROOMY, replace(CATALOG, batteries=(battery,)))
    assert tables.bank_types[:, 1:3].tolist() == [[1, 1], [1, 2]]
    for series, parallel, kept in ((2, 3, True), (1, 3, False), (2, 2, False), (3, 4, True)):
        catalog = banked(12.8, series=series, parallel=parallel)
        assert ("bank_size" not in broken(assess(TWO_BY_THREE, ROOMY, catalog))) is kept
