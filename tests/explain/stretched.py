"""An outing with one wish set to an amount, by hand, and the best kit for it by enumeration."""

from functools import lru_cache
from math import degrees, floor, radians

import numpy as np

from keelwatt.choose.question import Question
from keelwatt.explain.stretch import Over
from keelwatt.files.outing import Leg, Outing
from oracle.cheap_water import CheapAssessor
from oracle.enumeration import Answer, Measure, best_by_enumeration, priced_kits
from oracle.random_cases import MOST, Case, random_case


def with_distances(case: Case) -> Case:
    """Every other leg given by its distance."""
    legs = tuple(
        leg.model_copy(
            update={"by_distance": number % 2 == 0 and leg.driven and leg.speed_m_s > 0.0}
        )
        for number, leg in enumerate(case.outing.legs)
    )
    return Case(case.seed, case.outing.model_copy(update={"legs": legs}), case.catalog)


def leaning(case: Case, by: Measure) -> Case:
    """With a motor across, the best kit leans all but as far as it may."""
    pick = case.search.best(Question(by))
    assert pick is not None
    heel_rad = float(pick.block.angle_rad("turn_heel", np.array([pick.row]))[0])
    outing = stretched(case.outing, "turn_heel", 1.05 * degrees(heel_rad))
    return Case(case.seed, outing, case.catalog)


def stretched(outing: Outing, over: Over, amount: float) -> Outing:
    """The outing with nothing but this wish changed."""
    if over == "hours":
        times = amount / sum(leg.duration_h for leg in outing.legs)
        changes = {
            kind: tuple(
                part.model_copy(update={"duration_h": part.duration_h * times})
                for part in getattr(outing, kind)
            )
            for kind in ("legs", "devices")
        }
        return outing.model_copy(update=changes)
    if over == "speed":
        return outing.model_copy(update={"legs": tuple(_at(leg, amount) for leg in outing.legs)})
    name, value = {
        "top_speed": ("top_speed_m_s", amount),
        "budget": ("budget_cents", floor(100 * amount + 1e-6)),
        "season": ("season_cents", 100 * amount),
        "kit_mass": ("kit_mass_kg", amount),
        "lift": ("lift_kg", amount),
        "recharge": ("recharge_within_h", amount),
        "reserve": ("reserve", amount),
        "payload_margin": ("payload_margin_kg", amount),
        "trim": ("max_trim_rad", radians(amount)),
        "heel": ("max_heel_rad", radians(amount)),
        "turn_heel": ("turn_heel_rad", radians(amount)),
    }[over]
    limits = outing.limits.model_copy(update={name: value})
    return outing.model_copy(update={"limits": limits})


def _at(leg: Leg, share: float) -> Leg:
    longer = share if leg.by_distance and leg.driven else 1.0
    return leg.model_copy(
        update={"speed_m_s": leg.speed_m_s * share, "duration_h": leg.duration_h / longer}
    )


@lru_cache(MOST)
def answers(seed: int, timed: bool) -> tuple[Answer, ...]:
    """Every sound kit of a case, chargers with them where a recharge time is wished."""
    case = random_case(seed)
    hours = 1.0 if timed else None
    limits = case.outing.limits.model_copy(update={"recharge_within_h": hours})
    return priced_kits(case.outing.model_copy(update={"limits": limits}), case.catalog)


def best_of(case: Case, outing: Outing, by: Measure) -> Answer | None:
    """The best kit for a changed outing, judged kit by kit."""
    assessor = CheapAssessor(outing, case.catalog)
    timed = outing.limits.recharge_within_h is not None
    known = answers(case.seed, timed)
    return best_by_enumeration(lambda kit: assessor.assess(kit).holds, known, by)
