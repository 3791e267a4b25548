"""Every kit of a catalog and an outing, in catalog order; knows nothing of tables or programs."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cache
from itertools import permutations, product
from typing import Literal

from keelwatt.files.catalog.parts import (
    Battery,
    Cable,
    Connector,
    Controller,
    Enclosure,
    Fuse,
    Motor,
)
from keelwatt.files.catalog.reader import Catalog
from keelwatt.files.kit import Kit
from keelwatt.files.outing import Compartment, Mount, Outing, Place
from keelwatt.physics.cable import ampacity_a
from keelwatt.proof import Assessor
from oracle.bills import Beside

Measure = Literal["cost", "mass", "season"]
THEN: dict[Measure, Measure] = {"cost": "mass", "mass": "cost", "season": "mass"}

Carried = Motor | Controller | Fuse | Connector

GRACE = 1 + 1e-9
"""The sieve lets the last digits pass: the verdict is the proof's."""

GRACE_M = 1e-6

LEAST_FRESH = 0.65
"""On no bank of these shelves does a motor draw less than this share of its nominal current."""


@dataclass(frozen=True)
class Answer:
    """A kit that holds, and its whole-number measures."""

    kit: Kit
    measures: dict[Measure, int]


def priced_kits(outing: Outing, catalog: Catalog) -> tuple[Answer, ...]:
    """Every sound kit that goes with the parts required and refused, in catalog order."""
    return tuple(
        Answer(kit, measures(outing, catalog, kit))
        for kit in sound_kits(outing, catalog)
        if suits_wishes(outing, kit)
    )


def best_by_enumeration(
    holds: Callable[[Kit], bool], answers: tuple[Answer, ...], by: Measure
) -> Answer | None:
    """Of the kits that hold: least in ``by``, then in its second measure, then in catalog order."""
    inorder = sorted(answers, key=lambda a: (a.measures[by], a.measures[THEN[by]]))
    return next((answer for answer in inorder if holds(answer.kit)), None)


def kits_with_measures(
    assessor: Assessor, catalog: Catalog, wanted: Mapping[Measure, int]
) -> tuple[Kit, ...]:
    """Every kit that holds and has exactly these measures, in catalog order."""
    return tuple(
        answer.kit
        for answer in priced_kits(assessor.outing, catalog)
        if all(answer.measures[measure] == value for measure, value in wanted.items())
        and assessor.assess(answer.kit).holds
    )


def measures(outing: Outing, catalog: Catalog, kit: Kit) -> dict[Measure, int]:
    """Cents, grams and hundredths of a cent a season, summed part by part."""
    battery = next(part for part in catalog.batteries if part.id == kit.battery)
    others = (kit.motor, kit.controller, kit.fuse, kit.connector)
    shelves: tuple[Carried, ...]
    shelves = (*catalog.motors, *catalog.controllers, *catalog.fuses, *catalog.connectors)
    carried = [part for part in shelves if part.id in others]
    prices = {part.id: part.price_cents for part in carried}
    prices.update((part.id, part.price_cents) for part in catalog.chargers)
    units = kit.series * kit.parallel
    bank_cents = _owing(outing, battery.id, units) * battery.price_cents
    bought = [*(part.id for part in carried), *([kit.charger] if kit.charger else [])]
    strings = kit.parallel if kit.parallel > 1 else 0
    count = {kit.fuse: 1 + strings, kit.connector: outing.policy.disconnects}
    beside_cents, beside_g = Beside(outing, catalog, kit).sums()
    rest = [_owing(outing, id_, count.get(id_, 1)) * prices[id_] for id_ in bought]
    rest.append(beside_cents)
    seasons = min(battery.cycles / outing.wish.outings_per_season, battery.calendar_years)
    return {
        "cost": bank_cents + sum(rest),
        "mass": units * round(1000 * battery.mass_kg)
        + sum(count.get(part.id, 1) * round(1000 * part.mass_kg) for part in carried)
        + beside_g,
        "season": round(100 * bank_cents / seasons) + sum(10 * cents for cents in rest),
    }


def _owing(outing: Outing, id_: str, count: int) -> int:
    if id_ not in outing.parts.own:
        return count
    return max(0, count - outing.parts.own_pieces.get(id_, count))


def suits_wishes(outing: Outing, kit: Kit) -> bool:
    """Spares the proof kits that lack a required part or hold a refused one."""
    ids = {kit.battery, kit.motor, kit.controller, kit.cable, kit.fuse, kit.connector, kit.charger}
    ids.add(kit.box)
    return ids.issuperset(outing.parts.require) and ids.isdisjoint(outing.parts.refuse)


def sound_kits(outing: Outing, catalog: Catalog) -> Iterator[Kit]:
    """Kits whose voltages, ratings, sizes and room pass a first sieve, in catalog order."""
    craft = outing.craft
    chargers: tuple[str | None, ...] = (None,)
    ashore = {charger.id for charger in catalog.chargers}
    if outing.limits.recharge_within_h is not None or ashore & {*outing.parts.require}:
        chargers = (None, *(charger.id for charger in catalog.chargers))
    wiring = cache(lambda motor: tuple(_wiring(outing, catalog, motor)))
    for battery in catalog.batteries:
        counts = product(range(1, battery.max_series + 1), range(1, battery.max_parallel + 1))
        held = (
            (series, parallel, case)
            for series, parallel in counts
            for case in ways_to_hold(outing, catalog, battery, series * parallel)
        )
        for (series, parallel, case), box in product(held, craft.compartments):
            if not _has_room(outing, battery, series * parallel, box, case):
                continue
            for motor, controller, mount in product(
                catalog.motors, (None, *catalog.controllers), craft.mounts
            ):
                if series * battery.system_v != motor.system_v:
                    continue
                if controller and not _may_drive(controller, motor):
                    continue
                for (cable, fuse, plug), charger in product(wiring(motor), chargers):
                    yield Kit(
                        battery=battery.id,
                        series=series,
                        parallel=parallel,
                        compartment=box.name,
                        motor=motor.id,
                        mount=mount.name,
                        controller=controller.id if controller else None,
                        cable=cable,
                        run_m=_run_m(outing, box, mount, controller),
                        fuse=fuse,
                        connector=plug,
                        charger=charger,
                        box=case.id if case else None,
                    )


