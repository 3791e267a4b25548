"""What to bring home: every piece of the netlist, whole lengths, owned parts, what has no price."""

from collections import Counter, defaultdict
from dataclasses import replace
from math import ceil
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drawings.boats import POSSIBLE, advised
from keelwatt.files.kit import Kit
from keelwatt.files.outing import Outing, Parts
from keelwatt.physics import joining
from keelwatt.proof import Assessor
from keelwatt.proof.bill import WHAT, Bill
from keelwatt.wiring import Netlist, netlist
from keelwatt.wiring.model import BANK, MOTOR
from oracle.enumeration import measures
from oracle.random_cases import random_case
from wiring.kits import KITS, outing_of, shipped, wired
from wiring.test_netlist import any_kit

MAIN = {BANK, MOTOR}
LUGGED = {"battery", "joint", "fuse", "motor"}


def bill_of(kit: Kit, outing: Outing, assessor: Assessor | None = None) -> Bill:
    found = (assessor or Assessor(outing, shipped())).assess(kit).bill
    assert found
    return found


def bill(name: str, **policy: object) -> Bill:
    outing = outing_of(name)
    changed = outing.policy.model_copy(update=policy)
    return bill_of(KITS[name][1], outing.model_copy(update={"policy": changed}))


def check_covers(net: Netlist, bill: Bill, unit_m: float) -> None:
    """Item by item and circuit by circuit the bill is what the netlist asks for."""
    needed: dict[tuple[str, str], float] = defaultdict(float)
    bought: dict[tuple[str, str], int] = defaultdict(int)
    lugs = 0
    for circuits in (MAIN, *({it.name} for it in net.circuits if it.name not in MAIN)):
        used: dict[tuple[str, str], float] = defaultdict(float)
        for c in net.conductors:
            if c.circuit in circuits:
                used[c.wire.got.told, c.colour] += c.length_m
                ends = (net.kinds[c.start.item], net.kinds[c.end.item])
                lugs += sum(kind in LUGGED for kind in ends)
        for key, length_m in used.items():
            needed[key] += length_m / unit_m
            bought[key] += ceil(round(length_m / unit_m, 6))
    lines = [line for line in bill.lines if line.what == "cable"]
    assert {(line.name, line.colour) for line in lines} == set(needed)
    for key, length in needed.items():
        alike = [line for line in lines if (line.name, line.colour) == key]
        assert sum(line.needed for line in alike) == pytest.approx(length)
        if not any(line.owned for line in alike):
            assert sum(line.bought for line in alike) == bought[key]
    assert sum(line.needed for line in bill.lines if line.what == "lug") == lugs
    pieces = {"fuse": "fuse", "connector": "connector", "joint": "bus bar", "inlet": "inlet"}
    for kind, what in pieces.items():
        has = Counter[str]()
        for line in bill.lines:
            has[line.part or line.name] += int(line.needed) * (line.what == what)
        assert +has == Counter(it.part or it.told for it in net.items if it.kind == kind)


@pytest.mark.parametrize("name", KITS)
@pytest.mark.parametrize("cable_by", ["metre", "foot"])
def test_the_bill_is_what_the_netlist_asks_for(name: str, cable_by: str) -> None:
    net = wired(KITS[name][1], outing_of(name), shipped())
    check_covers(net, bill(name, cable_by=cable_by), 0.3048 if cable_by == "foot" else 1.0)


