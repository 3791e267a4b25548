"""Catalog x outing x physics -> the tables a program is made of, and what was left out."""

from keelwatt.candidates.account import Excluded
from keelwatt.candidates.build import Table, candidates, light_of
from keelwatt.candidates.light import Light, Shortlist
from keelwatt.candidates.pairs import DEMANDS, NEVER, Pairs

__all__ = [
    "DEMANDS",
    "NEVER",
    "Excluded",
    "Light",
    "Pairs",
    "Shortlist",
    "Table",
    "candidates",
    "light_of",
]
