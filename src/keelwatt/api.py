"""The commands as functions: an outing and a catalog in, an answer out; nothing is printed.

An outing is what ``read_outing`` gave, or its file's path; a catalog what ``read_catalog`` gave,
its folder's path, or None for the packaged one, whose parts and prices are invented. A kit is a
``Kit``, an answer that has one, or the path of what ``keelwatt pick --json`` printed. What is wrong
with a file raises ``keelwatt.errors.InputError`` with every problem at once.
"""

from collections.abc import Iterable
from pathlib import Path
from typing import Any

from keelwatt.batches import run
from keelwatt.batches.run import Batch
from keelwatt.chance import outlook as outlooks
from keelwatt.chance import sure as chances
from keelwatt.chance.odds import DAYS, SEED, Boat
from keelwatt.chance.outlook import Outlook
from keelwatt.choose.solver import SolverName
from keelwatt.choose.sums import Measure
from keelwatt.edit import whatif as changes
from keelwatt.edit.whatif import WhatIf
from keelwatt.explain import stretch as stretches
from keelwatt.explain import tradeoff as tradeoffs
from keelwatt.explain import why as reasons
from keelwatt.explain import worth as gains
from keelwatt.explain.advise import advise, decide
from keelwatt.explain.merge import merged
from keelwatt.explain.stretch import Stretch
from keelwatt.explain.tradeoff import Tradeoff
from keelwatt.explain.why import Why
from keelwatt.explain.worth import Worth
from keelwatt.files.catalog.reader import Catalog, read_catalog
from keelwatt.files.catalog.shipped import shipped_catalog
from keelwatt.files.kit import Kit
from keelwatt.files.kit_file import read_kit
from keelwatt.files.log import read_log
from keelwatt.files.outing import Outing, read_outing, read_text
from keelwatt.proof import Assessor, Proof
from keelwatt.proof import day as days_walked
from keelwatt.report.answer import Answer
from keelwatt.tuning import tune as fits
from keelwatt.tuning.tune import Tuning

__all__ = [
    "Answer",
    "batch",
    "odds",
    "pick",
    "prove",
    "read_catalog",
    "read_outing",
    "stretch",
    "tradeoff",
    "tune",
    "whatif",
    "why",
    "worth",
]

SomeOuting = Outing | str | Path
SomeCatalog = Catalog | str | Path | None
SomeKit = Kit | Answer | str | Path


def pick(
    outing: SomeOuting,
    catalog: SomeCatalog = None,
    *,
    by: Measure | None = None,
    sure: float | None = None,
    solver: SolverName = "highs",
    seconds: float | None = None,
) -> Answer:
    """The best kit for an outing, proved, or every conflict and way out.

    ``by``: cost, mass or season, else what the outing wishes; ``sure``: the share of days, 0.5 to
    0.99, that are to go as planned; ``seconds``: stop the proof after this long.
    """
    wanted, parts = _outing(outing), _catalog(catalog)
    wishes: dict[str, Any] = {"by": by, "solver": solver, "seconds": seconds}
    if sure is None:
        return Answer(advise(wanted, parts, **wishes))
    certain = chances.sure(wanted, parts, sure, **wishes)
    return Answer(certain.advice, certain)


def whatif(
    outing: str | Path,
    settings: str | Iterable[str],
    catalog: SomeCatalog = None,
    *,
    by: Measure | None = None,
) -> WhatIf:
    """The best kit before and after settings such as ``"hours=+2h"``; the file stays as it is."""
    settings = [settings] if isinstance(settings, str) else settings
    return changes.whatif(read_text(Path(outing)), str(outing), _catalog(catalog), settings, by=by)


def stretch(
    outing: SomeOuting,
    over: str,
    low: float | None = None,
    high: float | None = None,
    catalog: SomeCatalog = None,
    *,
    by: Measure | None = None,
    every_step: bool = False,
) -> Stretch:
    """The best kit for every amount of one wish from ``low`` to ``high``, in the wish's unit.

    Narrow steps are merged with the next harder one unless ``every_step``.
    """
    advice = decide(_outing(outing), _catalog(catalog), by=by)
    result = stretches.stretch(advice, over, low, high)
    return result if every_step else merged(result)


def tradeoff(outing: SomeOuting, catalog: SomeCatalog = None) -> Tradeoff:
    """Every kit that no other beats on both cost and mass."""
    return tradeoffs.tradeoff(advise(_outing(outing), _catalog(catalog)))


def why(
    outing: SomeOuting,
    part: str,
    catalog: SomeCatalog = None,
    *,
    by: Measure | None = None,
) -> Why:
    """Why a part is in the best kit or not, and the price at which it would be."""
    return reasons.why(_outing(outing), _catalog(catalog), part, by=by)


def worth(
    outing: SomeOuting,
    part: str,
    catalog: SomeCatalog = None,
    *,
    kit: SomeKit | None = None,
    by: Measure | None = None,
) -> Worth:
    """What a part buys in a kit, else in the best kit with it, and between the best kits."""
    wanted, parts = _outing(outing), _catalog(catalog)
    given = None if kit is None else _kit(kit, parts, wanted)
    return gains.worth(wanted, parts, part, given, by=by)


def prove(outing: SomeOuting, kit: SomeKit, catalog: SomeCatalog = None) -> Proof:
    """Any kit checked against every limit, and its day walked minute by minute."""
    wanted, parts = _outing(outing), _catalog(catalog)
    return days_walked.prove(Assessor(wanted, parts), _kit(kit, parts, wanted))


def odds(
    outing: SomeOuting,
    kit: SomeKit,
    catalog: SomeCatalog = None,
    *,
    days: int = DAYS,
    seed: int = SEED,
) -> Outlook:
    """The chance of coming home with the reserve, over days drawn about the one planned."""
    wanted, parts = _outing(outing), _catalog(catalog)
    boat = Boat(Assessor(wanted, parts), _kit(kit, parts, wanted))
    return outlooks.outlook(boat, parts, days, seed)


def tune(outing: SomeOuting, log: str | Path, kit: SomeKit, catalog: SomeCatalog = None) -> Tuning:
    """The outing's drag factor corrected by what was measured with this kit aboard."""
    wanted, parts = _outing(outing), _catalog(catalog)
    return fits.tune(wanted, parts, _kit(kit, parts, wanted), read_log(log))


def batch(
    outings: Iterable[str | Path],
    out: str | Path,
    catalog: SomeCatalog = None,
    **options: Any,
) -> Batch:
    """A row of ``out`` for each outing; ``options`` as of ``keelwatt.batches.run.batch``."""
    return run.batch([Path(outing) for outing in outings], _catalog(catalog), Path(out), **options)


def _outing(given: SomeOuting) -> Outing:
    return given if isinstance(given, Outing) else read_outing(given)


def _catalog(given: SomeCatalog) -> Catalog:
    return given if isinstance(given, Catalog) else read_catalog(given or shipped_catalog())


def _kit(given: SomeKit, catalog: Catalog, outing: Outing) -> Kit:
    if isinstance(given, Answer):
        return given.proof.assessment.kit
    return given if isinstance(given, Kit) else read_kit(Path(given), catalog, outing)
