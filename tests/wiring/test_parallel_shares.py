"""Whether parallel strings share the current equally: the nodes of the sheet's netlist, solved.

Batteries of 5 milliohm (from memory): the lower their own resistance, the more the leads decide.
"""

from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from keelwatt.physics.metric import conductor_ohm_m
from keelwatt.wiring import Netlist
from keelwatt.wiring.bank import JOINT
from keelwatt.wiring.model import BANK, Conductor, Item, Terminal, string_fuse
from wiring.kits import net_of

BATTERY_OHM, LUGS_OHM = 0.005, 0.0002

Floats = NDArray[np.float64]
Branch = tuple[str, str, float, float]
"""From, to, resistance [ohm], and the voltage it lifts from one to the other."""

EMF_V = 12.0


def currents(branches: list[Branch], plus: str, minus: str, drawn_a: float) -> Floats:
    """Of every branch from its start to its end, with a current drawn at two nodes."""
    nodes = sorted({n for start, end, *_ in branches for n in (start, end)} - {minus})
    at = {name: number for number, name in enumerate(nodes)}
    matrix, drawn = np.zeros((len(nodes), len(nodes))), np.zeros(len(nodes))
    drawn[at[plus]] -= drawn_a
    for start, end, ohm, lift in branches:
        for here, other, sign in ((start, end, -1), (end, start, 1)):
            if here not in at:
                continue
            matrix[at[here], at[here]] += 1 / ohm
            drawn[at[here]] += sign * lift / ohm
            if other in at:
                matrix[at[here], at[other]] -= 1 / ohm
    volts = {minus: 0.0, **dict(zip(nodes, np.linalg.solve(matrix, drawn), strict=True))}
    return np.array([(volts[a] - volts[b] + lift) / ohm for a, b, ohm, lift in branches])


def shares(branches: list[Branch], plus: str, minus: str, count: int) -> Floats:
    """Current of the first ``count`` branches over their mean, with 1 A drawn at two nodes."""
    first = currents(branches, plus, minus, 1.0)[:count]
    assert first.sum() == pytest.approx(1.0)
    return first * count


def lead_ohm(c: Conductor, length_m: float) -> float:
    wire = c.wire
    return LUGS_OHM + length_m * conductor_ohm_m(
        area_mm2=wire.area_mm2, by_area=wire.by_area, tinned=wire.tinned
    )


def node(net: Netlist, terminal: Terminal) -> str:
    """A fuse is one node: its own resistance is among the lugs'."""
    return f"{terminal.item} {'' if net.kinds[terminal.item] == 'fuse' else terminal.pole}"


PLUS, MINUS = (f"{JOINT[pole]} {pole}" for pole in "+-")


def sheet(
    net: Netlist, *, longer: float = 0.0, weaker: float = 0.0, battery_ohm: float = BATTERY_OHM
) -> list[Branch]:
    """With the sheet's leads; those of the first string longer, its batteries of more ohms.

    First the battery at the plus end of each string, in their order.
    """
    odd = {*net.strings[0], string_fuse(1)}
    ends = [string[0] for string in net.strings]
    rest = [name for string in net.strings for name in string[1:]]
    batteries = [
        (f"{name} -", f"{name} +", battery_ohm * (1 + weaker * (name in odd)), EMF_V)
        for name in (*ends, *rest)
    ]
    leads = [
        (
            node(net, c.start),
            node(net, c.end),
            lead_ohm(c, c.length_m * (1 + longer * bool({c.start.item, c.end.item} & odd))),
            0.0,
        )
        for c in net.of(BANK)
    ]
    return [*batteries, *leads]


def of_the_sheet(net: Netlist, *, longer: float = 0.0, weaker: float = 0.0) -> Floats:
    return shares(sheet(net, longer=longer, weaker=weaker), PLUS, MINUS, len(net.strings))


def post_to_post(net: Netlist, *, corners: bool) -> Floats:
    """Single batteries in a row, linked by 30 cm; drawn from one end, or across the corners."""
    names = [string[0] for string in net.strings]
    ohm = lead_ohm(net.of(BANK)[-1], 0.3)
    links = [(f"{a} {pole}", f"{b} {pole}", ohm, 0.0) for a, b in pairwise(names) for pole in "+-"]
    batteries = [(f"{name} -", f"{name} +", BATTERY_OHM, EMF_V) for name in names]
    minus = names[-1 if corners else 0]
    return shares([*batteries, *links], f"{names[0]} +", f"{minus} -", len(names))


TWO, FOUR = (net_of(name) for name in ("parallel", "four strings of four"))


def off(found: Floats) -> str:
    """The farthest from an equal share."""
    return f"{np.max(np.abs(found - 1)):.0%}".replace("%", " %")


@pytest.mark.parametrize("net", [TWO, FOUR], ids=["two", "four"])
def test_leads_of_one_length_share_equally(net: Netlist) -> None:
    np.testing.assert_allclose(of_the_sheet(net), 1.0, atol=1e-9)


