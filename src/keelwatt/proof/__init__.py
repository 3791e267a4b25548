"""Checks any kit from the physics alone; knows nothing of candidates, programs or solvers."""

from keelwatt.limits import RULES, WISHES, Limit
from keelwatt.proof.assess import Assessor
from keelwatt.proof.day import LegEnd, Minute, Proof, prove
from keelwatt.proof.model import Assessment, LegResult, Totals

__all__ = [
    "RULES", "WISHES", "Assessment", "Assessor", "LegEnd", "LegResult", "Limit", "Minute",
    "Proof", "Totals", "prove",
]  # fmt: skip
