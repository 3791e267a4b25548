"""What a part buys: one kit with it and without it, and the best kits with it and without it."""

from dataclasses import dataclass, replace
from functools import cache, partial
from itertools import chain, product
from typing import Any

from keelwatt.boat.resistance import Displacements
from keelwatt.choose.solver import SolverName
from keelwatt.choose.sums import Measure
from keelwatt.explain.advise import Advice, decide
from keelwatt.explain.changed import PLACES, changed
from keelwatt.explain.compare import Contender, best_with, contender, only
from keelwatt.explain.why import kind_of, requiring, with_parts
from keelwatt.files.catalog.parts import Part
from keelwatt.files.catalog.reader import Catalog
from keelwatt.files.kit import Kit
from keelwatt.files.outing import Outing, Parts
from keelwatt.limits import Limit
from keelwatt.proof import Assessor

KINDS = {
    "batteries": "battery",
    "motors": "motor",
    "controllers": "controller",
    "cables": "cable",
    "fuses": "fuse",
    "connectors": "connector",
    "chargers": "charger",
    "boxes": "box",
}
"""A catalog's shelves -> what a kit calls a part of them."""

SPARE = ("controller", "charger", "box")
"""What a kit may do without."""

FOLLOWS = (("cable", "fuse", "connector"), ("charger",), ("controller", "box"))
"""What may change along with a part, if it must; a control or a box only along with battery or
motor."""

MENDED = ("voltage_drop", "ampacity", "conductor", "protection", "fuse_voltage", "interrupting",
          "connector_rating", "connector_size", "chemistry")  # fmt: skip
"""Rules other wiring or another charger may mend."""


@dataclass(frozen=True)
class Bought:
    """What is had with a part less what is had without it."""

    cost_cents: int
    mass_g: int
    season_cents: float
    hours: float
    top_speed_m_s: float


@dataclass(frozen=True)
class Pair:
    """Kits without the part and with it; None where there is none."""

    without: Contender | None
    with_it: Contender | None

    @property
    def buys(self) -> Bought | None:
        if self.without is None or self.with_it is None:
            return None
        was, now = (side.proof.assessment.totals for side in (self.without, self.with_it))
        return Bought(
            now.price_cents - was.price_cents,
            now.mass_g - was.mass_g,
            now.season_cents - was.season_cents,
            self.with_it.hours - self.without.hours,
            self.with_it.top_speed_m_s - self.without.top_speed_m_s,
        )


@dataclass(frozen=True)
class Worth:
    """One part: ``same`` is one kit with and without it, ``best`` the best kits with and without.

    ``advice``: the best kit of all. ``set_aside``: ids under [parts] that the question dropped.
    ``in_the_way``: rules the part breaks where it cannot go into the one kit.
    Without an external controller is without any, not with another one.
    """

    part: str
    kind: str
    advice: Advice
    same: Pair
    best: Pair
    set_aside: tuple[str, ...] = ()
    in_the_way: tuple[Limit, ...] = ()


def worth(
    outing: Outing,
    catalog: Catalog,
    part_id: str,
    kit: Kit | None = None,
    *,
    by: Measure | None = None,
    solver: SolverName = "highs",
) -> Worth:
    """What a part buys in ``kit``, else in the best kit with it, and between the best kits.

    Raises
    ------
    InputError
        If the catalog holds no such part, or the outing has problems of its own.
    """
    shelf = kind_of(catalog, part_id)
    kind = KINDS[shelf]
    advice = decide(outing, catalog, by=by, solver=solver)
    chosen, water = advice.choice.kit, advice.search.types.displacements
    ids = chosen.ids if chosen else frozenset()
    away = {part.id for part in catalog.controllers} if kind == "controller" else {part_id}

    def best(parts: Parts, *, already: bool) -> Kit | None:
        if chosen and already:
            return chosen
        return best_with(with_parts(outing, parts), catalog, advice.by, water=water)

    requires, aside = requiring(outing.parts, catalog, part_id, shelf)
    refuses = {
        "refuse": (*outing.parts.refuse, *sorted(away)),
        "require": tuple(id_ for id_ in outing.parts.require if id_ not in away),
    }
    with_it = best(requires, already=part_id in ids)
    without = best(outing.parts.model_copy(update=refuses), already=not away & ids)
    base = kit or with_it or without or chosen
    same: tuple[Kit | None, Kit | None] = (None, None)
    if base:
        exchange = _Exchange(outing, catalog, advice.by, water, base, kind)
        same = (
            exchange.without(away) if away & base.ids else base,
            base if part_id in base.ids else exchange.having(part_id),
        )
    anything = outing.parts.model_copy(update={"require": (), "refuse": ()})
    assessor = Assessor(with_parts(outing, anything), catalog)

    @cache
    def held(found: Kit | None) -> Contender | None:
        return contender(assessor, found) if found else None

    dropped = dict.fromkeys((*aside, *(id_ for id_ in outing.parts.require if id_ in away)))
    return Worth(
        part_id,
        kind,
        advice,
        Pair(held(same[0]), held(same[1])),
        Pair(held(without), held(with_it)),
        tuple(dropped),
        _in_the_way(assessor, base, kind, part_id) if base and same[1] is None else (),
    )


