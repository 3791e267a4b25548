"""What must hold of every outing and catalog, on random cases."""

from dataclasses import replace
from math import inf
from random import Random
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from keelwatt.boat.load_case import LoadCase
from keelwatt.boat.resistance import Resistance
from keelwatt.choose.best import choose
from keelwatt.choose.search import Search
from keelwatt.choose.sums import Measure
from keelwatt.files.catalog.reader import Catalog
from keelwatt.files.outing import Limits, Outing
from keelwatt.limits import LIMITS
from keelwatt.proof.craft import Craft
from oracle.cheap_water import CheapAssessor, CheapLoadCase
from oracle.enumeration import sound_kits
from oracle.one_of_each import OUTING
from oracle.random_cases import Case, random_case
from oracle.random_parts import catalog_of

MEASURES: tuple[Measure, ...] = ("cost", "mass", "season")

AT_MOST = ("budget_cents", "season_cents", "kit_mass_kg", "lift_kg", "recharge_within_h")
AT_LEAST = ("top_speed_m_s", "reserve", "payload_margin_kg")
ANGLES = ("max_trim_rad", "max_heel_rad")
"""Not the voltage drop: a smaller one asks for thicker cable, but leaves the motor more speed."""


SEEDS = range(8000, 8400)


def value(outing: Outing, catalog: Catalog, by: Measure) -> float:
    """The best measure, without end where no kit is possible."""
    measures = choose(Search(CheapLoadCase(outing), catalog), by).measures
    return inf if measures is None else measures[by]


def base(seed: int) -> tuple[Case, Measure, float]:
    case, by = random_case(seed), MEASURES[seed % 3]
    return case, by, value(case.outing, case.catalog, by)


def with_limits(outing: Outing, **update: Any) -> Outing:
    return outing.model_copy(update={"limits": outing.limits.model_copy(update=update)})


@pytest.mark.few(6)
@pytest.mark.parametrize("seed", SEEDS)
def test_tighter_limits_never_improve_and_looser_ones_never_worsen(seed: int) -> None:
    check_limits(seed)


def test_nor_where_a_charger_trims_the_boat() -> None:
    check_limits(8368)


def check_limits(seed: int) -> None:
    """But where a time to recharge is wished: what is kept in reserve need not be recharged, and
    where none is, no charger is bought, whose inlet may have trimmed the boat."""
    case, by, known = base(seed)
    limits: Limits = case.outing.limits
    for name in (*AT_MOST, *AT_LEAST, *ANGLES):
        bound = getattr(limits, name)
        if bound is None or (name == "reserve" and limits.recharge_within_h is not None):
            continue
        less, more = (type(bound)(bound * times) for times in (0.8, 1.25))
        tighter, looser = (more, less) if name in AT_LEAST else (less, more)
        assert value(with_limits(case.outing, **{name: tighter}), case.catalog, by) >= known
        assert value(with_limits(case.outing, **{name: looser}), case.catalog, by) <= known
        if name == "recharge_within_h":
            untrimmed = {LIMITS[tilt].field: LIMITS[tilt].loosest_si for tilt in ("trim", "heel")}
            timed, lifted = (
                value(with_limits(case.outing, **untrimmed, **wish), case.catalog, by)
                for wish in (dict[str, None](), {name: None})
            )
            assert lifted <= timed
        elif name not in ("reserve", "payload_margin_kg", *ANGLES):
            assert value(with_limits(case.outing, **{name: None}), case.catalog, by) <= known


@pytest.mark.few(12)
@pytest.mark.parametrize("seed", SEEDS)
def test_a_new_part_never_worsens_the_answer(seed: int) -> None:
    """But for cables and fuses: branches take the cheapest of each, not the least of both."""
    case, by, known = base(seed)
    others = catalog_of(Random(-seed))
    for kind, parts in others.kinds().items():
        if parts and kind not in {"cables", "fuses"}:
            new = parts[0].model_copy(update={"id": "new"})
            shelf: dict[str, Any] = {kind: (new, *case.catalog.kinds()[kind])}
            assert value(case.outing, replace(case.catalog, **shelf), by) <= known


