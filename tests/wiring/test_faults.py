"""Each rule breaks when a sound wiring is spoiled, and only then."""

from collections.abc import Callable
from dataclasses import replace

import pytest

from keelwatt.wiring import Conductor, Item, Netlist, Terminal, faults
from keelwatt.wiring.faults import REMEDIES
from keelwatt.wiring.model import BANK, MOTOR
from wiring.kits import KITS, net_of

Spoil = Callable[[Netlist], Netlist]


def conductors(change: Callable[[Conductor], Conductor | None]) -> Spoil:
    """Change or leave out conductors."""

    def spoil(net: Netlist) -> Netlist:
        changed = tuple(new for c in net.conductors if (new := change(c)) is not None)
        assert changed != net.conductors
        return replace(net, conductors=changed)

    return spoil


def items(change: Callable[[Item], Item]) -> Spoil:
    def spoil(net: Netlist) -> Netlist:
        changed = tuple(map(change, net.items))
        assert changed != net.items
        return replace(net, items=changed)

    return spoil


def longer(c: Conductor, length_m: float, *, honest: bool = True) -> Conductor:
    """The conductor at another length, its drop told as it is then, or not."""
    cut = replace(c, length_m=length_m)
    if not honest:
        return cut
    drop_v = c.wire.drop_v(length_m, c.current_a)
    system_v = c.drop_v / c.drop_share
    return replace(cut, drop_v=drop_v, drop_share=drop_v / system_v)


def ends_at(c: Conductor, item: str, circuit: str = MOTOR) -> bool:
    return c.circuit == circuit and c.end.item == item


SPOILT: dict[str, tuple[str, str, Spoil]] = {
    "no minus at the motor": (
        "one battery",
        "closed",
        conductors(lambda c: None if c.end == Terminal("motor", "-") else c),
    ),
    "no plus at a device": (
        "one battery",
        "closed",
        conductors(lambda c: None if c.end == Terminal("device 1", "+") else c),
    ),
    "no link in a string": (
        "series",
        "closed",
        conductors(lambda c: None if c.polarity == "link" else c),
    ),
    "a string not joined": (
        "parallel",
        "closed",
        conductors(lambda c: None if c.start == Terminal("battery 2", "-") else c),
    ),
    "half a bank used": (
        "series",
        "closed",
        conductors(
            lambda c: (
                replace(c, start=Terminal("battery 1", "-"))
                if c.start == Terminal("battery 2", "-")
                else c
            )
        ),
    ),
    "plus joined to minus": (
        "one battery",
        "polarity",
        conductors(
            lambda c: (
                replace(c, start=Terminal("connector", "-"))
                if c.end == Terminal("motor", "+") or c.end == Terminal("speed control", "+")
                else c
            )
        ),
    ),
    "a fuse too far from the battery": (
        "one battery",
        "source",
        conductors(lambda c: longer(c, 0.18) if ends_at(c, "main fuse") else c),
    ),
    "a branch's fuse too far": (
        "parallel",
        "source",
        conductors(lambda c: longer(c, 0.2) if ends_at(c, "device 1 fuse", "device 1") else c),
    ),
    "a branch without a fuse": (
        "one battery",
        "source",
        conductors(
            lambda c: (
                None
                if ends_at(c, "device 1 fuse", "device 1")
                else replace(c, start=Terminal("battery", "+"))
                if c.start.item == "device 1 fuse"
                else c
            )
        ),
    ),
    "a string without its fuse": (
        "parallel",
        "source",
        conductors(
            lambda c: (
                replace(c, end=Terminal("plus joint", "+"), start=c.start)
                if c.end.item == "string 2 fuse"
                else None
                if c.start.item == "string 2 fuse"
                else c
            )
        ),
    ),
    "another fuse named": (
        "one battery",
        "fuse",
        conductors(lambda c: replace(c, fuse="device 1 fuse") if c.end.item == "connector" else c),
    ),
    "no fuse named": (
        "one battery",
        "fuse",
        conductors(lambda c: replace(c, fuse=None) if c.end.item == "motor" else c),
    ),
    "too small a connector": (
        "one battery",
        "rating",
        items(lambda i: replace(i, rating_a=35.0) if i.name == "connector" else i),
    ),
    "too small a fuse": (
        "one battery",
        "rating",
        items(lambda i: replace(i, rating_a=39.0) if i.name == "main fuse" else i),
    ),
    "too small a control": (
        "one battery",
        "rating",
        items(lambda i: replace(i, rating_a=44.0) if i.name == "speed control" else i),
    ),
    "too weak a battery": (
        "one battery",
        "rating",
        items(lambda i: replace(i, rating_a=38.0) if i.name == "battery" else i),
    ),
    "too large a fuse": (
        "one battery",
        "ampacity",
        items(lambda i: replace(i, rating_a=41.0) if i.name == "main fuse" else i),
    ),
    "too large a branch fuse": (
        "one battery",
        "ampacity",
        items(lambda i: replace(i, rating_a=30.0) if i.name == "device 1 fuse" else i),
    ),
    "too thin a conductor": (
        "one battery",
        "conductor",
        conductors(
            lambda c: (
                longer(replace(c, wire=replace(c.wire, area_mm2=1.0)), c.length_m)
                if c.circuit == "device 1"
                else c
            )
        ),
    ),
    "a length changed, its drop not": (
        "one battery",
        "drop",
        conductors(
            lambda c: longer(c, c.length_m + 0.1, honest=False) if c.end.item == "motor" else c
        ),
    ),
    "too long altogether": (
        "one battery",
        "drop",
        conductors(lambda c: longer(c, 4.0) if ends_at(c, "speed control") else c),
    ),
    "plus and minus unequal": (
        "one battery",
        "cut",
        conductors(
            lambda c: longer(c, c.length_m - 0.05) if c.end == Terminal("motor", "-") else c
        ),
    ),
    "unequal before the connector, equal in all": (
        "one battery",
        "cut",
        conductors(
            lambda c: (
                longer(c, c.length_m - 0.05)
                if c.end == Terminal("connector", "-")
                else longer(c, c.length_m + 0.05)
                if c.end == Terminal("speed control", "-")
                else c
            )
        ),
    ),
    "strings with unequal leads": (
        "parallel",
        "cut",
        conductors(
            lambda c: (
                longer(c, c.length_m + 0.2)
                if c.start.item == "battery 2" and c.polarity == "negative"
                else c
            )
        ),
    ),
    "a string of several with a longer lead": (
        "four strings of four",
        "cut",
        conductors(
            lambda c: (
                longer(c, c.length_m + 0.2)
                if c.circuit == BANK and c.start == Terminal("battery 4", "-")
                else c
            )
        ),
    ),
    "a fuse that breaks too little": (
        "one battery",
        "interrupting",
        items(lambda i: replace(i, interrupts_a=999.0) if i.name == "main fuse" else i),
    ),
    "a fuse for too low a voltage": (
        "series",
        "fuse voltage",
        items(lambda i: replace(i, max_voltage_v=23.0) if i.kind == "fuse" else i),
    ),
    "a connector for thicker cable": (
        "one battery",
        "connector size",
        items(lambda i: replace(i, smallest_mm2=6.0) if i.name == "connector" else i),
    ),
    "joints for what flows, not for what the fuses let through": (
        "parallel",
        "joint",
        items(lambda i: replace(i, rating_a=i.current_a) if i.kind == "joint" else i),
    ),
    "a charger's inlet of the motor's kind": (
        "one battery",
        "inlet",
        lambda net: items(
            lambda i: replace(i, told=net.item("connector").told) if i.kind == "inlet" else i
        )(net),
    ),
    "a long link": (
        "series",
        "link",
        conductors(lambda c: longer(c, 1.02) if c.polarity == "link" else c),
    ),
}


