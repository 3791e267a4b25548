"""One row for one outing: the kit chosen and proved, or in words why there is none."""

from collections.abc import Iterable
from dataclasses import asdict
from math import isinf

from keelwatt.batches.rows import Options, Row, Task, cells, invalid
from keelwatt.errors import InputError
from keelwatt.explain.advise import Advice, decide, emptied
from keelwatt.files.catalog.reader import Catalog
from keelwatt.files.kit import SEASON_UNITS_PER_CENT
from keelwatt.files.outing import outing_from_text


def rows(tasks: Iterable[Task], catalog: Catalog, options: Options) -> list[Row]:
    """The rows of some outings; whatever fails in one leaves the others alone."""
    return [_row(task, catalog, options) for task in tasks]


def _row(task: Task, catalog: Catalog, options: Options) -> Row:
    try:
        outing = outing_from_text(task.text, task.file)
        advice = decide(outing, catalog, by=options.by, solver=options.solver)
    except InputError as error:
        return invalid(task.file, error.problems, task.key)
    except Exception as error:  # a bug in one outing must not cost the others' rows
        what = f"a bug, please report it with this file: {type(error).__name__}: {error}"
        return cells(file=task.file, status="bug", problem=" ".join(what.split()))
    return _advised(task, advice)


def _advised(task: Task, advice: Advice) -> Row:
    head = {
        "file": task.file,
        "title": " ".join(advice.outing.title.split()),
        "status": advice.status,
        "key": "" if advice.status == "unproved" else task.key,
    }
    if advice.proof is None:
        none = "No kit of the catalog meets every limit."
        shut_out = " ".join(emptied(advice)) or none
        return cells(**head, problem=f"{shut_out} keelwatt pick says what to change.")
    assessment = advice.proof.assessment
    kit, totals, hours = assessment.kit, assessment.totals, assessment.hours_at_limit
    parts = {name: "" if value is None else str(value) for name, value in asdict(kit).items()}
    return cells(
        **head,
        **(parts | {"run_m": f"{kit.run_m:.3f}"}),
        price=f"{totals.price_cents / 100:.2f}",
        mass_kg=f"{totals.mass_g / 1000:.3f}",
        season_price=f"{totals.season_units / SEASON_UNITS_PER_CENT / 100:.4f}",
        displacement_kg=f"{totals.displacement_kg:.3f}",
        hours_at_limit="" if isinf(hours) else f"{hours:.4f}",
    )
