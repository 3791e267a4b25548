"""The wiring as data: what is joined to what, by which conductor, behind which fuse."""

from keelwatt.netlist.build import netlist
from keelwatt.netlist.faults import Fault, faults
from keelwatt.netlist.model import Circuit, Conductor, Item, Netlist, Terminal, Wire

__all__ = [
    "Circuit",
    "Conductor",
    "Fault",
    "Item",
    "Netlist",
    "Terminal",
    "Wire",
    "faults",
    "netlist",
]
