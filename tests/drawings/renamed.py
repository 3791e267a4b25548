"""A netlist with names meant to do harm."""

from dataclasses import replace
from itertools import cycle

from keelwatt.wiring import Netlist

SCRIPT = '<script>alert("x")</script>'
NAMES = (
    SCRIPT,
    "W" * 90,
    "quotes ' \" & ]]> -->",
    "סוללת ליתיום של שנים עשר וולט ומאה אמפר שעה " * 2,
    "バッテリー十二ボルト百アンペア時とても長い名前" * 2,
    "x",
)


def renamed(net: Netlist) -> Netlist:
    """Every part and device under another name in turn, every size as long as sizes are not."""
    names = cycle(NAMES)
    return replace(
        net,
        items=tuple(replace(item, told=next(names)) for item in net.items),
        circuits=tuple(
            replace(circuit, told=next(names)) if circuit.name.startswith("device") else circuit
            for circuit in net.circuits
        ),
        conductors=tuple(
            replace(c, wire=replace(c.wire, size="0000 AWG, extra flexible"))
            for c in net.conductors
        ),
    )