@pytest.mark.few(12)
@pytest.mark.parametrize("seed", SEEDS)
def test_more_hours_and_more_wind_never_improve_the_answer(seed: int) -> None:
    """More speed may: on one step of a stepped control the propeller is the lighter, the faster."""
    case, by, known = base(seed)
    for field in ("duration_h", "headwind_m_s"):
        legs = tuple(
            leg.model_copy(update={field: max(getattr(leg, field) * 1.2, getattr(leg, field))})
            for leg in case.outing.legs
        )
        harder = case.outing.model_copy(update={"legs": legs})
        assert value(harder, case.catalog, by) >= known


@pytest.mark.few(12)
@pytest.mark.parametrize("seed", SEEDS)
def test_what_is_owned_never_costs_more(seed: int) -> None:
    check_owned(seed)


def test_nor_where_a_heavy_fitting_is_owned() -> None:
    check_owned(8385)


def check_owned(seed: int) -> None:
    """Fittings that weigh nothing: branches take the cheapest, which may be a heavy one you own."""
    case, by = random_case(seed), MEASURES[seed % 3]
    fittings = tuple(each.model_copy(update={"mass_kg": 0.0}) for each in case.catalog.fittings)
    catalog = replace(case.catalog, fittings=fittings)
    known = value(case.outing, catalog, by)
    ids = tuple(part.id for parts in case.catalog.shelves().values() for part in parts)
    parts = case.outing.parts.model_copy(update={"own": ids, "own_pieces": {}})
    policy = case.outing.policy.model_copy(update={"typical_prices": False})
    owned = case.outing.model_copy(update={"parts": parts, "policy": policy})
    cost = value(owned, catalog, "cost")
    assert cost in (0, inf)
    if known < inf:
        assert cost == 0


@settings(max_examples=40, deadline=None, derandomize=True)
@given(st.integers(8000, 8200), st.floats(1.0, 5.0), st.integers(0, 10**6))
def test_a_longer_outing_never_needs_less_charge(seed: int, times: float, pick: int) -> None:
    case = random_case(seed)
    kits = list(sound_kits(case.outing, case.catalog))
    if not kits:
        return
    kit = kits[pick % len(kits)]
    longer = case.outing.model_copy(
        update={
            "legs": tuple(
                leg.model_copy(update={"duration_h": leg.duration_h * times})
                for leg in case.outing.legs
            )
        }
    )
    needed = case.assessor.assess(kit)
    more = CheapAssessor(longer, case.catalog).assess(kit)
    assert more.used_ah >= needed.used_ah
    assert more.hours_at_limit <= needed.hours_at_limit


@settings(max_examples=15, deadline=None, derandomize=True)
@given(
    st.tuples(st.floats(3.0, 5.5), st.floats(0.6, 1.2), st.sampled_from([2, 4, 6, 8])),
    st.floats(90.0, 250.0),
    st.floats(1.001, 1.6),
    st.none() | st.floats(0.15, 4.0),
    st.sampled_from([(), ((1.0, 12.0),), ((0.9, 9.0), (1.8, 70.0))]),
)
def test_resistance_grows_with_load_and_speed(
    size: tuple[float, float, int],
    displacement_kg: float,
    times: float,
    depth_m: float | None,
    towed: tuple[tuple[float, float], ...],
) -> None:
    """In deep and in shallow water, by its shape or as it was towed; and so the proof has it."""
    names = ("waterline_length_m", "waterline_beam_m", "fullness")
    update = dict(zip(names, size, strict=True)) | {"towed": towed}
    craft = OUTING.craft.model_copy(update=update)
    leg = OUTING.legs[0].model_copy(update={"depth_m": depth_m})
    outing = OUTING.model_copy(update={"craft": craft, "legs": (leg,)})
    load_case = LoadCase(outing)
    speeds, depth = np.linspace(0.3, 2.2, 12), depth_m or inf
    light, laden = (
        Resistance.exact(load_case, kilograms, 2.2).water_n(speeds, np.array([depth]))
        for kilograms in (displacement_kg, displacement_kg * times)
    )
    proved = Craft(outing).water_n(speeds, displacement_kg, depth)
    np.testing.assert_allclose(light, proved, rtol=1e-9)
    assert np.all(laden > light)
    assert np.all(np.diff(light) > 0.0)
    assert np.all(np.diff(laden) > 0.0)