def ways_to_hold(
    outing: Outing, catalog: Catalog, battery: Battery, units: int
) -> tuple[Enclosure | None, ...]:
    """Strap first, then the boxes a battery stands in; none that another beats in all."""
    policy, parts = outing.policy.battery_box, outing.parts
    boxes = [box for box in catalog.boxes if box.holds == "battery" and policy != "never"]
    asked = {box.id for box in catalog.boxes if box.holds == "battery"} & {*parts.require}
    boxes = [box for box in boxes if box.id not in parts.refuse]
    boxes = [box for box in boxes if not asked or box.id in asked]
    strap: list[Enclosure | None] = [None] if policy != "always" and not asked else []
    ways = [*strap, *(box for box in boxes if _stands_in(battery, box))]

    def cost(way: Enclosure | None) -> tuple[int, int, tuple[float, ...]]:
        bare = Kit(battery.id, 1, units, "", "", "", None, "", 0.0, "", "", None)
        held = replace(bare, box=way.id if way else None)
        cents, grams = Beside(outing, catalog, held).held()
        size = (*sorted(way.outer_m[:2]), way.outer_m[2]) if way else (0.0, 0.0, 0.0)
        return cents, grams, size

    costs = [cost(way) for way in ways]

    def beats(other: int, own: int) -> bool:
        (a, a_g, a_m), (b, b_g, b_m) = costs[other], costs[own]
        no_worse = a <= b and a_g <= b_g and all(x <= y for x, y in zip(a_m, b_m, strict=True))
        return no_worse and ((a, a_g) != (b, b_g) or other < own)

    every = range(len(ways))
    return tuple(ways[own] for own in every if not any(beats(other, own) for other in every))


def _stands_in(battery: Battery, box: Enclosure) -> bool:
    across = (battery.length_m, battery.width_m), (battery.width_m, battery.length_m)
    return battery.height_m <= box.inner_height_m + GRACE_M and any(
        length <= box.inner_length_m + GRACE_M and width <= box.inner_width_m + GRACE_M
        for length, width in across
    )


def _run_m(outing: Outing, box: Compartment, mount: Mount, controller: Controller | None) -> float:
    """Straight to the motor, or over the control, no shorter then than what is given for all."""
    given, at = outing.craft.cable_run_m, outing.craft.controller_at
    whole = given.get((box.name, mount.name))
    straight = whole or _way_m(box, mount)
    to, beyond = given.get((box.name, "control")), given.get(("control", mount.name))
    if not controller or (not at and not to and not beyond):
        return straight
    guess = (_way_m(box, at), _way_m(at, mount)) if at else (straight, 0.0)
    over = (to or guess[0]) + (beyond or guess[1])
    return over if to or beyond else max(over, whole or 0.0)


def _way_m(start: Place, end: Place) -> float:
    return abs(start.x_m - end.x_m) + abs(start.y_m - end.y_m) + abs(start.z_m - end.z_m) + 0.6


def _has_room(
    outing: Outing, battery: Battery, units: int, box: Compartment, case: Enclosure | None
) -> bool:
    """Whether some turn and some number of rows fits the room; hatches are left to the proof."""
    free = [side - 2 * outing.policy.clearance_m + GRACE_M for side in _sides(box)]
    sides = case.outer_m if case else _sides(battery)
    for length, width, height in permutations(sides):
        if (case or battery.upright_only) and height != sides[2]:
            continue
        rows, columns = int(free[0] / length), int(free[1] / width)
        if rows * columns >= units and height <= free[2]:
            return True
    return False


def _sides(box: Battery | Compartment) -> tuple[float, float, float]:
    return box.length_m, box.width_m, box.height_m


def _may_drive(controller: Controller, motor: Motor) -> bool:
    within = controller.min_system_v <= motor.system_v <= controller.max_system_v
    strong = 1.25 * LEAST_FRESH * motor.current_a <= controller.current_a
    return motor.control == "stepped" and within and strong


def _wiring(outing: Outing, catalog: Catalog, motor: Motor) -> Iterator[tuple[str, str, str]]:
    """Ids of cable, fuse and connector that stand the motor's current, run not considered."""

    def guards(fuse: Fuse, cable: Cable) -> bool:
        policy = outing.policy
        ampacity = ampacity_a(
            area_mm2=cable.area_mm2,
            insulation_c=cable.insulation_c,
            place_temperature_c=policy.place_temperature_c,
        )
        return bool(fuse.rating_a <= ampacity * policy.fuse_over_ampacity * GRACE)

    def takes(plug: Connector, cable: Cable) -> bool:
        return plug.smallest_mm2 <= cable.area_mm2 * GRACE <= plug.largest_mm2 * GRACE**2

    for cable, fuse, plug in product(catalog.cables, catalog.fuses, catalog.connectors):
        strong = min(fuse.rating_a / 1.1, plug.current_a) >= LEAST_FRESH * motor.current_a
        if strong and guards(fuse, cable) and takes(plug, cable):
            yield cable.id, fuse.id, plug.id
