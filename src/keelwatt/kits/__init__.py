"""Catalog x outing x physics -> what kits are made of, lower bounds, and what was left out."""

from keelwatt.kits.account import FILTERS, Excluded
from keelwatt.kits.charging import charging_h
from keelwatt.kits.couples import Bounds, Couples
from keelwatt.kits.ground import Found, Ground
from keelwatt.kits.pairs import NEVER, Pairs, pairs_of
from keelwatt.kits.table import Table, everything, table_of
from keelwatt.kits.types import DEMANDS, Types

__all__ = [
    "DEMANDS",
    "FILTERS",
    "NEVER",
    "Bounds",
    "Couples",
    "Excluded",
    "Found",
    "Ground",
    "Pairs",
    "Table",
    "Types",
    "charging_h",
    "everything",
    "pairs_of",
    "table_of",
]
