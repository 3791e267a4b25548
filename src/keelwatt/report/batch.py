"""Many outings at once."""

from collections.abc import Iterator

from keelwatt.batches.run import Batch
from keelwatt.report.blocks import Blocks, Say, items

OUTCOMES = {
    "best": "with a kit proved best",
    "unproved": "with a kit, stopped before proof",
    "impossible": "that no kit fits",
    "invalid": "to put right",
    "bug": "stopped by a bug",
}

SHOWN = 10
"""Outings without a kit that are told of on the screen; the file has them all."""


def batch(result: Batch) -> Blocks:
    """How many outings came out how, and what is wrong with those that have no kit."""
    told = [
        f"{result.counts[outcome]} {words}"
        for outcome, words in OUTCOMES.items()
        if outcome in result.counts
    ]
    if (left := result.total - len(result.rows)) > 0:
        told.append(f"{left} still to do")
    yield Say(f"{result.total} outing{'s' if result.total != 1 else ''}: {', '.join(told)}.")
    failed = [row for row in result.rows if row["problem"]]
    yield items(f"{row['file']}: {row['problem']}" for row in failed[:SHOWN])
    if len(failed) > SHOWN:
        yield Say(f"and {len(failed) - SHOWN} more in the file.")
    yield from map(Say, _notes(result))


def _notes(result: Batch) -> Iterator[str]:
    if result.kept:
        yield f"Rows kept from before: {result.kept}; --again works them out again."
    if result.dropped:
        yield f"Rows left out, of outings not named now: {result.dropped}."
    yield f"The rows are in {result.out}."
