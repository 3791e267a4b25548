"""Kits side by side, each held against the outing."""

import re
import shlex
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from functools import cached_property, partial

import numpy as np

from keelwatt.boat.arrays import Bools, Ints
from keelwatt.boat.load_case import LoadCase
from keelwatt.boat.resistance import Displacements
from keelwatt.choose.answers import Fits
from keelwatt.choose.block import TILTS, Block
from keelwatt.choose.question import Question
from keelwatt.choose.search import Search
from keelwatt.choose.sums import Measure
from keelwatt.errors import InputError, Problem
from keelwatt.explain.prices import Found
from keelwatt.files.catalog.reader import Catalog
from keelwatt.files.kit import Kit
from keelwatt.files.outing import Outing
from keelwatt.limits import WISHES, Limit
from keelwatt.proof import Assessor, Proof, prove
from keelwatt.proof.ways import Way

BEST = "best"
"""In place of ids: the best kit there is."""


@dataclass(frozen=True)
class Contender:
    """A kit proved for the outing, under a name; ``top_speed_m_s``: through calm water."""

    proof: Proof
    top_speed_m_s: float
    name: str = ""

    @property
    def kit(self) -> Kit:
        return self.proof.assessment.kit

    @property
    def sums(self) -> Found:
        totals = self.proof.assessment.totals
        return Found(self.kit, totals.price_cents, totals.mass_g, totals.season_units)

    @cached_property
    def limits(self) -> dict[str, Limit]:
        return {limit.name: limit for limit in self.proof.assessment.limits}

    @property
    def hours(self) -> float:
        """How long a day like this the bank serves, the reserve kept."""
        return self.limits["hours"].has

    @property
    def broken(self) -> tuple[str, ...]:
        return tuple(limit.name for limit in self.proof.assessment.broken)


def contender(assessor: Assessor, kit: Kit, name: str = "") -> Contender:
    """The kit held against every limit; its names must exist."""
    proof = prove(assessor, kit)
    named = {limit.name: limit for limit in proof.assessment.limits}
    if "top_speed" in named:
        return Contender(proof, named["top_speed"].has, name)
    calm = Way(0.0, 0.0, 0.0)
    run = assessor.run(kit, proof.chosen, proof.assessment.totals.displacement_g, calm)
    return Contender(proof, assessor.speed_reached_m_s(run), name)


def compare(
    outing: Outing, catalog: Catalog, kits: Iterable[tuple[str, Kit]]
) -> tuple[Contender, ...]:
    """Each named kit held against every limit of the outing."""
    assessor = Assessor(outing, catalog)
    return tuple(contender(assessor, kit, name) for name, kit in kits)


def best_with(
    outing: Outing,
    catalog: Catalog,
    by: Measure,
    *,
    fits: Fits | None = None,
    water: Displacements | None = None,
    lifted: bool = False,
) -> Kit | None:
    """The best kit the outing's [parts] allow; ``lifted``: whatever its wishes, by the rules."""
    search = Search(LoadCase(outing), catalog, water=water)
    wishes = frozenset(WISHES) & {*search.names} if lifted else frozenset[str]()
    pick = search.best(
        Question(by, lifted=wishes, leaning=frozenset(TILTS if lifted else ())), fits
    )
    return pick.block.kit(pick.row) if pick else None


def kit_of_ids(text: str, outing: Outing, catalog: Catalog, by: Measure) -> Kit:
    """The best kit with the parts of "2xagm-100+motor"; what is not named is chosen.

    Wishes are given up where no kit with these parts meets them all. ``best`` names no part.

    Raises
    ------
    InputError
        With every id the catalog does not hold, or if no kit that keeps the rules has them all.
    """
    kinds = {part.id: kind for kind, parts in catalog.kinds().items() for part in parts}
    words = [] if text == BEST else [word.strip() for word in text.split("+")]
    named = [_counted(word, kinds) for word in words]
    problems = tuple(_problems(text, [id_ for _, id_ in named], kinds))
    if problems:
        raise InputError(problems)
    ids = [id_ for _, id_ in named]
    taken = {kinds[id_] for id_ in ids}
    parts = outing.parts
    changes = {
        "require": (*(id_ for id_ in parts.require if kinds.get(id_) not in taken), *ids),
        "refuse": tuple(id_ for id_ in parts.refuse if id_ not in ids),
    }
    wanted = outing.model_copy(update={"parts": parts.model_copy(update=changes)})
    counts = {id_: count for count, id_ in named if count}
    ask = partial(best_with, wanted, catalog, by, fits=_having(counts) if counts else None)
    kit = ask() or (ask(lifted=True) if ids else None)
    if kit is None:
        follow = ("why", outing.file, ids[0]) if ids else ("pick", outing.file)
        what = "is in no kit that keeps the rules" if ids else "is none: no kit meets every limit"
        raise InputError.at("KIT", what, f"see {shlex.join(['keelwatt', *follow])}", value=text)
    return kit


def _counted(word: str, kinds: Mapping[str, str]) -> tuple[int, str]:
    """(2, "agm") of "2xagm"; 0 where no number is given."""
    counted = re.fullmatch(r"(\d+)\s*x\s*(.+)", word)
    return (int(counted[1]), counted[2]) if counted and word not in kinds else (0, word)


def _having(counts: Mapping[str, int]) -> Fits:
    """Kits with so many of their battery."""
    return only(lambda kit: counts.get(kit.battery, kit.units) == kit.units)


def only(suits: Callable[[Kit], bool]) -> Fits:
    """Kits that suit, as a search asks."""

    def fits(block: Block, kits: Ints) -> Bools:
        return np.array([suits(block.kit(int(row))) for row in kits], dtype=bool)

    return fits


def _problems(text: str, ids: list[str], kinds: Mapping[str, str]) -> Iterator[Problem]:
    by_kind: dict[str, str] = {}
    for id_ in ids:
        kind = kinds.get(id_)
        if kind is None:
            close = get_close_matches(id_, kinds, n=1)
            remedy = f"did you mean {close[0]}?" if close else "see `keelwatt catalog list`"
            what = "is neither a kit file nor a part of the catalog"
            yield Problem(file="KIT", key=text, value=id_, what=what, remedy=remedy)
        elif kind in by_kind:
            what = f"is one too many: a kit holds one of the {kind} only"
            yield Problem(file="KIT", key=text, value=id_, what=what, remedy="keep one of them")
        else:
            by_kind[kind] = id_
