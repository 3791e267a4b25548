"""The wiring diagram: the motor's circuit downwards, then each branch as a line of its own."""

from collections.abc import Iterable, Iterator

from keelwatt import words
from keelwatt.drawings import electric
from keelwatt.drawings.marks import Box
from keelwatt.drawings.pen import BELOW, LINE, Pen, size_of
from keelwatt.drawings.svg import Drawing, group, lines
from keelwatt.units import shown
from keelwatt.wiring import Circuit, Conductor, Item, Netlist, Terminal
from keelwatt.wiring.model import BANK
from keelwatt.wiring.sheet import label

WIDTH = 400.0
PLUS, MINUS, MIDDLE = 24.0, 376.0, 200.0
"""Where the two sides of the motor's circuit run down, and half-way between."""

BESIDE = 16.0
"""From a wire to its text."""

SECTION = 62.0
"""Height of a piece of the motor's circuit between two items."""

ROW = 88.0
"""Height of a string, and of a branch."""

FEW = 3
"""From so many batteries in a string on, they bear their numbers only."""

MINUS_SIGN = "−"


def wiring(net: Netlist) -> Drawing:
    """The motor's circuit; every conductor bears its number in the cut list."""
    pen = _Diagram(net)
    pen.bank()
    pen.motor_circuit()
    pen.legend()
    batteries = sum(len(string) for string in net.strings)
    told = f"{batteries} {'battery' if batteries == 1 else 'batteries'} at the top."
    return pen.drawing("wiring", "Wiring diagram", [told, *_ways(net, [net.motor])])


def branches(net: Netlist) -> Drawing | None:
    """The branches beside the motor's circuit, numbered as there; None if it has none."""
    circuits = net.branches
    if not circuits:
        return None
    pen = _Diagram(net)
    pen.branches(circuits)
    pen.legend()
    return pen.drawing("branches", "Wiring of the branches", _ways(net, circuits))


def _ways(net: Netlist, circuits: Iterable[Circuit]) -> Iterator[str]:
    for circuit in circuits:
        ways = ", then ".join(
            f"{label(net, c.end)} ({shown.wire(c.wire.size, c.wire.area_mm2)}, "
            f"{shown.run(c.length_m)})"
            for c in net.of(circuit.name)
            if c.polarity == "positive"
        )
        yield f"{circuit.told}: plus runs to {ways}; minus back beside it."


