"""The simulated days against the proof and against closed forms."""

from dataclasses import replace
from itertools import product

import numpy as np
import pytest
from scipy.optimize import brentq

from chance.days_apart import CHOPPED, NORMAL, UNDERWAY, CheapBoat, boat, column, days, only
from explain.answers import example, shipped
from keelwatt.boat.arrays import Floats
from keelwatt.chance import odds
from keelwatt.chance.odds import Boat, chances, simulate
from keelwatt.chance.spreads import Spreads
from keelwatt.files.kit import Kit
from keelwatt.files.outing import Device, Leg, Outing, outing_from_text
from keelwatt.physics import propeller
from keelwatt.proof import Assessor
from keelwatt.proof.ways import Way
from oracle.ledger import every_couple, some_kit, whole_table
from oracle.one_of_each import CATALOG, KIT, OUTING, with_leg, with_limits
from oracle.random_cases import random_case

N = 4000
ROOTS = 4.0 / N**0.5
"""Four standard errors of a share near a half, and more."""

SEED = 3

ON_A_LADDER = 1e-6
"""How near the proof finds the speed a step settles at, between the rungs of a ladder."""


def left_as_planned(of: Boat) -> float:
    (left,) = of.run(Spreads(of.case.outing).planned()).left_share
    return float(left)


def proved(of: Boat) -> float:
    """What the proof leaves, as a share of what a full bank holds."""
    chosen = of.chosen.battery
    full = chosen.capacity_ah * of.kit.parallel * of.case.full_share(chosen.chemistry)
    return 1.0 - of.assessment.used_ah / full


@pytest.mark.parametrize("kit", [KIT, CHOPPED], ids=["stepped", "chopper"])
@pytest.mark.parametrize("outing", [OUTING, UNDERWAY], ids=["holding", "underway"])
def test_the_day_as_planned_is_the_proofs(outing: Outing, kit: Kit) -> None:
    device = Device(name="logger", power_w=9.0, duration_h=3.0)
    for wanted in (outing, outing.model_copy(update={"devices": (device,)})):
        of = boat(wanted, kit)
        assert left_as_planned(of) == pytest.approx(proved(of), rel=ON_A_LADDER)


@pytest.mark.few(12)
@pytest.mark.parametrize("seed", range(40))
def test_the_day_as_planned_is_the_proofs_for_any_kit(seed: int) -> None:
    case = random_case(seed)
    couples = every_couple(case.search)
    if not (couples.bank.size and whole_table(case.search).run.size):
        pytest.skip("no kit")
    kit = some_kit(case.search, int(couples.bank[-1]), int(couples.drive[-1]))
    of = CheapBoat(case.assessor, kit)
    run = of.run(Spreads(case.outing).planned())
    broken = {limit.name for limit in of.assessment.broken}
    grams = of.assessment.totals.displacement_g
    assert run.in_time[0] == all(
        case.assessor.reaches(case.assessor.run(of.kit, of.chosen, grams, way))
        for leg in case.outing.legs
        if leg.driven
        for way in Way.of(leg)
    )
    if run.in_time[0]:
        assert run.left_share[0] == pytest.approx(proved(of), rel=1e-7, abs=1e-7)
        assert run.above_reserve[0] == ("hours" not in broken)


def test_resistance_is_the_direct_formula() -> None:
    """No grid: the ladder of waves serves every speed, as it serves the proof."""
    of = boat(UNDERWAY)
    speeds = np.linspace(0.0, 2.8, 101)
    direct = of.assessor.craft.water_n(speeds, of.assessment.totals.displacement_kg)
    assert of.running.water.water_n(speeds) == pytest.approx(direct, rel=1e-12)


@pytest.mark.usefixtures("sure_thrust")
def test_only_capacity_uncertain_is_a_lognormal_probability() -> None:
    """Kept where capacity exceeds used over usable: one normal integral."""
    outing = only(UNDERWAY, capacity_spread=0.1)
    of = boat(outing)
    for reserve in (0.2, 0.72, 0.75):
        limits = outing.limits.model_copy(update={"reserve": reserve})
        bound = boat(outing.model_copy(update={"limits": limits}))
        needed = bound.assessment.used_ah / bound.assessment.usable_ah
        true = 1.0 - NORMAL.cdf(np.log(needed) / 0.1)
        found = chances(simulate(bound, Spreads(bound.case.outing), N, SEED)).above_reserve
        assert found.share == pytest.approx(true, abs=ROOTS)
    run = simulate(of, Spreads(outing), N, SEED)
    drawn = Spreads(outing).normals(np.random.default_rng(SEED), N)
    own = drawn[:, Spreads(outing).columns["capacity"]][:, 0]
    expected = 1.0 - (1.0 - proved(of)) / np.exp(0.1 * own)
    assert run.left_share == pytest.approx(expected, rel=1e-12)


