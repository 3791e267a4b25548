"""One measurement in a process of its own: ``python -m benchmarks.measure WHAT ...``.

Prints a JSON object a line as soon as something is known, so that what is stopped halfway has told
what it had. The times of the steps are taken in one real run: each function that is a step is
replaced, wherever keelwatt calls it, by itself between two readings of the clock.
"""

import json
import resource
import sys
from collections import defaultdict
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import wraps
from pathlib import Path
from time import process_time
from typing import Any

from benchmarks.catalogs import write_catalog
from benchmarks.outings import write_outings
from benchmarks.yardsticks import SOLVERS, by_enumeration
from keelwatt.boat.load_case import LoadCase
from keelwatt.choose import program, solver
from keelwatt.choose.contenders import Contenders
from keelwatt.choose.question import Question
from keelwatt.choose.search import Search
from keelwatt.explain import advise
from keelwatt.files.catalog.reader import read_catalog
from keelwatt.files.outing import read_outing
from keelwatt.kits import Couples
from keelwatt.proof import day as proof_day

STEPS: tuple[tuple[str, Any, str], ...] = (
    ("bounds", Couples, "level"),
    ("bounds", Couples, "up_to"),
    ("search", Search, "best"),
    ("tables", Contenders, "table"),
    ("build", program, "build"),
    ("solve", solver, "minimise"),
    ("prove", proof_day, "prove"),
    ("rest", advise, "decide"),
)
"""Step, and the module or class and name of a function that does it."""


@contextmanager
def stopwatch() -> Iterator[dict[str, float]]:
    """Seconds spent in each step while inside, steps within a step not counted twice."""
    seconds: dict[str, float] = defaultdict(float)
    inner = [0.0]

    def timed(step: str, function: Callable[..., Any]) -> Callable[..., Any]:
        @wraps(function)
        def call(*arguments: Any, **named: Any) -> Any:
            inner.append(0.0)
            start = process_time()
            try:
                return function(*arguments, **named)
            finally:
                spent = process_time() - start
                seconds[step] += spent - inner.pop()
                inner[-1] += spent

        return call

    undo: list[tuple[Any, str, Any]] = []
    for step, owner, name in STEPS:
        function = getattr(owner, name)
        rooms = [module for module in sys.modules.values() if _ours(module)]
        for place in (owner, *rooms):
            if vars(place).get(name) is function:
                undo.append((place, name, function))
                setattr(place, name, timed(step, function))
    try:
        yield seconds
    finally:
        for place, name, function in undo:
            setattr(place, name, function)


def _ours(module: Any) -> bool:
    return str(getattr(module, "__name__", "")).split(".")[0] == "keelwatt"


def tell(**known: Any) -> None:
    print(json.dumps(known), flush=True)


def steps(catalog: str, outing: str) -> None:
    """Seconds of every step of ``pick``; twice, the first run being the warmer-up."""
    start = process_time()
    parts, wanted = read_catalog(Path(catalog)), read_outing(Path(outing))
    tell(read=process_time() - start, parts=sum(len(shelf) for shelf in parts.kinds().values()))
    advise.decide(wanted, parts)
    with stopwatch() as seconds:
        advice = advise.decide(wanted, parts)
    least = advice.proof and advice.proof.assessment.totals.price_cents
    tell(**seconds, least=least)
    with stopwatch() as seconds:
        start = process_time()
        advise.advise(wanted, parts)
        whole = process_time() - start
    tell(explain=whole - sum(seconds.values()))


def enumerated(catalog: str, outing: str) -> None:
    """Seconds of putting every kit of the whole catalog into one block."""
    wanted = read_outing(Path(outing))
    search = Search(LoadCase(wanted), read_catalog(Path(catalog)))
    assert search.types.displacements
    tell(began=process_time())
    start = process_time()
    least = by_enumeration(search, wanted.wish.by)
    tell(enumeration=process_time() - start, least=least)


def solved(catalog: str, outing: str, name: str) -> None:
    """Seconds of another solver on the Program that pick solves."""
    wanted = read_outing(Path(outing))
    by, search = wanted.wish.by, Search(LoadCase(wanted), read_catalog(Path(catalog)))
    pick = search.best(Question(by))
    assert pick is not None
    couples = search.contenders.worth_keeping(Question(by, below=pick.value(by) + 1))
    whole = program.build(search.contenders.table(couples))
    tell(columns=whole.size, began=process_time())
    start = process_time()
    least = SOLVERS[name](whole, by)
    tell(**{name: process_time() - start}, least=least)


def make_catalog(folder: str, times: str, seed: str) -> None:
    write_catalog(Path(folder), int(times), int(seed))


def make_outings(folder: str, count: str, seed: str) -> None:
    write_outings(Path(folder), int(count), int(seed))


WHAT: dict[str, Callable[..., None]] = {
    "steps": steps,
    "enumerated": enumerated,
    "solved": solved,
    "make-catalog": make_catalog,
    "make-outings": make_outings,
}

if __name__ == "__main__":
    most_bytes, what, *arguments = sys.argv[1:]
    resource.setrlimit(resource.RLIMIT_AS, (int(most_bytes), int(most_bytes)))
    try:
        WHAT[what](*arguments)
    except (MemoryError, ImportError) as error:
        sys.exit(f"{what}: {type(error).__name__} {error}")
