"""Every rule of the wiring, held against a netlist alone."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from math import isclose

from keelwatt.files.kit import just_above, just_below
from keelwatt.physics import protection
from keelwatt.wiring.model import BANK, Conductor, Netlist, Pole, Terminal

SHEATHED_WITHIN_M = 1.016
"""Longest conductor before its fuse, if sheathed throughout: 40 inches (33 CFR 183.455(b)(2))."""

REMEDIES = {
    "closed": "join it, so that every load reaches plus and minus of the whole bank",
    "polarity": "join plus to plus and minus to minus",
    "source": "put a fuse within 178 mm (7 in) of where the current comes from",
    "fuse": "name the fuse that current passes last",
    "rating": "take a part of a higher rating",
    "ampacity": "take thicker cable or a smaller fuse",
    "conductor": "take thicker cable",
    "drop": "take thicker cable, or bring the two ends nearer",
    "cut": "cut plus and minus to the same length",
    "interrupting": "take a fuse that breaks a larger short circuit",
    "fuse voltage": "take a fuse for a higher voltage",
    "connector size": "take a connector made for this cable",
    "joint": "take bars that carry the strings' fuses together",
    "inlet": "take an inlet unlike the motor's connector, so that the two cannot be mixed up",
    "link": "keep it short, in a sheath, and the batteries side by side",
}
"""What to do about a fault, by the name of the rule."""


@dataclass(frozen=True)
class Fault:
    """A rule of ``REMEDIES`` that is broken, where, and the numbers."""

    rule: str
    at: str
    what: str

    @property
    def remedy(self) -> str:
        return REMEDIES[self.rule]


def faults(net: Netlist) -> tuple[Fault, ...]:
    return tuple(fault for rule in _RULES for fault in rule(net))


def _named(conductor: Conductor) -> str:
    return f"conductor {conductor.number}"


def _feeding(net: Netlist, terminal: Terminal) -> tuple[Conductor, ...]:
    return tuple(c for c in net.conductors if c.end == terminal)


def _way_back(net: Netlist, terminal: Terminal) -> tuple[Conductor, ...]:
    """Conductors from a terminal back to a battery or a joint, the nearest first.
    Shorter than that where a conductor is missing, or two feed one terminal."""
    way = list[Conductor]()
    while len(feeding := _feeding(net, terminal)) == 1 and feeding[0] not in way:
        way.append(feeding[0])
        terminal = feeding[0].start
        if net.kinds.get(terminal.item) in {"battery", "joint"}:
            break
    return tuple(way)


def _poles(net: Netlist) -> Iterator[Fault]:
    polarities = {("+", "+"): "positive", ("-", "-"): "negative", ("-", "+"): "link"}
    for c in net.conductors:
        batteries = {net.kinds.get(c.start.item), net.kinds.get(c.end.item)} == {"battery"}
        if polarities.get((c.start.pole, c.end.pole)) != c.polarity or (
            c.polarity == "link" and not batteries
        ):
            what = f"joins {c.start.item} {c.start.pole} to {c.end.item} {c.end.pole}"
            yield Fault("polarity", _named(c), what)


def _closed(net: Netlist) -> Iterator[Fault]:
    poles: tuple[Pole, Pole] = ("+", "-")
    for circuit in net.circuits:
        for pole in poles if circuit.load else ():
            way = _way_back(net, Terminal(circuit.load or "", pole))
            if not way or way[-1].start not in _origins(net, pole):
                yield Fault("closed", circuit.told, f"its {pole} does not reach the bank")
    for minus, plus in ((a, b) for s in net.strings for a, b in pairwise(s)):
        if [c.start for c in _feeding(net, Terminal(plus, "+"))] != [Terminal(minus, "-")]:
            yield Fault("closed", plus, f"its + is not joined to {minus} -")


def _origins(net: Netlist, pole: Pole) -> tuple[Terminal, ...]:
    """Where circuits may begin: the end of the only string, or a joint all strings reach."""
    ends = [Terminal(s[0] if pole == "+" else s[-1], pole) for s in net.strings]
    if len(ends) == 1:
        return tuple(ends)
    joints = (Terminal(item.name, pole) for item in net.items if item.kind == "joint")
    return tuple(
        joint
        for joint in joints
        if sorted(map(repr, (_start(net, c) for c in _feeding(net, joint))))
        == sorted(map(repr, ends))
    )


def _start(net: Netlist, conductor: Conductor) -> Terminal | None:
    """The battery's post a conductor into a joint comes from."""
    if net.kinds.get(conductor.start.item) == "battery":
        return conductor.start
    way = _way_back(net, conductor.start)
    return way[-1].start if way else None