@pytest.mark.usefixtures("sure_thrust")
@pytest.mark.parametrize("kit", [KIT, CHOPPED], ids=["stepped", "chopper"])
def test_only_drag_uncertain_maps_quantile_to_quantile(kit: Kit) -> None:
    """What is left falls as drag grows, so its quantile is what that quantile of drag leaves."""
    outing = only(UNDERWAY, drag=0.2)
    run = simulate(boat(outing, kit), Spreads(outing), N, SEED)
    assert run.left_share.std() > 0.005
    drawn = Spreads(outing).normals(np.random.default_rng(SEED), N)[:, 0]
    for rank in (40, 400, 2000, 3600, 3960):
        factor = outing.craft.drag_factor * np.exp(0.2 * np.sort(drawn)[N - 1 - rank])
        craft = outing.craft.model_copy(update={"drag_factor": float(factor)})
        there = boat(outing.model_copy(update={"craft": craft}), kit)
        assert np.sort(run.left_share)[rank] == pytest.approx(proved(there), rel=1e-6)


@pytest.mark.parametrize("kit", [KIT, CHOPPED], ids=["stepped", "chopper"])
@pytest.mark.parametrize(("is_", "sigma"), [("claimed", 0.2), ("measured", 0.05)])
def test_only_thrust_uncertain_maps_quantile_to_quantile(kit: Kit, is_: str, sigma: float) -> None:
    """Its median is what is planned, 0.85 of a claim; a weaker propeller has a lower V_p too."""
    outing = only(UNDERWAY)

    def day(share: float) -> Boat:
        """With a thrust measured as this share of 85 N."""
        own = {"thrust_n": 85.0 * share, "no_thrust_speed_m_s": 3.0 * share**0.5}
        motor = CATALOG.motors[0].model_copy(update=own)
        return Boat(Assessor(outing, replace(CATALOG, motors=(motor,))), kit)

    planned_n = {"claimed": 100.0, "measured": 85.0}[is_]
    motor = CATALOG.motors[0].model_copy(update={"thrust_n": planned_n, "thrust_is": is_})
    drawn = Boat(Assessor(outing, replace(CATALOG, motors=(motor,))), kit)
    run = simulate(drawn, Spreads(outing), N, SEED)
    spreads = Spreads(outing)
    normals = spreads.normals(np.random.default_rng(SEED), N)[:, spreads.columns["thrust"]]
    own = np.sort(normals[:, 0])
    for rank in (400, 2000, 3600):
        there = proved(day(float(np.exp(sigma * own[rank]))))
        assert np.sort(run.left_share)[rank] == pytest.approx(there, rel=1e-6)


@pytest.mark.usefixtures("sure_thrust")
def test_only_wind_uncertain_on_a_boat_that_holds_its_place() -> None:
    """4 m/s: 16 N, the second step, 4.2 A; the more the wind the more charge, 21 Ah at 4 m/s."""
    outing = only(with_leg(headwind_m_s=3.8), gust_spread_m_s=0.5)
    run = simulate(boat(outing, KIT), Spreads(outing), N, SEED)
    beyond = (1.0 - run.left_share > 5 * 4.2 / 100.0).mean()
    true = 1.0 - NORMAL.cdf((4.0 - 3.8) / 0.5)
    assert beyond == pytest.approx(true, abs=ROOTS)


def test_temperature_and_age_scale_what_the_bank_holds() -> None:
    """0 degC is 32 degF, between 1.430 at 30 and 1.350 at 35; -10 is 14, 11 below 25's 1.520."""
    of = boat(OUTING)
    told = of.run(days(OUTING, battery_c=[25.0, 0.0, -10.0], capacity=[1.0, 0.8, 0.5]))
    planned = told.full_ah[0]
    assert planned == pytest.approx(100.0)
    assert told.full_ah[1:] == pytest.approx([80.0 / 1.398, 50.0 / (1.520 + 11 * 0.018)])
    used = (1.0 - told.left_share) * told.full_ah
    assert used == pytest.approx(np.full(3, used[0]))


