"""Explanations from catalogs three times the shipped one's size, held against every kit."""

from functools import cache
from math import inf
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
import pytest

from benchmarks.catalogs import write_catalog
from keelwatt.boat.load_case import LoadCase
from keelwatt.choose.question import Question, order
from keelwatt.choose.search import Search
from keelwatt.edit.edit import edited
from keelwatt.explain.advise import Advice, decide
from keelwatt.explain.amounts import amounts
from keelwatt.explain.cover import Cover
from keelwatt.explain.stretch import stretch
from keelwatt.explain.tradeoff import tradeoff
from keelwatt.explain.ways import conflicts, ways_out
from keelwatt.files.catalog.reader import Catalog, read_catalog
from keelwatt.files.kit import Kit
from keelwatt.files.outing import Outing, outing_from_text
from keelwatt.limits import OVERS
from oracle.ledger import Ledger, in_parts, meeting, smallest

pytestmark = pytest.mark.slow

EXAMPLE = Path(__file__).parents[2] / "examples" / "reservoir-sampling" / "outing.toml"
SAME = 1e-9

TOO_HARD = (
    ("budget=100",),
    ("budget=-60%",),
    ("trim=0.01deg",),
    ("hours=+300%",),
    ("hours=+100%", "budget=-50%", "lift=-60%"),
    ("speed=+60%", "kit_mass=-70%"),
    ("speed=+90%", "recharge=-80%"),
    ("top_speed=+80%", "heel=0.5deg", "budget=-30%"),
)


@cache
def catalog(seed: int) -> Catalog:
    with TemporaryDirectory() as folder:
        return read_catalog(write_catalog(Path(folder) / "made", 3, seed))


@cache
def outing(*settings: str) -> Outing:
    text = EXAMPLE.read_text(encoding="utf-8")
    return outing_from_text(edited(text, "outing.toml", settings).text, "outing.toml")


@cache
def advice(seed: int) -> Advice:
    return decide(outing(), catalog(seed))


@pytest.mark.parametrize("settings", TOO_HARD)
@pytest.mark.parametrize("seed", (1, 2))
def test_conflicts_and_ways_out(seed: int, settings: tuple[str, ...]) -> None:
    search = Search(LoadCase(outing(*settings)), catalog(seed))
    broken: list[frozenset[str]] = []
    ways: list[frozenset[str]] = []
    parts = []
    for part in in_parts(search, "cost"):
        broken = smallest([*broken, *part.broken_sets()])
        ways = smallest([*ways, *(part.named(b) for b in np.unique(part.wishes[1]).tolist())])
        parts.append({limits: part.least_change(limits) for limits in ways})
    told = ways_out(search, "cost")
    assert {frozenset(limits) for limits in conflicts(search, "cost")} == {*meeting(broken)}
    assert {frozenset(way.limits) for way in told} == {limits for limits in ways if limits}
    for way in told:
        least = min(part.get(frozenset(way.limits), inf) for part in parts)
        assert way.relative == pytest.approx(least, rel=SAME, abs=SAME), way.limits


@pytest.mark.parametrize("over", ("hours", "kit_mass", "top_speed", "recharge", "trim"))
@pytest.mark.parametrize("seed", (1, 2))
def test_staircases(seed: int, over: str) -> None:
    result = stretch(advice(seed), over)
    question, grows = Question("cost"), OVERS[over].grows
    found: list[tuple[tuple[int, ...], float, Kit]] = []
    for part in in_parts(advice(seed).search, "cost"):
        kits = np.flatnonzero(part.block.broken & ~part.block.bit([over]) == 0)
        kits = order(question, part.block, kits[part.block.beyond[kits] == 0])
        found += steps(part, over, kits, grows=grows)
    found.sort(key=lambda kit: kit[0])
    cover = Cover(result.low, result.high)
    have = np.array([amount for _, amount, _ in found])
    starts, ends = (0.0 * have, have) if grows else (have, have + inf)
    cover.offer(np.arange(have.size), starts, ends)
    pieces = cover.pieces()
    best = [None if piece.kit is None else found[piece.kit][2] for piece in pieces]
    assert len(best) > 1
    assert [step.found and step.found.kit for step in result.steps] == best
    assert [step.end for step in result.steps] == pytest.approx([p.end for p in pieces], rel=SAME)


def steps(
    part: Ledger, over: str, kits: np.ndarray, *, grows: bool
) -> list[tuple[tuple[int, ...], float, Kit]]:
    """(key, amount, kit) of those of some kits in their order that have most so far."""
    have = amounts(part.block, over, kits) * (1.0 if grows else -1.0)
    best = np.maximum.accumulate(have)
    first = np.flatnonzero(best > np.concatenate([[-inf], best])[:-1])
    values = part.block.measures
    return [
        (
            (*(int(values[m][kit]) for m in ("cost", "mass")), int(part.block.rank[kit])),
            abs(float(amount)),
            part.block.kit(int(kit)),
        )
        for kit, amount in zip(kits[first], have[first], strict=True)
    ]


@pytest.mark.parametrize("seed", (1, 2))
def test_front(seed: int) -> None:
    points: list[tuple[tuple[int, ...], Kit]] = []
    for part in in_parts(advice(seed).search, "cost"):
        values, kits = part.block.measures, np.flatnonzero(part.block.broken == 0)
        for kit in order(Question("cost"), part.block, kits).tolist():
            key = int(values["cost"][kit]), int(values["mass"][kit]), int(part.block.rank[kit])
            points.append((key, part.block.kit(kit)))
    points.sort(key=lambda point: point[0])
    front: list[Kit] = []
    lightest = inf
    for (_, mass_g, _), kit in points:
        if mass_g < lightest:
            lightest, front = mass_g, [*front, kit]
    assert [point.found.kit for point in tradeoff(advice(seed)).points] == front
