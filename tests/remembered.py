"""Answers worked out once: whoever asks for the same again is handed the same answer.

Answers are frozen, and further questions to one do not change what it says. Where working an answer
out is itself what is tested, the functions of the rooms are called as they are.
"""

import pickle
from collections import OrderedDict
from collections.abc import Callable, Iterator
from contextlib import chdir, contextmanager
from functools import wraps
from pathlib import Path
from typing import ParamSpec, TypeVar

import pytest
from typer.testing import CliRunner, Result

from keelwatt import api
from keelwatt.batches import work
from keelwatt.chance import sure as chance
from keelwatt.cli import app
from keelwatt.edit import apply, whatif
from keelwatt.explain import advise as explain
from keelwatt.explain import compare, why, worth
from keelwatt.tuning import tune as tuning

ROOT = Path(__file__).parents[1]
P = ParamSpec("P")
T = TypeVar("T")

MOST = 24
"""Answers kept of each kind; the oldest go first."""


def once(work: Callable[P, T]) -> Callable[P, T]:
    """The same function, that works out the same question but once; equal files are the same.

    >>> measured = once(lambda text: print("measured") or len(text))
    >>> measured("an outing"), measured("an outing"), measured("another")
    measured
    measured
    (9, 9, 7)
    """
    known: OrderedDict[bytes, T] = OrderedDict()

    @wraps(work)
    def asked(*given: P.args, **how: P.kwargs) -> T:
        key = pickle.dumps((given, sorted(how.items())))
        if key not in known:
            known[key] = work(*given, **how)
        known.move_to_end(key)
        while len(known) > MOST:
            known.popitem(last=False)
        return known[key]

    return asked


decide = once(explain.decide)
advise = once(explain.advise)
sure = once(chance.sure)

PLACES = (
    (explain, "decide", decide),
    (explain, "advise", advise),
    (chance, "sure", sure),
    *((module, "decide", decide) for module in (api, chance, why, work, worth)),
    *((module, "advise", advise) for module in (api, apply, chance, whatif)),
    (worth, "worth", once(worth.worth)),
    (why, "why", once(why.why)),
    (compare, "kit_of_ids", once(compare.kit_of_ids)),
    (tuning, "tune", once(tuning.tune)),
)
"""Where the commands find what they ask."""


@contextmanager
def remembering() -> Iterator[None]:
    """Commands run in this process meanwhile ask here."""
    with pytest.MonkeyPatch.context() as patch:
        for module, name, asked in PLACES:
            patch.setattr(module, name, asked)
        yield


def here(*arguments: object, folder: Path = ROOT, columns: int = 80, typed: str = "") -> Result:
    """How ``keelwatt ARGUMENTS`` ends and what it says, run in this process from a folder."""
    words = [str(word) for word in arguments]
    with chdir(folder), remembering():
        return CliRunner(env={"COLUMNS": str(columns)}).invoke(app, words, input=typed)
