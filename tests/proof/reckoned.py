"""Assessing the kit of ``one_of_each``, and looking one limit up.

Its leg holds station, so the water hardly has a say and need not be the true one.
"""

from dataclasses import replace

from keelwatt.files.catalog.reader import Catalog
from keelwatt.files.kit import Kit
from keelwatt.files.outing import Outing
from keelwatt.proof import Assessment, Limit
from oracle.cheap_water import CheapWater
from oracle.one_of_each import CATALOG, KIT, OUTING

CHOPPED = replace(KIT, controller="controller")


def assess(kit: Kit = KIT, outing: Outing = OUTING, catalog: Catalog = CATALOG) -> Assessment:
    return CheapWater(outing, catalog).assess(kit)


def limit(name: str, assessment: Assessment) -> Limit:
    (found,) = [limit for limit in assessment.limits if limit.name == name]
    return found


def broken(assessment: Assessment) -> list[str]:
    return [limit.name for limit in assessment.broken]