def _sources(net: Netlist) -> Iterator[Fault]:
    """Each plus that leaves a battery or joint meets a fuse within 7 in (33 CFR 183.455)."""
    for c in net.conductors:
        if c.polarity != "positive" or net.kinds.get(c.start.item) not in {"battery", "joint"}:
            continue
        if net.kinds.get(c.end.item) != "fuse":
            yield Fault("source", _named(c), f"runs from {c.start.item} without a fuse")
        elif c.length_m > just_above(protection.FUSE_WITHIN_M):
            what = f"{1000 * c.length_m:.0f} mm from {c.start.item} to its fuse"
            yield Fault("source", _named(c), what)


def _guarded(net: Netlist) -> Iterator[Fault]:
    """The fuse a conductor names is the one its current passes, or passed last."""
    for c in net.conductors:
        if c.polarity == "link":
            continue
        if c.polarity == "positive":
            back = (w.start.item for w in _way_back(net, c.start))
            on_the_way = [c.end.item, c.start.item, *back]
            passed = next((name for name in on_the_way if net.kinds.get(name) == "fuse"), None)
            right = c.fuse is not None and c.fuse == passed
        else:
            right = any(i.name == c.fuse and i.circuit == c.circuit for i in net.items)
        if not right:
            yield Fault("fuse", _named(c), f"is said to be protected by {c.fuse or 'nothing'}")


def _ratings(net: Netlist) -> Iterator[Fault]:
    margins = {"fuse": protection.smallest_fuse_a, "controller": protection.smallest_controller_a}
    for item in net.items:
        margin = margins.get(item.kind)
        least = float(margin(max_current_a=item.current_a)) if margin else item.current_a
        if item.rating_a is not None and item.rating_a < just_below(least):
            what = f"is for {item.rating_a:g} A; {least:.3g} A is the least"
            yield Fault("rating", item.name, what)


def _joints(net: Netlist) -> Iterator[Fault]:
    """A shorted joint is fed by all strings, each through its own fuse."""
    fuses = [i.rating_a or 0.0 for i in net.items if i.kind == "fuse" and i.circuit == BANK]
    for item in net.items:
        if item.kind == "joint" and (item.rating_a or 0.0) < just_below(sum(fuses)):
            what = f"is for {item.rating_a or 0:g} A; the strings' fuses pass {sum(fuses):g} A"
            yield Fault("joint", item.name, what)


def _inlets(net: Netlist) -> Iterator[Fault]:
    """What a charger plugs into takes no motor, and what a motor plugs into no charger."""
    plugs = {item.told for item in net.items if item.kind == "connector"}
    for item in net.items:
        if item.kind == "inlet" and item.told in plugs:
            yield Fault("inlet", item.name, f"is of the motor's kind, {item.told}")


def _fuses(net: Netlist) -> Iterator[Fault]:
    for item in net.items:
        if item.kind != "fuse":
            continue
        if not item.interrupts_a or item.interrupts_a < just_below(net.short_circuit_a):
            what = f"breaks {item.interrupts_a or 0:g} A; a short gives {net.short_circuit_a:g} A"
            yield Fault("interrupting", item.name, what)
        if not item.max_voltage_v or item.max_voltage_v < just_below(net.charging_v):
            has = f"{net.charging_v:.1f} V on its charger"
            what = f"is for {item.max_voltage_v or 0:g} V; the bank has {has}"
            yield Fault("fuse voltage", item.name, what)


