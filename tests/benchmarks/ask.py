"""One question in a process of its own: ``python -m benchmarks.ask BYTES CATALOG OUTING WHAT``.

Loads what the answer needs and nothing else, and looks for cycles as seldom as the command does, so
that the process' time and memory are the question's.
"""

import gc
import resource
import sys
from collections.abc import Callable
from math import radians
from pathlib import Path

from keelwatt.explain import advise
from keelwatt.explain.stretch import stretch
from keelwatt.explain.tradeoff import tradeoff
from keelwatt.explain.why import why
from keelwatt.files.catalog.reader import Catalog, read_catalog
from keelwatt.files.outing import Outing, read_outing

Asked = Callable[[Outing, Catalog], None]


def decided(wanted: Outing, parts: Catalog) -> None:
    advise.decide(wanted, parts)


def explained(wanted: Outing, parts: Catalog) -> None:
    assert advise.advise(wanted, parts).prices


def asked_why(wanted: Outing, parts: Catalog) -> None:
    assert why(wanted, parts, parts.motors[len(parts.motors) // 2].id).verdict


def stretched(over: str) -> Asked:
    def work(wanted: Outing, parts: Catalog) -> None:
        assert stretch(advise.decide(wanted, parts), over).steps

    return work


def traded(wanted: Outing, parts: Catalog) -> None:
    assert tradeoff(advise.decide(wanted, parts)).points


def limited(*, fits: bool | None = False, **limits: float) -> Asked:
    """A pick with these limits, all conflicts and ways out where nothing ``fits``; None: either."""

    def work(wanted: Outing, parts: Catalog) -> None:
        tighter = wanted.limits.model_copy(update=limits)
        advice = advise.advise(wanted.model_copy(update={"limits": tighter}), parts)
        assert fits is None or fits is bool(advice.proof)
        assert advice.prices or (advice.conflicts and advice.ways_out)

    return work


ASKED: dict[str, Asked] = {
    "pick": decided,
    "explained": explained,
    "why": asked_why,
    **{over: stretched(over) for over in ("hours", "speed", "reserve", "recharge", "trim")},
    "tradeoff": traded,
    "no budget": limited(budget_cents=10_000),
    "no trim": limited(max_trim_rad=radians(0.001)),
    "scant": limited(max_trim_rad=radians(0.01), fits=None),
}
"""What is measured of explanations; ``ratios.py`` names them alike."""


if __name__ == "__main__":
    most_bytes, catalog, outing, what = sys.argv[1:]
    resource.setrlimit(resource.RLIMIT_AS, (int(most_bytes), int(most_bytes)))
    gc.set_threshold(200_000)
    try:
        ASKED[what](read_outing(Path(outing)), read_catalog(Path(catalog)))
    except MemoryError as error:
        sys.exit(f"{what}: {type(error).__name__} {error}")