def _in_the_way(assessor: Assessor, kit: Kit, kind: str, part_id: str) -> tuple[Limit, ...]:
    """The rules a kit breaks with the part simply put in, wiring apart; different volts alone."""
    put = changed_to(kit, kind, part_id)
    put = replace(put, run_m=assessor.planned_run_m(put))
    broken = tuple(limit for limit in assessor.assess(put).broken if limit.kind == "rule")
    grave = tuple(limit for limit in broken if limit.name not in MENDED) or broken
    return tuple(limit for limit in grave if limit.name == "voltage_match") or grave


def changed_to(kit: Kit, kind: str, part_id: str | None) -> Kit:
    """The kit with another part of a kind, its numbers and places as they were."""
    other: dict[str, Any] = {kind: part_id}
    return replace(kit, **other)


@dataclass(frozen=True)
class _Exchange:
    """A kit with one kind of part exchanged, and as little else as that allows."""

    outing: Outing
    catalog: Catalog
    by: Measure
    water: Displacements
    kit: Kit
    kind: str

    def having(self, part_id: str) -> Kit | None:
        """With the part: if need be with other wiring, then with wishes unmet."""
        return self._first((part_id,), set(), lifting=True)

    def without(self, away: set[str]) -> Kit | None:
        """With nothing in its place; where a kit needs something, with what meets every wish."""
        if self.kind not in SPARE:
            return self._first((), away, lifting=False)
        return self._first((), {part.id for part in self._shelf(self.kind)}, lifting=True)

    def _first(self, has: tuple[str, ...], lacks: set[str], *, lifting: bool) -> Kit | None:
        last = len(FOLLOWS) - (self.kind not in ("battery", "motor"))
        steps = [{self.kind, *chain(*FOLLOWS[:count])} for count in range(last + 1)]
        unmet = ((False, False), (True, True), (True, False))[: 3 if lifting else 1]
        for (lifted, placed), loose in product(unmet, steps):
            parts = self._parts(has, lacks, frozenset(PLACES) - loose)
            found = best_with(
                with_parts(self.outing, parts),
                self.catalog,
                self.by,
                fits=only(partial(self._alike, loose=loose, placed=placed)),
                water=self.water,
                lifted=lifted,
            )
            if found:
                return found
        return None

    def _parts(self, has: tuple[str, ...], lacks: set[str], fixed: frozenset[str]) -> Parts:
        """The kit's parts of the fixed kinds required, or all of a kind refused if it has none."""
        ids = {kind: getattr(self.kit, kind) for kind in PLACES if kind in fixed}
        gone = {p.id for kind, id_ in ids.items() if not id_ for p in self._shelf(kind)}
        require = (*has, *(id_ for id_ in ids.values() if id_))
        refuse = ({*self.outing.parts.refuse} - {*require}) | lacks | gone
        changes = {"require": require, "refuse": tuple(sorted(refuse))}
        return self.outing.parts.model_copy(update=changes)

    def _shelf(self, kind: str) -> tuple[Part, ...]:
        parts = self.catalog.kinds()[next(shelf for shelf, of in KINDS.items() if of == kind)]
        return tuple(part for part in parts if getattr(part, "holds", "") != "control")

    def _alike(self, found: Kit, *, loose: set[str], placed: bool) -> bool:
        """Whether only what may change does; ``placed``: numbers and places never do.

        A battery asks at the most for another control or charger, not for one more or less.
        """
        timed = self.outing.limits.recharge_within_h is not None
        kept = {"controller": self.kind == "battery", "charger": timed and self.kind != "charger"}
        if any(
            there and bool(getattr(found, kind)) != bool(getattr(self.kit, kind))
            for kind, there in kept.items()
        ):
            return False
        found = replace(found, run_m=self.kit.run_m)
        if placed:
            found = changed_to(found, self.kind, getattr(self.kit, self.kind))
        return (loose - {self.kind} if placed else loose).issuperset(changed(self.kit, found))