def test_longer_legs_use_more_and_devices_go_with_them() -> None:
    device = Device(name="logger", power_w=9.0, duration_h=3.0)
    for outing in (UNDERWAY, UNDERWAY.model_copy(update={"devices": (device,)})):
        run = boat(outing).run(days(outing, length=column(np.array([1.0, 1.5]))))
        used = 1.0 - run.left_share
        assert used[1] == pytest.approx(1.5 * used[0])


HEAVY = 22.0
"""A drag factor at which the leg's speed is out of reach."""


def reached_m_s(kit: Kit) -> float:
    """The root of the direct formula: the shaft turns as fast as it can."""
    craft = UNDERWAY.craft.model_copy(update={"drag_factor": HEAVY})
    of = boat(UNDERWAY.model_copy(update={"craft": craft}), kit)
    (leg,), motor = UNDERWAY.legs, of.chosen.motor

    def spare(ground: float) -> float:
        """In volts, of the 11.02 V that a bank nearly empty leaves."""
        through = ground + leg.current_m_s
        craft, kilograms = of.assessor.craft, of.assessment.totals.displacement_kg
        water = craft.water_n(np.array([through]), kilograms)
        thrust = water + craft.air_n(np.array([ground]), leg.headwind_m_s)
        ratio = propeller.shaft_ratio(
            thrust_fraction=float(thrust[0]) / motor.thrust_n,
            speed_fraction=through / 3.0,
        )
        return 11.6 * 0.95 - 12.0 * float(ratio)

    return float(brentq(spare, 0.0, leg.speed_m_s, xtol=1e-9))


def slow_day_left(outing: Outing, kit: Kit) -> float:
    run = boat(outing, kit).run(days(outing, drag_factor=[HEAVY]))
    assert not run.in_time[0]
    return float(run.left_share[0])


@pytest.mark.parametrize("kit", [KIT, CHOPPED], ids=["stepped", "chopper"])
def test_out_of_reach_a_leg_is_run_as_fast_as_it_goes(kit: Kit) -> None:
    """The proof's day at the speed it finds is this day: distance kept, hours longer."""
    reached, (leg,) = reached_m_s(kit), UNDERWAY.legs
    assert 0.0 < reached < leg.speed_m_s
    times = leg.speed_m_s / reached
    slower = leg.model_copy(update={"speed_m_s": reached, "duration_h": leg.duration_h * times})
    craft = UNDERWAY.craft.model_copy(update={"drag_factor": HEAVY})
    there = boat(UNDERWAY.model_copy(update={"legs": (slower,), "craft": craft}), kit)
    assert slow_day_left(UNDERWAY, kit) == pytest.approx(proved(there), rel=10 * ON_A_LADDER)


def test_a_leg_by_hours_keeps_its_hours() -> None:
    (leg,) = UNDERWAY.legs
    by_hours = leg.model_copy(update={"by_distance": False})
    outing = UNDERWAY.model_copy(update={"legs": (by_hours,)})
    used = [1.0 - slow_day_left(day, CHOPPED) for day in (UNDERWAY, outing)]
    assert used[0] / used[1] == pytest.approx(leg.speed_m_s / reached_m_s(CHOPPED), rel=1e-6)


def test_where_not_even_its_place_is_held_the_day_is_not_home() -> None:
    run = boat(OUTING).run(days(OUTING, headwind_m_s=column(np.array([4.0, 9.0, 30.0]))))
    assert run.adrift.tolist() == [False, False, True]
    assert run.above_zero.tolist()[2] is False
    assert chances(run).adrift.hits == 1


def test_the_top_speed_is_judged_in_calm_water() -> None:
    outing = with_limits(top_speed_m_s=1.4)
    run = boat(outing).run(
        days(outing, drag_factor=[1.3, 30.0, 1.3], headwind_m_s=[[4.0], [4.0], [8.0]])
    )
    assert run.top_speed is not None
    assert run.top_speed.tolist() == [True, False, True]
    assert run.as_planned.tolist()[:2] == [True, False]
    assert chances(boat(OUTING).run(days(OUTING, capacity=[1.0]))).top_speed is None


