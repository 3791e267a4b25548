"""Catalog x outing x physics -> the tables a program is made of, and what was left out."""

from keelwatt.candidates.account import Excluded
from keelwatt.candidates.build import Table, candidates
from keelwatt.candidates.pairs import DEMANDS, NEVER, Pairs

__all__ = ["DEMANDS", "NEVER", "Excluded", "Pairs", "Table", "candidates"]
