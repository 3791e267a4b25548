"""What each key of an answer's JSON holds, by hand, on values that no two keys share."""

from dataclasses import replace
from math import inf
from types import SimpleNamespace
from typing import Any

import pytest

from keelwatt import json
from keelwatt.edit.whatif import Both
from keelwatt.explain.advise import decide
from keelwatt.explain.attempt import Attempt
from keelwatt.explain.prices import Found
from keelwatt.json.encoder import shaped
from keelwatt.json.shapes import CONTRACT, _day
from keelwatt.limits import Limit
from keelwatt.proof import prove
from keelwatt.proof.bill import BillLine
from oracle.cheap_water import CheapAssessor
from oracle.one_of_each import CATALOG, KIT, OUTING
from proof.reckoned import assess
from wiring.kits import net_of

TWO_BY_THREE = replace(KIT, series=2, parallel=3, charger="charger", box="box")
BEST = Found(TWO_BY_THREE, cost_cents=123_456, mass_g=7_890, season_units=45_000)
BUDGET = Limit("budget", "at most", needs=850.0, has=800.0, unit="money")
RIVAL = Found(KIT, cost_cents=100_000, mass_g=8_000, season_units=50_000)


def test_a_kit_says_what_is_where_and_how_many() -> None:
    assert json.plain(TWO_BY_THREE) == {
        "battery": {
            "id": "battery", "series": 2, "parallel": 3, "compartment": "stern", "box": "box",
        },
        "motor": {"id": "motor", "mount": "transom"},
        "controller": None,
        "cable": {"id": "cable", "run_m": 2.0},
        "fuse": "fuse",
        "connector": "connector",
        "charger": "charger",
    }  # fmt: skip


def test_sums_are_in_whole_currency_and_kilograms() -> None:
    """A season's unit is a hundredth of a cent."""
    assert json.plain(BEST) == {"price": 1234.56, "mass_kg": 7.89, "season_price": 4.5}


def test_text_keeps_the_signs_of_other_languages_and_has_no_end_without_end() -> None:
    assert json.text({"name": "Köder", "hours": inf}) == '{\n  "name": "Köder",\n  "hours": null\n}'


def test_a_picks_bill_is_in_whole_currency_and_its_charge_adds_up() -> None:
    advice = decide(OUTING, CATALOG)
    assert advice.proof is not None
    bill = advice.proof.assessment.bill
    assert bill is not None
    told = json.pick(advice)
    cents = [line.price_cents or 0 for line in bill.lines]
    assert told["totals"]["bill"] == pytest.approx(sum(cents) / 100)
    assert told["totals"]["price"] == told["totals"]["bill"]
    assert [line["price"] for line in told["bill"]] == [
        line.price_cents / 100 if line.price_cents is not None else None for line in bill.lines
    ]
    *taken, left = (step["ah"] for step in told["where_the_charge_goes"])
    assert sum(taken) == pytest.approx(left)
    assert {limit["name"] for limit in told["limits"]} >= {"hours", "leg_speed", "voltage_drop"}


def test_what_a_bill_holds_from_memory_is_in_whole_currency_too() -> None:
    """A battery of 200.00 priced from memory."""
    advice = decide(OUTING, CATALOG)
    assert advice.proof is not None
    bill = advice.proof.assessment.bill
    assert bill is not None
    lines = tuple(replace(line, typical=line.what == "battery") for line in bill.lines)
    assessment = replace(advice.proof.assessment, bill=replace(bill, lines=lines))
    told = json.pick(replace(advice, proof=replace(advice.proof, assessment=assessment)))
    assert told["totals"]["typical"] == 200.0


def test_a_day_ends_with_its_last_minute_and_each_leg_with_its_own() -> None:
    proof = prove(CheapAssessor(OUTING, CATALOG), KIT)
    day: Any = CONTRACT["Proof"]
    (end,) = day(proof)["charge_left"]
    assert (end["after"], end["at_h"]) == ("hold", pytest.approx(5.0))
    assert end["left_ah"] == proof.minutes[-1].left_ah < proof.minutes[-2].left_ah
    assert _day(proof)["left_ah"] == end["left_ah"]


def why(best: Found | None, rival: Found | None) -> dict[str, Any]:
    shape: Any = CONTRACT["Why"]
    told = ("part", "kind", "set_aside", "price_cents", "wins_at_cents", "rules", "attempt")
    known = dict.fromkeys((*told, "conflicts", "ways_out")) | {"verdict": "in the kit"}
    return shaped(SimpleNamespace(**known, best=best, rival=rival), shape)


def test_the_difference_is_what_the_rival_has_more() -> None:
    told = why(BEST, RIVAL)
    assert told["verdict"] == "in_the_kit"
    assert told["best"]["totals"] == json.plain(BEST)
    assert told["rival"]["kit"] == json.plain(KIT)
    assert told["difference"] == pytest.approx(
        {"price": -234.56, "mass_kg": 0.11, "season_price": 0.5}
    )
    assert why(None, RIVAL)["difference"] is why(BEST, None)["difference"] is None


def test_an_attempt_tells_the_rules_it_breaks() -> None:
    (broken,) = assess(replace(KIT, run_m=20.0)).broken
    assert isinstance(broken, Limit)
    told = json.plain(Attempt(TWO_BY_THREE, (broken,)))
    assert told == {
        "kit": json.plain(TWO_BY_THREE),
        "broken": [
            {
                "rule": "voltage_drop",
                "sense": "at most",
                "needs": broken.needs,
                "has": broken.has,
                "unit": broken.unit,
            }
        ],
    }


@pytest.mark.parametrize(("bought", "count"), [(3.0, 3.0), (0.0, 2.5)])
def test_a_line_counts_what_is_bought_or_what_is_needed_of_ones_own(
    bought: float, count: float
) -> None:
    line = BillLine(
        what="cable", part="cable", name="8 AWG", needed=2.5, bought=bought, unit="m",
        each_cents=250.0, price_cents=750, uses=("the motor",),
    )  # fmt: skip
    told = json.plain(line)
    assert (told["count"], told["price"], told["for"]) == (count, 7.5, ["the motor"])


def test_a_circuit_loses_what_lies_on_the_way_to_its_load_and_the_bank_its_own() -> None:
    net: Any = net_of("four strings of four")
    sheet: Any = SimpleNamespace(ends=(), places=(), steps=(), tests=(), notes=(), faults=())
    told = {it["name"]: it["drop_v"] for it in json.wiring(net, sheet)["circuits"]}
    assert told["bank"] == net.bank_drop_v > 0.0
    assert told["motor"] == net.drop_v("motor") > 0.0
    assert told["bank"] != told["motor"]


@pytest.mark.parametrize(
    "both",
    [Both("budget", None, BUDGET), Both("budget", BUDGET, None), Both("budget", BUDGET, BUDGET)],
)
def test_a_limit_asked_for_on_one_side_only_has_its_unit(both: Both) -> None:
    told = json.plain(both)
    assert told["unit"] == "money"
    rooms = [50.0 if side else None for side in (both.before, both.after)]
    assert [told["before"], told["after"]] == rooms
