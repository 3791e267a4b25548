"""A netlist and its sheet as JSON data."""

from dataclasses import asdict
from typing import Any

from keelwatt.wiring import Conductor, Item, Netlist
from keelwatt.wiring.sheet import WiringSheet


def wiring(net: Netlist, sheet: WiringSheet) -> dict[str, Any]:
    """``wiring`` of ``pick --sheet --json``."""
    return {
        "system_v": net.system_v,
        "bank_v": net.bank_v,
        "short_circuit_a": net.short_circuit_a,
        "circuits": [
            {
                **asdict(circuit),
                "drop_v": net.drop_v(circuit.name) if circuit.load else net.bank_drop_v,
            }
            for circuit in net.circuits
        ],
        "strings": [list(string) for string in net.strings],
        "items": [_item(item) for item in net.items],
        "conductors": [_conductor(conductor) for conductor in net.conductors],
        "sheet": {
            "ends": list(sheet.ends),
            "places": list(sheet.places),
            "steps": list(sheet.steps),
            "tests": list(sheet.tests),
            "notes": list(sheet.notes),
        },
        "faults": [
            {"rule": f.rule, "at": f.at, "what": f.what, "remedy": f.remedy} for f in sheet.faults
        ],
    }


def _item(item: Item) -> dict[str, Any]:
    data = asdict(item)
    cents = data.pop("price_cents")
    return data | {"price": None if cents is None else cents / 100}


def _conductor(conductor: Conductor) -> dict[str, Any]:
    wire = conductor.wire
    return {
        "number": conductor.number,
        "circuit": conductor.circuit,
        "start": asdict(conductor.start),
        "end": asdict(conductor.end),
        "polarity": conductor.polarity,
        "colour": conductor.colour,
        "length_m": conductor.length_m,
        "cable": wire.part,
        "size": wire.size,
        "area_mm2": wire.area_mm2,
        "ampacity_a": wire.ampacity_a,
        "current_a": conductor.current_a,
        "fuse": conductor.fuse,
        "drop_v": conductor.drop_v,
        "drop_share": conductor.drop_share,
    }
