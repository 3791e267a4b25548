"""The wiring sheet on screens of any width, and as data."""

import io
import json
import re

import pytest
from rich.console import Console

import keelwatt.json
from keelwatt.proof import Assessor
from keelwatt.report.screen import Screen
from keelwatt.report.wiring_sheet import wiring_sheet as show
from keelwatt.wiring import faults
from keelwatt.wiring.sheet import wiring_sheet
from wiring.kits import KITS, net_of, outing_of, shipped
from wiring.test_faults import SPOILT


def printed(name: str, width: int) -> str:
    net = net_of(name)
    out = io.StringIO()
    screen = Screen(Console(file=out, width=width, highlight=False, emoji=False))
    screen.print(show(net, wiring_sheet(net)))
    return out.getvalue()


@pytest.mark.parametrize("width", [40, 80, 120])
@pytest.mark.parametrize("name", KITS)
def test_no_line_is_too_wide_and_every_piece_is_there(name: str, width: int) -> None:
    text = printed(name, width)
    lines = [line.rstrip() for line in text.splitlines()]
    assert max(map(len, lines)) <= width
    together = " ".join(text.split())
    for conductor in net_of(name).conductors:
        assert f"{conductor.length_m:.2f} m" in together
    for heading in ("What to cut", "In order of work", "Tests, each before the next"):
        assert heading in lines
    assert "Do NOT build" not in text


@pytest.mark.parametrize("name", KITS)
def test_the_drop_of_every_piece_is_told_and_they_add_up(name: str) -> None:
    net, text = net_of(name), printed(name, 120)
    told = [int(drop) for drop in re.findall(r" (\d+) mV ", text)]
    assert told == [round(1000 * c.drop_v) for c in net.conductors]
    motor = Assessor(outing_of(name), shipped()).chosen(KITS[name][1]).motor
    ends_v = motor.current_a * (2 * 1.0393 / 58 / motor.lead[0] + 0.003)
    main_v = ends_v + sum(c.drop_v for c in net.main)
    assert (
        f"With {ends_v:.2f} V in the motor's own lead and the contacts, the motor's circuit loses "
        f"{main_v:.2f} V, {main_v / net.system_v:.1%}"
    ) in " ".join(text.replace(" % of", "% of").split())


def test_a_fault_is_told_first() -> None:
    name, _, spoil = SPOILT["a fuse that breaks too little"]
    net = spoil(net_of(name))
    out = io.StringIO()
    screen = Screen(Console(file=out, width=80, highlight=False, emoji=False))
    screen.print(show(net, wiring_sheet(net)))
    assert out.getvalue().strip().startswith("Do NOT build")
    assert "main fuse breaks 999 A" in out.getvalue()


@pytest.mark.parametrize("name", KITS)
def test_data_holds_the_whole_netlist(name: str) -> None:
    net = net_of(name)
    told = json.loads(keelwatt.json.text(keelwatt.json.wiring(net, wiring_sheet(net))))
    assert [c["number"] for c in told["conductors"]] == [c.number for c in net.conductors]
    assert [i["name"] for i in told["items"]] == [i.name for i in net.items]
    motor = next(c for c in told["circuits"] if c["name"] == "motor")
    total_v = sum(c["drop_v"] for c in told["conductors"] if c["circuit"] == "motor")
    amperes = next(i["current_a"] for i in told["items"] if i["name"] == "motor")
    assert motor["drop_v"] == pytest.approx(total_v + amperes * motor["ends_ohm"])
    assert told["faults"] == list(faults(net)) == []
    assert len(told["sheet"]["steps"]) == len(wiring_sheet(net).steps)
