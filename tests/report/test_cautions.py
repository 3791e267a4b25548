"""Cautions that hang on the kit: each at its bound, from common practice."""

from dataclasses import replace

import pytest

from keelwatt.boat.load_case import LoadCase
from keelwatt.proof import Assessor
from keelwatt.report.cautions import cautions
from oracle.one_of_each import CATALOG, CHARGER, KIT, OUTING, with_part

CHARGED = replace(KIT, charger="charger")


@pytest.mark.parametrize(
    ("chemistry", "parallel", "charger_a", "slow"),
    [
        ("agm", 1, 10.0, False),
        ("agm", 1, 9.9, True),
        ("flooded", 2, 19.9, True),
        ("flooded", 2, 20.0, False),
        ("lfp", 1, 5.0, False),
    ],
)
def test_lead_acid_wants_a_tenth_of_its_capacity(
    chemistry: str, parallel: int, charger_a: float, slow: bool
) -> None:
    """100 Ah a string (common practice)."""
    catalog = replace(
        with_part("batteries", chemistry=chemistry),
        chargers=(CHARGER.model_copy(update={"current_a": charger_a}),),
    )
    kit = replace(CHARGED, parallel=parallel)
    found = cautions(LoadCase(OUTING), kit, Assessor(OUTING, catalog).chosen(kit))
    told = " ".join(each.text for each in found)
    assert (f"A {charger_a:g} A charger is slow for {100 * parallel} Ah" in told) is slow


def test_without_a_charger_none_is_slow() -> None:
    chosen = Assessor(OUTING, CATALOG).chosen(KIT)
    found = cautions(LoadCase(OUTING), KIT, chosen)
    assert not any("charger is slow" in each.text for each in found)


@pytest.mark.parametrize(
    ("chemistry", "volts", "series", "advised"),
    [
        ("agm", 12.0, 4, True),
        ("agm", 12.0, 3, False),
        ("lfp", 12.8, 4, True),
        ("nmc", 44.0, 1, False),
        ("nmc", 44.1, 1, True),
    ],
)
def test_above_50_volts_of_charging_a_licensed_person_wires_it(
    chemistry: str, volts: float, series: int, advised: bool
) -> None:
    """57.6, 43.2 and 58.4 V; 3.7 V of other lithium are charged at 4.2: 49.95 and 50.06 V."""
    catalog = with_part("batteries", chemistry=chemistry, voltage_v=volts, max_series=4)
    kit = replace(KIT, series=series)
    found = cautions(LoadCase(OUTING), kit, Assessor(OUTING, catalog).chosen(kit))
    told = " ".join(each.text for each in found)
    assert ("have a licensed person wire it" in told) is advised
