"""The kit that comes nearest with a part no kit can hold, and the rules it still breaks."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import product

from keelwatt.explain.advise import Advice
from keelwatt.files.kit import Kit
from keelwatt.limits import RULES
from keelwatt.proof import Assessment, Assessor, Limit, Totals, checks
from keelwatt.proof.held import Held

WEIGHED = frozenset(
    {
        "payload",
        "compartment_load",
        "bank_current",
        "stability",
        "control_heat",
        "freeboard",
        "parts",
    }
)
"""Rules that are weighed on whole kits, and so never keep a part out of them all."""

TRIED = frozenset(RULES) - WEIGHED

NO_TOTALS = Totals(price_cents=0, season_units=0, mass_g=0, displacement_g=0)

SWEEPS = 4
"""How often every other part of the kit is tried anew."""


@dataclass(frozen=True)
class Attempt:
    """A kit and the rules it breaks, the nearest miss first."""

    kit: Kit
    broken: tuple[Limit, ...]


def nearest_attempt(advice: Advice) -> Attempt | None:
    """Puts a kit of the first parts together and mends it; ``advice`` requires the part.

    One part after the other is exchanged for the one that breaks the fewest rules, then by the
    least share; the answer is near, not proved nearest. None where a kind has no part left.
    """
    search = _Search(advice)
    kit = search.start()
    if kit is None:
        return None
    score = search.score(kit)
    for _ in range(SWEEPS):
        before = score
        for others in search.exchanges:
            best = min(others(kit), key=search.score)
            kit, score = (best, search.score(best)) if search.score(best) < score else (kit, score)
        if score == before:
            break
    broken = sorted(search.broken(kit), key=lambda limit: -limit.relative_room)
    return Attempt(kit, tuple(broken))


class _Search:
    def __init__(self, advice: Advice) -> None:
        self.advice = advice
        self.case = advice.case
        self.assessor = Assessor(advice.outing, advice.catalog)
        self.exchanges = (self._banks, self._motors, self._controllers, self._wiring)

    def allowed(self, kind: str) -> tuple[str, ...]:
        """The ids of a kind that the outing's wishes on parts leave."""
        wanted = self.advice.outing.parts
        shelf = [p.id for p in self.advice.catalog.kinds()[kind] if p.id not in wanted.refuse]
        return tuple(id_ for id_ in shelf if id_ in wanted.require) or tuple(shelf)

    @cached_property
    def parts(self) -> dict[str, tuple[str | None, ...]]:
        """What each kind may be; no controller or charger where none is required."""
        parts: dict[str, tuple[str | None, ...]] = {
            kind: self.allowed(kind) for kind in self.advice.catalog.kinds() if kind != "boxes"
        }
        required = {*self.advice.outing.parts.require}
        if not required & {*parts["controllers"]}:
            parts["controllers"] = (None, *parts["controllers"])
        if not required & {*parts["chargers"]}:
            parts["chargers"] = (None,)
        return parts

    @cached_property
    def boxes(self) -> tuple[str | None, ...]:
        """Each way to hold a battery, None for a strap."""
        holding = self.advice.search.types.holding
        strap = (None,) if holding.strapped else ()
        return *strap, *(box.id for box in holding.boxes)

    def start(self) -> Kit | None:
        """The first part of every kind, None where a kind has none."""
        if not (all(self.parts.values()) and self.boxes):
            return None
        first = {kind: ids[0] for kind, ids in self.parts.items()}
        control = first["controllers"]
        box, mount = self.advice.outing.craft.compartments[0], self.advice.outing.craft.mounts[0]
        return Kit(
            battery=str(first["batteries"]),
            series=1,
            parallel=1,
            compartment=box.name,
            motor=str(first["motors"]),
            mount=mount.name,
            controller=control,
            cable=str(first["cables"]),
            run_m=self.case.run_m(box, mount, controlled=control is not None),
            fuse=str(first["fuses"]),
            connector=str(first["connectors"]),
            charger=first["chargers"],
            box=self.boxes[0],
        )

    def broken(self, kit: Kit) -> tuple[Limit, ...]:
        bare = Assessment(kit, NO_TOTALS, (), 0.0, 0.0, ())
        held = Held(self.assessor, self.assessor.chosen(kit), bare)
        return tuple(limit for limit in checks.limits(held, TRIED) if not limit.holds)

    def score(self, kit: Kit) -> tuple[int, float]:
        broken = self.broken(kit)
        return len(broken), -sum(limit.relative_room for limit in broken)

    def _banks(self, kit: Kit) -> Iterator[Kit]:
        places = self.advice.outing.craft.compartments
        for unit in self.advice.catalog.batteries:
            if unit.id not in self.parts["batteries"]:
                continue
            counts = product(range(1, unit.max_series + 1), range(1, unit.max_parallel + 1))
            for (series, parallel), place, box in product(counts, places, self.boxes):
                bank = replace(kit, battery=unit.id, series=series, parallel=parallel, box=box)
                yield self._placed(replace(bank, compartment=place.name))

    def _motors(self, kit: Kit) -> Iterator[Kit]:
        for id_, mount in product(self.parts["motors"], self.advice.outing.craft.mounts):
            yield self._placed(replace(kit, motor=str(id_), mount=mount.name))

    def _placed(self, kit: Kit) -> Kit:
        return replace(kit, run_m=self.assessor.planned_run_m(kit))

    def _controllers(self, kit: Kit) -> Iterator[Kit]:
        for id_ in self.parts["controllers"]:
            yield self._placed(replace(kit, controller=id_))

    def _wiring(self, kit: Kit) -> Iterator[Kit]:
        yield from (replace(kit, cable=str(id_)) for id_ in self.parts["cables"])
        yield from (replace(kit, fuse=str(id_)) for id_ in self.parts["fuses"])
        yield from (replace(kit, connector=str(id_)) for id_ in self.parts["connectors"])