class _Diagram(Pen):
    def __init__(self, net: Netlist) -> None:
        super().__init__()
        self.net = net
        self.motor_y = 0.0

    def bank(self) -> None:
        """Each string as a row, plus to the left, between two joints if there are several."""
        net = self.net
        unit = net.item(net.strings[0][0])
        count = sum(len(string) for string in net.strings)
        joined = net.joined
        self.y = 4.0
        told = f"{count} x {unit.told}" if count > 1 else unit.told
        self.paragraph(MIDDLE, told, room=WIDTH - 8, most=2, anchor="middle")
        self.y += 50.0 if joined else 36.0
        first = self.y
        for string in net.strings:
            self._string(string, joined=joined)
            self.y += ROW
        self.y -= ROW
        if joined:
            for x, name, anchor in ((PLUS, "plus joint", "start"), (MINUS, "minus joint", "end")):
                self.shapes.append(electric.joint(x, first - 12, self.y + 12))
                outside = -9 if anchor == "start" else 9
                self.text(x + outside, first - 32, name, "label", anchor)

    def _string(self, string: tuple[str, ...], *, joined: bool) -> None:
        y, of = self.y, {c.start: c for c in self.net.of(BANK)}
        left = PLUS + 146 if joined else PLUS + 40
        right = MINUS - 60 if joined else MINUS - 40
        if len(string) == 1:
            left = right = MIDDLE + 30 if joined else MIDDLE
        step = (right - left) / max(1, len(string) - 1)
        places = [left + step * place for place in range(len(string))]
        half = electric.CELL_WIDE / 2
        self.wire("positive", (PLUS, y), (places[0] - half, y))
        self.wire("negative", (places[-1] + half, y), (MINUS, y))
        for name, x in zip(string, places, strict=True):
            self.shapes.append(electric.battery(x, y))
            told = name if len(string) < FEW else name.removeprefix("battery ")
            self.text(x, y - 20, told, anchor="middle")
            self.text(x - 13, y - 8, "+", anchor="middle")
            self.text(x + 13, y - 8, MINUS_SIGN, anchor="middle")
        for name, x, after in zip(string, places, places[1:], strict=False):
            self.wire("link", (x + half, y), (after - half, y))
            self.level(of[Terminal(name, "-")], (x + after) / 2, y)
        if joined:
            lead = of[Terminal(string[0], "+")]
            self.shapes.append(electric.fuse(PLUS + 72, y, upright=False))
            self.text(PLUS + 72, y - 13, _rating(self.net.item(lead.end.item)), anchor="middle")
            self.level(of[lead.end], PLUS + 32, y)
            self.level(lead, PLUS + 108 if len(string) > 1 else PLUS + 128, y)
            self.level(of[Terminal(string[-1], "-")], (places[-1] + half + MINUS) / 2, y)

    def _upright(self, conductor: Conductor, y: float) -> None:
        plus = conductor.polarity == "positive"
        x, anchor = (PLUS, "start") if plus else (MINUS, "end")
        self.shapes.append(electric.number(x, y, conductor.number))
        beside = BESIDE if plus else -BESIDE
        told = f"{size_of(conductor, 110)}, {shown.run(conductor.length_m)}"
        if conductor is self.net.main[0]:
            told += "; 178 mm (7 in) at most"
        self.text(x + beside, y + 4, told, anchor=anchor)

    def motor_circuit(self) -> None:
        net = self.net
        plus = {c.end.item: c for c in net.main if c.polarity == "positive"}
        minus = {c.end.item: c for c in net.main if c.polarity == "negative"}
        top = self.y
        self.y += ROW - SECTION + 6 if net.of(BANK) else 0.0
        draw = {
            "fuse": self._fuse,
            "connector": self._connector,
            "controller": self._controller,
            "motor": self._motor,
        }
        for item in (item for item in net.items if item.name in plus):
            self.y += SECTION
            for conductor in (plus[item.name], minus.get(item.name)):
                if conductor:
                    self._upright(conductor, self.y - SECTION / 2)
            draw[item.kind](item)
        for polarity, x in (("negative", MINUS), ("positive", PLUS)):
            run = electric.wire(polarity, (x, top), (x, self.motor_y), (MIDDLE, self.motor_y))
            self.wires.insert(0, run)  # below the strings' wires, which end on it

    def _named(self, item: Item, x: float, *, room: float, anchor: str = "start") -> None:
        self.text(x, self.y, item.name, "label", anchor)
        self.paragraph(x, item.told, room=room, most=2, anchor=anchor)

    def _fuse(self, item: Item) -> None:
        top = self.y
        self.shapes.append(electric.fuse(PLUS, top + electric.FUSE_LONG / 2, upright=True))
        self.y += 10
        self._named(item, PLUS + BESIDE, room=250)
        self.y = max(self.y, top + electric.FUSE_LONG)

    def _connector(self, item: Item) -> None:
        top = self.y
        contacts = electric.contact(PLUS, top), electric.contact(MINUS, top)
        self.shapes += [*contacts, electric.one_piece(PLUS, MINUS, top)]
        self.y += 16
        self._named(item, MIDDLE, room=300, anchor="middle")
        self.y += LINE
        self.text(MIDDLE, self.y, "sockets on the battery's side", anchor="middle")
        self.y -= LINE

    def _controller(self, item: Item) -> None:
        top = self.y
        case = Box.over(8, top, WIDTH - 16, 76)
        self.shapes.append(case.drawn(rx=4, class_="paper-fill"))
        for x, pole in ((PLUS, "+"), (MINUS, MINUS_SIGN)):
            self.text(x, top + 14, pole, "label", anchor="middle")
            self.text(x, top + 70, pole, "label", anchor="middle")
        self.text(MIDDLE, top + 14, "battery's side", anchor="middle")
        self.text(MIDDLE, top + 70, "motor's side", anchor="middle")
        self.shapes.append(electric.converter(64, top + 37))
        self.y = top + 30
        self._named(item, 92, room=270)
        self.y = top + 76

    def _motor(self, item: Item) -> None:
        self.y += 24
        self.motor_y = self.y
        stepped = item.inside == "stepped"
        control = electric.switch if stepped else electric.converter
        casing, motor = electric.casing(MIDDLE, self.y), electric.motor(MIDDLE, self.y)
        self.shapes += [casing, control(115, self.y), motor]
        self.y += 50
        self._named(item, MIDDLE, room=360, anchor="middle")
        self.y += LINE
        head = "switch in its head" if stepped else "speed control in its head"
        if stepped and self.net.has("controller"):
            head = "its own switch at the highest setting"
        told = f"up to {item.current_a:g} A; {head}"
        self.text(MIDDLE, self.y, told, anchor="middle")

    def branches(self, circuits: Iterable[Circuit]) -> None:
        """A line for each, from where the motor's circuit begins."""
        self.y += 16
        self.text(MIDDLE, self.y, "Branches, each behind a fuse of its own", "label", "middle")
        where = "at the joints" if self.net.joined else "at the battery's posts"
        for told in (
            f"+ and {MINUS_SIGN} are those {where}",
            "each fuse at most 178 mm (7 in) of cable from +",
        ):
            self.y += LINE
            self.text(MIDDLE, self.y, told, anchor="middle")
        for circuit in circuits:
            self._branch(circuit)

    def _branch(self, circuit: Circuit) -> None:
        net = self.net
        self.y += 30
        for line in lines(circuit.told, room=WIDTH - 40, size=12, most=1):
            self.text(PLUS - 9, self.y, line, "label")
        self.y += 28
        y = self.y
        load = net.item(circuit.load or "")
        lead, onward, back = net.of(circuit.name)
        fuse = net.item(lead.end.item)
        at_fuse, at_load = 112.0, 240.0
        self.wire("positive", (PLUS, y), (at_load - 22, y))
        self.wire("negative", (at_load + 22, y), (MINUS, y))
        self.shapes += [
            electric.terminal(PLUS, y, "+"),
            electric.terminal(MINUS, y, MINUS_SIGN),
            electric.fuse(at_fuse, y, upright=False),
        ]
        self.text(at_fuse, y - 13, _rating(fuse), anchor="middle")
        if load.kind == "inlet":
            self.shapes += [
                electric.socket(at_load - 22, y, open_to_right=True),
                electric.socket(at_load + 22, y, open_to_right=False),
            ]
            self.text(at_load, y - 13, "capped", anchor="middle")
        else:
            self.shapes.append(electric.device(at_load, y))
        self.text(at_load, y + BELOW, f"{words.number(load.current_a)} A", anchor="middle")
        for conductor, x in ((lead, 64.0), (onward, 173.0), (back, 314.0)):
            self.level(conductor, x, y)
        self.y += BELOW + LINE

    def legend(self) -> None:
        self.y += 40
        y = self.y
        self.wire("positive", (PLUS - 9, y - 4), (PLUS + 30, y - 4))
        self.text(PLUS + 38, y, "plus: red")
        self.wire("negative", (150, y - 4), (189, y - 4))
        self.text(197, y, "minus: black or yellow")
        self.y += 20
        self.shapes.append(electric.number(PLUS, self.y - 4, 1))
        self.text(PLUS + 38, self.y, "number in the cut list, marked on both ends")
        self.y += 12

    def drawing(self, name: str, title: str, told: Iterable[str]) -> Drawing:
        return Drawing(
            name=name,
            title=title,
            described=" ".join(told),
            width=WIDTH,
            height=self.y,
            body=group(*self.wires, *self.shapes),
        )


def _rating(item: Item) -> str:
    return f"{item.rating_a:g} A"
