"""Catalog x outing x physics -> the tables a program is made of, and what was left out."""

from keelwatt.kits.account import FILTERS, Excluded
from keelwatt.kits.build import Table, candidates, light_of
from keelwatt.kits.couples import Couples, Shortlist
from keelwatt.kits.light import Light
from keelwatt.kits.pairs import DEMANDS, NEVER, Pairs

__all__ = [
    "DEMANDS",
    "FILTERS",
    "NEVER",
    "Couples",
    "Excluded",
    "Light",
    "Pairs",
    "Shortlist",
    "Table",
    "candidates",
    "light_of",
]
