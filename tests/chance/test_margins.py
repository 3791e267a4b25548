"""What a kit stands: closed forms, and the proof on either side of every end."""

import numpy as np
import pytest

from chance.days_apart import CHOPPED, UNDERWAY, boat
from keelwatt.chance.margins import STRAINS, Margin, Strain, margins
from keelwatt.files.kit import Kit
from keelwatt.files.outing import Outing
from keelwatt.proof import Assessor
from oracle.one_of_each import CATALOG, KIT, OUTING, with_leg

LITTLE = 1e-6


def told(outing: Outing, kit: Kit) -> dict[Strain, Margin]:
    return {margin.strain: margin for margin in margins(boat(outing, kit))}


def strained(outing: Outing, strain: Strain, amount: float) -> Outing:
    """The outing with one thing as bad as that."""
    if strain == "headwind":
        legs = tuple(
            leg.model_copy(update={"headwind_m_s": leg.headwind_m_s + amount})
            for leg in outing.legs
        )
        return outing.model_copy(update={"legs": legs})
    if strain == "drag":
        craft = outing.craft.model_copy(update={"drag_factor": amount})
        return outing.model_copy(update={"craft": craft})
    if strain == "ageing":
        policy = outing.policy.model_copy(update={"health": amount})
        return outing.model_copy(update={"policy": policy})
    water = outing.water.model_copy(update={"temperature_c": amount})
    return outing.model_copy(update={"water": water})


def broken(outing: Outing, kit: Kit) -> set[str]:
    return {limit.name for limit in Assessor(outing, CATALOG).assess(kit).broken}


@pytest.mark.parametrize(("kit", "hours"), [(KIT, 3.5), (CHOPPED, 4.0)], ids=["stepped", "chopper"])
@pytest.mark.parametrize("strain", ["headwind", "ageing", "drag"])
def test_the_proof_breaks_just_beyond(strain: Strain, kit: Kit, hours: float) -> None:
    leg = UNDERWAY.legs[0].model_copy(update={"duration_h": hours})
    day = UNDERWAY.model_copy(update={"legs": (leg,)})
    margin = told(day, kit)[strain]
    sign = np.sign(margin.end - margin.planned)
    for limit, amount in (("hours", margin.reserve_kept), ("leg_speed", margin.speed_kept)):
        if strain == "ageing" and limit == "leg_speed":
            assert amount == margin.end
            continue
        assert amount is not None
        assert amount != margin.end
        within = strained(day, strain, amount - sign * LITTLE)
        beyond = strained(day, strain, amount + sign * LITTLE)
        assert limit not in broken(within, kit)
        assert limit in broken(beyond, kit)


def test_age_in_closed_form() -> None:
    """What the day uses over what a new bank would give, reserve kept and not."""
    of = boat(UNDERWAY)
    margin = told(UNDERWAY, CHOPPED)["ageing"]
    used, usable = of.assessment.used_ah, of.assessment.usable_ah
    assert margin.planned == 1.0
    assert margin.reserve_kept == pytest.approx(used / usable, rel=1e-8)
    assert margin.not_flat == pytest.approx(used / 100.0, rel=1e-8)


def test_cold_in_closed_form() -> None:
    """The day uses 0.85 of 25 degC's: a cell 1/0.85 as large, 1.190 at 50 and 1.150 at 55 degF."""
    of = boat(UNDERWAY)
    (leg,) = UNDERWAY.legs
    hours = leg.duration_h * 0.85 * of.assessment.hours_at_limit
    outing = UNDERWAY.model_copy(update={"legs": (leg.model_copy(update={"duration_h": hours}),)})
    margin = told(outing, CHOPPED)["cold"]
    fahrenheit = 50.0 + 5.0 * (1.190 - 1.0 / 0.85) / (1.190 - 1.150)
    assert margin.reserve_kept == pytest.approx((fahrenheit - 32.0) / 1.8)
    assert margin.speed_kept == margin.end == -10.0


def test_wind_in_closed_form() -> None:
    """The shaft turns at a tenth of the wind, to 0.9183 near the day's end: 9.183 m/s.

    The second step holds 4 m/s; 5 h of 8 A of the bank's 100 Ah, and all of them, by the wind whose
    square lies between the thrusts of steps 2 to 4.
    """
    margin = told(OUTING, KIT)["headwind"]
    assert margin.planned == 0.0
    assert margin.speed_kept == pytest.approx(11.6 * 0.95 / 1.2 - 4, abs=1e-7)
    for amount, ah in ((margin.reserve_kept, 40.0), (margin.not_flat, 100.0)):
        amperes = 5 * (ah / 25) ** (1 / 1.5)
        thrust_n = np.interp(amperes, [4.2, 8.2, 13.8], [16, 36, 64])
        assert amount == pytest.approx(np.sqrt(thrust_n) - 4, abs=1e-6)


def test_what_breaks_as_planned_stands_nothing() -> None:
    margin = told(with_leg(duration_h=11.0), KIT)["headwind"]
    assert margin.reserve_kept is None
    assert margin.speed_kept == pytest.approx(11.6 * 0.95 / 1.2 - 4, abs=1e-7)


def test_every_strain_is_told_once_in_its_unit() -> None:
    found = margins(boat(OUTING, KIT))
    assert [(margin.strain, margin.unit) for margin in found] == list(STRAINS.items())