@pytest.mark.parametrize("how", SPOILT)
def test_a_spoilt_wiring_breaks_its_rule(how: str) -> None:
    name, rule, spoil = SPOILT[how]
    found = faults(spoil(net_of(name)))
    assert rule in {fault.rule for fault in found}
    for fault in found:
        assert fault.remedy
        assert fault.at
        assert fault.what


def test_every_rule_is_spoilt_somewhere() -> None:
    assert {rule for _, rule, _ in SPOILT.values()} == set(REMEDIES)


@pytest.mark.parametrize("name", KITS)
def test_no_conductor_and_no_protection_can_be_spared(name: str) -> None:
    net = net_of(name)
    for c in net.conductors:
        rest = tuple(other for other in net.conductors if other is not c)
        assert faults(replace(net, conductors=rest)), c.number
    for item in net.items:
        if item.kind == "fuse":
            others = tuple(other for other in net.items if other is not item)
            assert faults(replace(net, items=others)), item.name


@pytest.mark.parametrize(
    ("fuse", "ends"), [(None, " flow"), ("main fuse", "behind a fuse of 40 A")]
)
def test_cable_too_thin_is_told_with_the_fuse_there_is(fuse: str | None, ends: str) -> None:
    thin = conductors(
        lambda c: (
            replace(c, fuse=fuse, wire=replace(c.wire, ampacity_a=1.0))
            if c.end == Terminal("motor", "+")
            else c
        )
    )
    (what,) = (f.what for f in faults(thin(net_of("one battery"))) if f.rule == "ampacity")
    assert what.endswith(ends)


def test_the_policy_allows_a_larger_fuse() -> None:
    net = net_of("one battery")
    larger = items(lambda i: replace(i, rating_a=60.0) if i.name == "main fuse" else i)(net)
    assert "ampacity" in {fault.rule for fault in faults(larger)}
    assert faults(replace(larger, fuse_over_ampacity=1.5)) == ()
