"""The wiring as data: what is joined to what, by which conductor, behind which fuse."""

from keelwatt.wiring.build import netlist
from keelwatt.wiring.faults import Fault, faults
from keelwatt.wiring.model import Circuit, Conductor, Item, Netlist, Terminal

__all__ = ["Circuit", "Conductor", "Fault", "Item", "Netlist", "Terminal", "faults", "netlist"]