@pytest.mark.parametrize(
    ("name", "what"),
    [
        ("one battery", "MAIN_LUGS"),
        ("one battery", "BRANCH_LUGS"),
        ("parallel", "STRING_LUGS"),
        ("series", "LINK_LUGS"),
    ],
)
def test_a_bill_one_lug_short_is_noticed(
    name: str, what: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(joining, what, getattr(joining, what) - 1)
    net = wired(KITS[name][1], outing_of(name), shipped())
    with pytest.raises(AssertionError):
        check_covers(net, bill(name), 1.0)


@settings(max_examples=80, deadline=None)
@given(seed=st.integers(0, 40), draw=st.integers(0, 10**6))
def test_the_bill_is_the_kits_price_to_the_cent(seed: int, draw: int) -> None:
    case = random_case(seed)
    kit = any_kit(Random(draw), case)
    assessment = case.assessor.assess(kit)
    assert assessment.bill
    by_hand = measures(case.outing, case.catalog, kit)
    assert assessment.bill.price_cents == assessment.totals.price_cents == by_hand["cost"]
    assert assessment.totals.season_units == by_hand["season"]
    net = netlist(kit, case.assessor.chosen(kit), case.load_case, case.catalog)
    check_covers(net, assessment.bill, case.outing.cable_unit_m)


@pytest.mark.parametrize("name", KITS)
def test_lines_come_in_the_order_one_shops_each_part_once(name: str) -> None:
    lines = bill(name).lines
    places = [WHAT.index(line.what) for line in lines]
    assert places == sorted(places)
    assert len({(line.what, line.part, line.name, line.colour) for line in lines}) == len(lines)
    assert all(line.uses[0] == "Motor" for line in lines if "Motor" in line.uses)


def test_the_shipped_catalog_prices_every_line() -> None:
    for name in KITS:
        assert bill(name, typical_prices=False).unpriced == (), name
        assert not bill(name).typical_cents


@pytest.mark.parametrize("name", [*POSSIBLE, "bird-count-canoe-owned"])
def test_no_shipped_example_has_a_line_without_a_price_of_its_own(name: str) -> None:
    proof = advised(name).proof
    assert proof
    assert proof.assessment.bill
    assert proof.assessment.bill.unpriced == ()
    assert proof.assessment.bill.typical_cents == 0


def test_owned_parts_cost_nothing_and_run_out() -> None:
    owned = Parts(
        own=("flooded-12v-50ah", "fuse-bolt-40a", "cable-10awg-75c", "lug-6mm2", "inlet-15a"),
        own_pieces={"flooded-12v-50ah": 1, "fuse-bolt-40a": 2, "inlet-15a": 1},
    )
    outing = outing_of("parallel").model_copy(update={"parts": owned})
    rows = {(row.part, row.colour): row for row in bill_of(KITS["parallel"][1], outing).lines}
    battery = rows["flooded-12v-50ah", ""]
    assert (battery.bought, battery.owned, battery.price_cents) == (1, False, 8200)
    fuses = rows["fuse-bolt-40a", ""]
    assert (fuses.needed, fuses.bought, fuses.price_cents) == (3, 1, 1200)
    red = rows["cable-10awg-75c", "red"]
    assert (red.owned, red.bought) == (True, 0)
    assert rows["lug-6mm2", ""].owned
    assert not rows["inlet-15a", ""].owned


def test_what_the_catalog_lacks_has_a_typical_price_or_none() -> None:
    outing = outing_of("parallel")
    kit, bare = KITS["parallel"][1], replace(shipped(), fittings=())
    typical = bill_of(kit, outing, Assessor(outing, bare))
    lacking = {"bus bar", "lug", "inlet", "converter", "hold-down", "terminal cover"}
    assert {line.what for line in typical.lines if line.typical} == lacking
    assert typical.typical_cents == sum(
        line.price_cents or 0 for line in typical.lines if line.part is None
    )
    policy = outing.policy.model_copy(update={"typical_prices": False})
    without = outing.model_copy(update={"policy": policy})
    unpriced = bill_of(kit, without, Assessor(without, bare))
    assert unpriced.price_cents == typical.price_cents - typical.typical_cents
    assert len(unpriced.unpriced) == len([line for line in typical.lines if line.typical])


def test_two_disconnects_are_two_pairs_and_owned_ones_run_out() -> None:
    name = "one battery"
    one, two = bill(name), bill(name, disconnects=2)
    (pair,) = [line for line in two.lines if line.what == "connector"]
    assert (pair.needed, pair.bought, pair.price_cents) == (2, 2, 2 * (pair.each_cents or 0))
    assert two.price_cents - one.price_cents == pair.each_cents
    assert two.mass_g - one.mass_g == pair.mass_g / 2
    outing = outing_of(name)
    changed = {
        "policy": outing.policy.model_copy(update={"disconnects": 2}),
        "parts": Parts(own=(pair.part or "",), own_pieces={pair.part or "": 1}),
    }
    owned = bill_of(KITS[name][1], outing.model_copy(update=changed))
    assert [line.bought for line in owned.lines if line.what == "connector"] == [1]


def test_a_device_of_another_voltage_has_a_converter() -> None:
    fed = outing_of("one battery")
    phone = fed.devices[0]
    assert phone.voltage_v == 5.0
    plain = phone.model_copy(update={"voltage_v": None})
    outing = fed.model_copy(update={"devices": (plain, *fed.devices[1:])})
    kit = KITS["one battery"][1]
    more = [line for line in bill_of(kit, fed).lines if line.what == "converter"]
    assert [(line.part, line.uses) for line in more] == [("converter-5v-3a", (phone.name,))]
    assert bill_of(kit, fed).price_cents - bill_of(kit, outing).price_cents == 950
    assert not [line for line in bill_of(kit, outing).lines if line.what == "converter"]


@pytest.mark.parametrize("name", KITS)
def test_as_many_pieces_are_bought_as_needed_and_one_of_what_a_boat_has_one_of(name: str) -> None:
    for line in bill(name).lines:
        if line.what != "cable":
            assert line.needed == line.bought
        if line.what in {"motor", "controller", "connector", "charger", "inlet", "converter"}:
            assert line.needed == 1