def test_two_strings_by_hand() -> None:
    """Equal voltages: the current goes as one over the resistance of a string."""
    leads = [sum(lead_ohm(c, c.length_m) for c in TWO.of(BANK)[:3]) + BATTERY_OHM] * 2
    leads[0] += 0.2 * BATTERY_OHM
    by_hand = np.array(leads[::-1]) * 2 / sum(leads)
    np.testing.assert_allclose(of_the_sheet(TWO, weaker=0.2), by_hand, rtol=1e-9)


def test_how_far_off_strings_may_be() -> None:
    """In DEVELOPERS.md, beneath the table."""
    longer = of_the_sheet(TWO, longer=0.1)
    weaker = [off(of_the_sheet(net, weaker=0.2)) for net in (TWO, FOUR)]
    at_one_end = [off(post_to_post(net, corners=False)) for net in (TWO, FOUR)]
    told = (
        f"One string's leads 10 % longer: {off(longer)} off at most. "
        f"One string's batteries 20 % weaker: {weaker[0]} off with two strings, {weaker[1]} with "
        "four. Linked post to post and drawn from one end, as the sheet never has it: "
        f"{at_one_end[0]} off with two, {at_one_end[1]} with four; across the corners of four, "
        f"{off(post_to_post(FOUR, corners=True))}."
    )
    text = (Path(__file__).parents[2] / "DEVELOPERS.md").read_text(encoding="utf-8")
    assert told in " ".join(text.split()), told
    assert np.max(np.abs(longer - 1)) < 0.025


def string_fuses(net: Netlist) -> list[Item]:
    return [net.item(string_fuse(number + 1)) for number in range(len(net.strings))]


def amperes(value: float | None) -> float:
    assert value is not None
    return value


def used(net: Netlist, *, longer: float, weaker: float) -> float:
    """Most of a string fuse's rating at full throttle with every device."""
    unequal = of_the_sheet(net, longer=longer, weaker=weaker)
    equal = np.array([each.current_a / amperes(each.rating_a) for each in string_fuses(net)])
    return float(np.max(unequal * equal))


@pytest.mark.parametrize("net", [TWO, FOUR], ids=["two", "four"])
@pytest.mark.parametrize("longer", [-0.9, 0.0, 2.0])
@pytest.mark.parametrize("weaker", [-0.3, 0.0, 0.3])
def test_string_fuses_stand_unequal_strings(net: Netlist, longer: float, weaker: float) -> None:
    assert used(net, longer=longer, weaker=weaker) < 1.0


def in_a_short(net: Netlist, last: int) -> Floats:
    """Through each string fuse, the first string's posts joined from its first to a later battery.

    Batteries give the short circuit that the fuses were chosen for.
    """
    branches = sheet(net, battery_ohm=EMF_V * len(net.strings) / net.short_circuit_a)
    plus, minus = net.strings[0][0], net.strings[0][last]
    branches.append((f"{plus} +", f"{minus} -", 1e-4, 0.0))
    through = np.abs(currents(branches, PLUS, MINUS, 0.0))
    starts = [start for start, *_ in branches]
    return np.array([through[starts.index(f"{fuse.name} ")] for fuse in string_fuses(net)])


@pytest.mark.parametrize("net", [TWO, FOUR], ids=["two", "four"])
@pytest.mark.parametrize("last", [-1, 0], ids=["string", "battery"])
def test_string_fuses_break_a_short(net: Netlist, last: int) -> None:
    first, *others = in_a_short(net, last)
    fuse = string_fuses(net)[0]
    assert first == pytest.approx(sum(others))
    assert amperes(fuse.rating_a) < first < net.short_circuit_a <= amperes(fuse.interrupts_a)


def test_what_string_fuses_see() -> None:
    """In DEVELOPERS.md, beneath the table."""
    unequal = [used(net, longer=2.0, weaker=0.3) for net in (TWO, FOUR)]
    ratings = [f"{string_fuses(net)[0].rating_a:.0f} A" for net in (TWO, FOUR)]
    whole = [f"{in_a_short(net, -1)[0]:.0f} A" for net in (TWO, FOUR)]
    dead = in_a_short(FOUR, 0)[0]
    seen = [f"{each:.0%}".replace("%", " %") for each in unequal]
    told = (
        "One string's leads three times as long and its batteries 30 % weaker, the others' fuses "
        f"see {seen[0]} and {seen[1]} of their rating at full throttle. A string shorted across: "
        f"{whole[0]} through its fuse of {ratings[0]} with two strings, {whole[1]} through "
        f"{ratings[1]} with four; one dead battery of a string of four: {dead:.0f} A."
    )
    text = (Path(__file__).parents[2] / "DEVELOPERS.md").read_text(encoding="utf-8")
    assert told in " ".join(text.split()), told
