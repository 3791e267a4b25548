"""Many outings at once as plain JSON data."""

from collections.abc import Mapping
from typing import Any

from keelwatt import __version__
from keelwatt.batch.rows import NUMBERS, WHOLE, Row
from keelwatt.batch.run import Batch
from keelwatt.report.batch import OUTCOMES
from keelwatt.report.data import FORMAT


def batch(result: Batch, catalog_sha256: str, solver: str) -> dict[str, Any]:
    """``batch --json``: the rows with numbers as numbers, empty cells as null."""
    return {
        "format": FORMAT,
        "status": result.status,
        "problems": [],
        "file": str(result.out),
        "counts": {outcome: result.counts.get(outcome, 0) for outcome in OUTCOMES},
        "total": result.total,
        "kept": result.kept,
        "dropped": result.dropped,
        "rows": [_values(row) for row in result.rows],
        "catalog_sha256": catalog_sha256,
        "version": __version__,
        "solver": solver,
    }


def _values(row: Row) -> Mapping[str, str | int | float | None]:
    return {column: _value(column, cell) for column, cell in row.items()}


def _value(column: str, cell: str) -> str | int | float | None:
    if not cell:
        return None
    if column in WHOLE:
        return int(cell)
    return float(cell) if column in NUMBERS else cell