@pytest.mark.parametrize(
    ("name", "kit"),
    [
        *product(("headwind_m_s", "drag_factor", "length"), (KIT, CHOPPED)),
        *product(("current_m_s",), (KIT, CHOPPED)),
    ],
)
def test_worse_never_leaves_more(name: str, kit: Kit) -> None:
    """But for a hundredth or less out of reach on a switch.

    It is counted there as steps alternated for the speed that a bank nearly empty reaches.
    """
    spans = {
        "headwind_m_s": np.linspace(-6.0, 12.0, 200),
        "drag_factor": np.linspace(0.5, 30.0, 200),
        "current_m_s": np.linspace(-1.0, 2.5, 200),
        "length": np.linspace(0.5, 2.0, 200),
    }
    values = spans[name]
    told = values if name == "drag_factor" else column(values)
    run = boat(UNDERWAY, kit).run(days(UNDERWAY, **{name: told}))
    left = run.left_share.clip(-1e9)
    eased = 5e-3 * (kit == KIT) * ~run.in_time[1:]
    assert (np.diff(left) <= 1e-9 * np.abs(left[1:]) + eased).all()


def test_days_are_drawn_the_same_in_one_piece_or_many(monkeypatch: pytest.MonkeyPatch) -> None:
    of, spreads = boat(UNDERWAY), Spreads(UNDERWAY)
    whole = simulate(of, spreads, 500, SEED)
    monkeypatch.setattr(odds, "CHUNK", 64)
    pieces = simulate(of, spreads, 500, SEED)
    assert (whole.left_share == pieces.left_share).all()
    assert not (whole.left_share == simulate(of, spreads, 500, SEED + 1).left_share).any()


def test_a_day_by_itself_is_that_day_among_others() -> None:
    of, spreads = boat(UNDERWAY), Spreads(UNDERWAY)
    normals: Floats = spreads.normals(np.random.default_rng(1), 50)
    together = of.run(spreads.days(normals)).left_share
    alone = [of.run(spreads.days(row[None, :])).left_share[0] for row in normals]
    assert together == pytest.approx(alone, rel=1e-12)


@pytest.mark.slow
@pytest.mark.usefixtures("sure_thrust")
def test_the_intervals_cover_the_true_chance_at_the_stated_rate() -> None:
    """400 seeds of 400 days each; 95 % give or take three standard errors, 3.3 %."""
    outing = only(UNDERWAY, capacity_spread=0.1)
    limits = outing.limits.model_copy(update={"reserve": 0.66})
    of = boat(outing.model_copy(update={"limits": limits}))
    needed = of.assessment.used_ah / of.assessment.usable_ah
    true = 1.0 - NORMAL.cdf(np.log(needed) / 0.1)
    assert 0.1 < true < 0.9
    covered = 0
    for seed in range(400):
        low, high = chances(simulate(of, Spreads(outing), 400, seed)).above_reserve.interval
        covered += low <= true <= high
    assert 0.917 <= covered / 400 <= 0.983


@pytest.mark.parametrize("name", ["reservoir-sampling", "harbour-dinghy"])
def test_examples_as_planned(name: str) -> None:
    """On the wave integral itself, streams and all."""
    outing, catalog = outing_from_text(example(name), "outing.toml"), shipped()
    box, mount = outing.craft.compartments[0].name, outing.craft.mounts[0].name
    kit = replace(
        KIT,
        battery="lfp-12v-100ah",
        compartment=box,
        motor="motor-12v-130n-stepped",
        mount=mount,
        cable="cable-10awg-75c",
        fuse="fuse-bolt-40a",
        connector="plug-30a",
    )
    of = Boat(Assessor(outing, catalog), kit)
    assert left_as_planned(of) == pytest.approx(proved(of), rel=ON_A_LADDER)


def test_a_leg_against_the_stream_only_is_slower_through_the_water() -> None:
    leg = Leg(name="up", speed_m_s=0.8, duration_h=1.0, current_m_s=0.4)
    outing = with_leg(**leg.model_dump())
    found = boat(outing).run(days(outing, current_m_s=column(np.array([0.4, 0.0]))))
    still = boat(with_leg(**leg.model_copy(update={"current_m_s": 0.0}).model_dump()))
    assert found.left_share[1] == pytest.approx(left_as_planned(still))
