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
    told = " ".join(cautions(LoadCase(OUTING), kit, Assessor(OUTING, catalog).chosen(kit)))
    assert (f"A {charger_a:g} A charger is slow for {100 * parallel} Ah" in told) is slow


def test_without_a_charger_none_is_slow() -> None:
    chosen = Assessor(OUTING, CATALOG).chosen(KIT)
    assert not any("charger is slow" in told for told in cautions(LoadCase(OUTING), KIT, chosen))
