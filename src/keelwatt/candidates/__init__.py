"""Catalog x outing x physics -> the tables a program is made of, and what was left out."""

from keelwatt.candidates.account import Excluded
from keelwatt.candidates.build import Table, candidates, light_of
from keelwatt.candidates.couples import Couples, Shortlist
from keelwatt.candidates.light import Light
from keelwatt.candidates.pairs import DEMANDS, NEVER, Pairs

__all__ = [
    "DEMANDS",
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