def _conductors(net: Netlist) -> Iterator[Fault]:
    """A conductor must stand what its fuse passes: full throttle on the fresh bank."""
    fuses = {item.name: item for item in net.items if item.kind == "fuse"}
    for c in net.conductors:
        wire, fuse = c.wire, fuses.get(c.fuse or "")
        current_a = fuse.current_a if fuse else c.current_a
        if wire.area_mm2 < just_below(protection.SMALLEST_CONDUCTOR_MM2):
            yield Fault("conductor", _named(c), f"{wire.size} is thinner than 16 AWG (1.31 mm2)")
        most = protection.largest_fuse_at_a(
            ampacity_a=wire.ampacity_a,
            over_ampacity=net.fuse_over_ampacity,
            bank_voltage_v=net.charging_v,
        )
        rating = (fuse.rating_a or 0.0) if fuse else 0.0
        if rating > just_above(float(most)) or current_a > just_above(wire.ampacity_a):
            what = f"{wire.size} carries {wire.ampacity_a:.0f} A; {current_a:.0f} A flow"
            behind = f", behind a fuse of {rating:g} A" if rating else ""
            yield Fault("ampacity", _named(c), what + behind)


def _drops(net: Netlist) -> Iterator[Fault]:
    for c in net.conductors:
        drop_v = c.wire.drop_v(c.length_m, c.current_a)
        if not (isclose(drop_v, c.drop_v) and isclose(drop_v / net.system_v, c.drop_share)):
            yield Fault("drop", _named(c), f"loses {drop_v:.3f} V, not {c.drop_v:.3f} V")
    for circuit in net.circuits:
        if circuit.most_drop is None:
            continue
        has, most = net.drop_v(circuit.name), circuit.most_drop * net.system_v
        if has > just_above(most):
            what = f"loses {has:.2f} V there and back; {most:.2f} V is the most"
            yield Fault("drop", circuit.told, what)


def _cuts(net: Netlist) -> Iterator[Fault]:
    """Plus and minus are as long as each other, up to every item both pass."""
    for circuit in net.circuits:
        if circuit.load:
            plus, minus = (_lengths_m(net, Terminal(circuit.load, pole)) for pole in ("+", "-"))
            yield from _unequal(circuit.told, plus, minus)
    leads = [(_string_m(net, s, "+"), _string_m(net, s, "-")) for s in net.strings]
    if any(not isclose(length, leads[0][0], abs_tol=1e-6) for pair in leads for length in pair):
        yield Fault("cut", "strings in parallel", f"leads of {leads} m")
    for c in net.conductors:
        if not c.length_m > 0.0:
            yield Fault("cut", _named(c), "has no length")


def _unequal(told: str, plus: dict[str, float], minus: dict[str, float]) -> Iterator[Fault]:
    for item in [*(name for name in plus if name in minus), "the bank"]:
        if not isclose(plus.get(item, 0.0), minus.get(item, 0.0), abs_tol=1e-6):
            what = f"{plus[item]:.3f} m of plus and {minus[item]:.3f} m of minus from {item}"
            yield Fault("cut", told, what)


def _lengths_m(net: Netlist, load: Terminal) -> dict[str, float]:
    """Metres from the load back to each item, and to the bank."""
    far, lengths = 0.0, dict[str, float]()
    for c in _way_back(net, load):
        far += c.length_m
        lengths[c.start.item] = far
    return lengths | {"the bank": far}


def _string_m(net: Netlist, string: tuple[str, ...], pole: Pole) -> float:
    """Metres from a string's end to its joint; 0 where there is none."""
    end, length_m = Terminal(string[0] if pole == "+" else string[-1], pole), 0.0
    bank = {c.start: c for c in net.of(BANK) if c.polarity != "link"}
    for _ in bank:
        if end in bank:
            length_m += bank[end].length_m
            end = bank[end].end
    return length_m


def _plugs(net: Netlist) -> Iterator[Fault]:
    for item in net.items:
        if item.smallest_mm2 is None or item.largest_mm2 is None:
            continue
        for c in net.conductors:
            fits = just_below(item.smallest_mm2) <= c.wire.area_mm2 <= just_above(item.largest_mm2)
            if item.name in {c.start.item, c.end.item} and not fits:
                yield Fault("connector size", item.name, f"does not take {c.wire.size}")


def _links(net: Netlist) -> Iterator[Fault]:
    for c in net.conductors:
        if c.polarity == "link" and c.length_m > just_above(SHEATHED_WITHIN_M):
            yield Fault("link", _named(c), f"is {c.length_m:.2f} m; 1.02 m (40 in) is the most")


_RULES = (
    _poles, _closed, _sources, _guarded, _ratings, _joints, _inlets, _fuses, _conductors, _drops,
    _cuts, _plugs, _links,
)  # fmt: skip
