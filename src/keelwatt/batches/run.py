"""Many outings at once: a row each, in a results file that a later run goes on from.
What chooses kits is imported by the workers, who can then begin while this process reads on."""

import os
import signal
from collections import Counter
from collections.abc import Callable, Generator, Iterator, Mapping, Sequence
from contextlib import closing, contextmanager
from dataclasses import dataclass
from functools import cached_property
from math import ceil
from pathlib import Path
from threading import Thread
from time import sleep
from typing import TYPE_CHECKING, Any, Literal

from joblib import Parallel, delayed, effective_n_jobs

from keelwatt.batches.file import check_place, held, read_rows, write_rows
from keelwatt.batches.rows import COLUMNS, NUMBERS, WHOLE, Options, Row, Task, invalid, key
from keelwatt.errors import InputError
from keelwatt.files.catalog.reader import Catalog
from keelwatt.files.outing import read_text

if TYPE_CHECKING:
    import pandas as pd

    from keelwatt.choose.solver import SolverName
    from keelwatt.choose.sums import Measure

CHUNKS, CHUNKS_EACH = 50, 4
"""The outings are dealt out in so many chunks, or so many for each worker where that is more: few
enough to be worth sending, many enough to show progress and to leave nobody idle at the end."""


@dataclass(frozen=True)
class Batch:
    """A row for each outing done so far, in the order they were named; ``total`` were named.
    ``kept``: how many rows an earlier run had left; ``dropped``: how many of its rows belong to no
    outing named now."""

    out: Path
    rows: tuple[Row, ...]
    total: int
    kept: int
    dropped: int

    @cached_property
    def counts(self) -> Mapping[str, int]:
        return Counter(row["status"] for row in self.rows)

    @property
    def status(self) -> Literal["done", "unproved", "invalid", "bug"]:
        """How the whole came out; unproved is stopped before the end."""
        if self.counts.get("bug"):
            return "bug"
        if len(self.rows) < self.total or self.counts.get("unproved"):
            return "unproved"
        return "invalid" if self.counts.get("invalid") else "done"

    @property
    def values(self) -> list[dict[str, str | float | None]]:
        """The rows with numbers as numbers, None in empty cells."""

        def value(column: str, cell: str) -> str | float | None:
            if cell and column in NUMBERS:
                return int(cell) if column in WHOLE else float(cell)
            return cell or None

        return [{column: value(column, cell) for column, cell in row.items()} for row in self.rows]

    @property
    def frame(self) -> "pd.DataFrame":
        """The rows as a table; its columns are ``batch_rows.COLUMNS``."""
        import pandas as pd

        frame = pd.DataFrame(list(self.rows), columns=list(COLUMNS))
        for column in NUMBERS:
            frame[column] = pd.to_numeric(frame[column].replace("", None))
        return frame.astype(dict.fromkeys(WHOLE, "Int64"))


def batch(
    outings: Sequence[Path],
    catalog: Catalog,
    out: Path,
    *,
    by: "Measure | None" = None,
    solver: "SolverName" = "highs",
    workers: int | None = None,
    again: bool = False,
    progress: Callable[[Batch], None] = lambda _: None,
) -> Batch:
    """Choose and prove a kit for every outing and write the rows to ``out``, chunk by chunk.
    Rows that an earlier run with the same outing, catalog, options and version left in ``out`` are
    kept, unless ``again``. The rows are the same for any number of workers. ``workers`` None leaves
    it to ``joblib.parallel_config``, which may also name a cluster; outside one it means 1.
    InputError: if ``out`` is one of the outings, is no plain file, cannot be written, holds
    anything else or is being written by another batch."""
    check_place(out, outings)
    with held(out):
        work = _Work(outings, catalog, Options(by, solver), read_rows(out, again=again))
        so_far = work.batch(out)
        if not out.exists():
            write_rows(out, so_far.rows)
        progress(so_far)
        with closing(work.results(workers)) as chunks:
            for chunk in chunks:
                work.known.update(chunk)
                so_far = work.batch(out)
                write_rows(out, so_far.rows)
                progress(so_far)
        write_rows(out, so_far.rows)
        return so_far


class _Work:
    """The outings, those already known, and those still to do."""

    def __init__(
        self, outings: Sequence[Path], catalog: Catalog, options: Options, found: Sequence[Row]
    ) -> None:
        self.catalog, self.options = catalog, options
        self.entries = [_entry(path, catalog, options) for path in outings]
        tasks = {entry.key: entry for entry in self.entries if isinstance(entry, Task)}
        self.known = {row["key"]: row for row in found if row["key"] in tasks}
        self.kept = sum(isinstance(e, Task) and e.key in self.known for e in self.entries)
        named = {str(path) for path in outings}
        self.dropped = sum(
            row["key"] not in self.known and row["file"] not in named for row in found
        )
        self.todo = [task for key, task in tasks.items() if key not in self.known]

    def batch(self, out: Path) -> Batch:
        """What is known so far, in the outings' order."""
        rows = tuple(self._rows())
        return Batch(out, rows, len(self.entries), self.kept, self.dropped)

    def _rows(self) -> Iterator[Row]:
        for entry in self.entries:
            if not isinstance(entry, Task):
                yield entry
            elif entry.key in self.known:
                yield self.known[entry.key] | {"file": entry.file}

    def results(self, workers: int | None) -> Generator[dict[str, Row]]:
        """Rows by key, a chunk of outings at a time as the workers finish them."""
        size = ceil(len(self.todo) / max(CHUNKS, CHUNKS_EACH * effective_n_jobs(-1))) or 1
        chunks = [self.todo[at : at + size] for at in range(0, len(self.todo), size)]
        asked: dict[str, Any] = {}
        if workers is not None:
            asked = {
                "n_jobs": max(1, min(workers, len(chunks))),
                "backend": "loky",
                "initializer": _end_with,
                "initargs": (os.getpid(),),
            }
        parallel = Parallel(**asked, return_as="generator_unordered", batch_size=1)
        with deaf():
            results = parallel(
                delayed(_finished)(chunk, self.catalog, self.options) for chunk in chunks
            )
        yield from results


@contextmanager
def deaf() -> Iterator[None]:
    """Processes begun in here leave Ctrl-C to this one, which hears of it afterwards."""
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


def _entry(path: Path, catalog: Catalog, options: Options) -> Task | Row:
    """The outing as a task, or its row where the file cannot be read."""
    name = str(path).encode(errors="replace").decode()
    try:
        text = read_text(path)
    except InputError as error:
        return invalid(name, error.problems)
    return Task(name, text, key(text, catalog.sha256, options))


def _finished(tasks: Sequence[Task], catalog: Catalog, options: Options) -> dict[str, Row]:
    """Rows by key."""
    from keelwatt.batches.work import rows

    found = rows(tasks, catalog, options)
    return {task.key: row for task, row in zip(tasks, found, strict=True)}


def _end_with(parent: int) -> None:
    """This worker, just begun, ends once its parent is gone: one that is killed cannot tell. Ctrl-C
    is its parent's alone, whatever a library has made of the signals blocked at its start."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)

    def watch() -> None:
        while os.getppid() == parent:
            sleep(1)
        os._exit(1)

    Thread(target=watch, daemon=True).start()
