"""Seeded random small cases: a catalog, and an outing whose limits lie near what its kits reach.

All parts and craft are invented. A first draft of the outing asks for little; then one kit that
keeps the rules is drawn, and limits are set about its own values: exactly at them, a step short of
them, or some way off. So limits bind often, and about a quarter of the cases are impossible.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cache, cached_property, lru_cache
from random import Random
from typing import Any

from keelwatt.choose.search import Search
from keelwatt.files.catalog.reader import Catalog
from keelwatt.files.kit import Kit
from keelwatt.files.outing import (
    Box,
    Compartment,
    Craft,
    Device,
    Leg,
    Limits,
    Load,
    Mount,
    Outing,
    Parts,
    Place,
    Policy,
    Water,
    Wish,
)
from keelwatt.physics.shapes import HULL_SHAPES
from keelwatt.proof import Assessment, Assessor
from keelwatt.proof.model import Chosen
from keelwatt.proof.ways import Way
from keelwatt.units import to_si
from oracle.cheap_water import CheapAssessor, CheapLoadCase
from oracle.enumeration import sound_kits
from oracle.random_parts import boxed, catalog_of, furnished
from oracle.wide_parts import load_limits, wide_catalog_of

WIDE = 100_000
"""Seeds from here on draw from wide shelves: 12 to 48 V, banks off a motor's nominal voltage."""

DRAWN = 12
"""Kits drawn from the first draft; the limits are set about the one that breaks the fewest."""


MOST = 64
"""Cases, and what was made of them, that are kept: all of some thousand took gigabytes, and ever
longer a test."""

DRAFTS = 3
"""How many first drafts are tried for one of whose drawn kits holds."""


@dataclass(frozen=True)
class Case:
    """One outing and catalog, and the seed that makes them again."""

    seed: int
    outing: Outing
    catalog: Catalog

    @cached_property
    def load_case(self) -> CheapLoadCase:
        return CheapLoadCase(self.outing)

    @cached_property
    def assessor(self) -> CheapAssessor:
        return CheapAssessor(self.outing, self.catalog)

    @cached_property
    def holds(self) -> Callable[[Kit], bool]:
        """Whether a kit keeps every limit, by the proof."""
        return cache(lambda kit: self.assessor.assess(kit).holds)

    @cached_property
    def search(self) -> Search:
        return Search(self.load_case, self.catalog)


@lru_cache(MOST)
def random_case(seed: int) -> Case:
    """The case of a seed."""
    r, apart = Random(seed), Random(-seed - 1)
    shelf = wide_catalog_of if seed >= WIDE else catalog_of
    for _ in range(DRAFTS):
        water = Random(f"water {seed}")
        catalog, outing = shelf(r), _waters(water, _wired(apart, _draft(r)))
        if r.random() < 0.2:
            outing = _tender(r, outing)
        beside = Random(f"beside {seed}")
        catalog, outing = furnished(beside, catalog), _billed(beside, outing)
        held = Random(f"held {seed}")
        catalog, outing = boxed(held, catalog), _held(held, outing)
        outing = _wishing_boxes(seed, outing, catalog)
        assessor = CheapAssessor(outing, catalog)
        kits = tuple(sound_kits(outing, catalog))
        drawn = [assessor.assess(kit) for kit in r.sample(kits, min(len(kits), DRAWN))]
        drawn.sort(key=lambda assessment: len(assessment.broken))
        if drawn and drawn[0].holds:
            break
    if drawn:
        outing = _bound(r, outing, catalog, drawn[0])
        outing = _fitted(Random(-seed - 1), outing, catalog, drawn[0])
        catalog = _heated(apart, catalog, drawn)
    if seed >= WIDE:
        outing = load_limits(r, outing, catalog)
    outing = _wishing_boxes(seed, outing, catalog)
    return Case(seed, outing, catalog)


def _billed(r: Random, outing: Outing) -> Outing:
    """With its own way to buy cable and small parts, and devices for other voltages."""
    policy = {"cable_by": r.choice([None, "metre", "foot"]), "typical_prices": r.random() < 0.7}
    devices = tuple(
        device.model_copy(update={"voltage_v": r.choice([None, None, 5.0, 12.0])})
        for device in outing.devices
    )
    changed = outing.policy.model_copy(update=policy)
    return outing.model_copy(update={"policy": changed, "devices": devices})


def _held(r: Random, outing: Outing) -> Outing:
    """With one plug or two, and boxes asked for or not."""
    boxes = r.choice(["always", "never", *["if cheapest"] * 7])
    policy = {"disconnects": r.choice([1, 1, 2]), "battery_box": boxes}
    return outing.model_copy(update={"policy": outing.policy.model_copy(update=policy)})


def _wishing_boxes(seed: int, outing: Outing, catalog: Catalog) -> Outing:
    """Sometimes with a box owned, once or in any number, refused or required; always the same."""
    r = Random(f"boxes {seed}")
    parts, ids = outing.parts, [box.id for box in catalog.boxes]
    wish = r.choice(["", "", "", "own", "own", "refuse", "require"])
    if not ids or not wish:
        return outing
    one = r.choice(ids)
    if wish == "require" and (not one.startswith("case") or outing.policy.battery_box == "never"):
        return outing
    changes: dict[str, Any] = {wish: (*getattr(parts, wish), one)}
    if wish == "own" and r.random() < 0.5:
        changes["own_pieces"] = {**parts.own_pieces, one: r.choice([1, 2])}
    return outing.model_copy(update={"parts": parts.model_copy(update=changes)})


def _draft(r: Random) -> Outing:
    shape = HULL_SHAPES[r.choice(list(HULL_SHAPES))]
    return Outing(
        title="random",
        currency="USD",
        water=Water(
            kind=r.choice(["fresh", "salt"]), temperature_c=r.choice([0.0, 8.0, 15.0, 25.0])
        ),
        craft=Craft(
            **shape._asdict(),
            waterline_length_m=r.uniform(3.6, 5.2),
            waterline_beam_m=r.uniform(0.75, 1.1),
            hull_mass_kg=r.choice([22.0, 31.5, 40.0004]),
            hull_height_m=r.choice([0.12, 0.18]),
            payload_limit_kg=r.choice([260.0, 340.0]),
            wind_area_m2=r.choice([0.0, 0.5]),
            controller_at=r.choice([None, Place(x_m=-0.5, y_m=0.1, z_m=0.2)]),
            compartments=tuple(_compartment(r, name) for name in "ab"[: r.choice([1, 2, 2])]),
            mounts=tuple(_mount(r, name) for name in "mn"[: r.choice([1, 2])]),
            cable_run_m={("a", "m"): r.uniform(0.5, 3.0)} if r.random() < 0.3 else {},
        ),
        aboard=(
            Load(
                name="paddler", mass_kg=r.choice([60.0, 82.0, 75.0003]), x_m=0.3, y_m=0.0, z_m=0.25
            ),
            Load(
                name="gear", mass_kg=12.0, x_m=r.uniform(0.3, 1.2), y_m=r.choice([0, 0.1]), z_m=0.1
            ),
        ),
        legs=tuple(_leg(r, number) for number in range(r.choice([1, 2, 3]))),
        devices=tuple(_device(r, number) for number in range(r.choice([0, 0, 1, 2]))),
        limits=Limits(
            reserve=r.choice([0.1, 0.2]),
            max_trim_rad=to_si(3, "deg", "angle"),
            max_heel_rad=to_si(5, "deg", "angle"),
            voltage_drop=r.choice([0.03, 0.05, 0.1]),
            payload_margin_kg=r.choice([0.0, 5.0]),
        ),
        policy=Policy(
            health=r.choice([0.8, 1.0]),
            clearance_m=r.choice([0.0, 0.01]),
            discharge=r.choice(["everyday", "occasional", "limit"]),
            place_temperature_c=r.choice([20.0, 30.0, 40.0]),
            fuse_over_ampacity=r.choice([1.0, 1.0, 1.5]),
            claimed_thrust=r.choice([0.85, 0.7, 1.0]),
        ),
        wish=Wish(outings_per_season=r.choice([5, 20, 60])),
    )


def _wired(r: Random, outing: Outing) -> Outing:
    """The outing with some sections of its runs measured, and some controls in a box.

    Drawn apart from all else, as ``_heated``: a seed's parts and limits stay what they are.
    """
    craft = outing.craft
    runs = {
        pair: r.uniform(0.3, 2.0)
        for pair in (("a", "control"), ("b", "control"), ("control", "m"), ("control", "n"))
        if r.random() < 0.2
    }
    names = {"control", *(box.name for box in craft.compartments)}
    names |= {mount.name for mount in craft.mounts}
    runs = {pair: run_m for pair, run_m in runs.items() if names.issuperset(pair)}
    box = Box(length_m=0.2, width_m=0.15, height_m=r.choice([0.04, 0.08]))
    changes = {"cable_run_m": {**craft.cable_run_m, **runs}, "control_box": r.choice([None, box])}
    return outing.model_copy(update={"craft": craft.model_copy(update=changes)})


def _heated(r: Random, catalog: Catalog, drawn: list[Assessment]) -> Catalog:
    """The catalog whose controllers stand just more, just less, or far more than some kit asks."""
    has = [limit.has for each in drawn for limit in each.limits if limit.name == "control_heat"]
    asked = has or [45.0]
    controllers = tuple(
        each.model_copy(
            update={"max_temperature_c": r.choice(asked) * r.choice([0.997, 1.003, 1.05, 2.0])}
        )
        for each in catalog.controllers
    )
    return replace(catalog, controllers=controllers)


def _waters(r: Random, outing: Outing) -> Outing:
    """The outing with a boat that was towed, or with shallow legs, one time in three each.

    Drawn apart, so that all else of a seed stays as it is.
    """
    craft, legs = outing.craft, outing.legs
    if r.random() < 0.33:
        points = tuple(
            (v, r.uniform(6.0, 14.0) * v**2) for v in (0.8, 1.2, 1.6)[: r.choice([1, 3])]
        )
        heavy_kg = r.choice([None, 90.0, 180.0])
        towed = {"towed": points, "towed_displacement_kg": heavy_kg, "drag_factor": 1.0}
        craft = craft.model_copy(update=towed)
    if r.random() < 0.33:
        depths = [None, 0.3, 0.45, 0.8, 3.0]
        legs = tuple(leg.model_copy(update={"depth_m": r.choice(depths)}) for leg in legs)
    return outing.model_copy(update={"craft": craft, "legs": legs})


def _tender(r: Random, outing: Outing) -> Outing:
    """The outing with its paddler so high that the craft hardly stands, or only with ballast."""
    paddler, *others = outing.aboard
    load_case = CheapLoadCase(outing)
    _, _, rising = load_case.bare_moments_kg_m
    spare_kg_m = load_case.waterplane_stiffness_kg_m - rising - r.uniform(-1.0, 4.0)
    higher = paddler.model_copy(update={"z_m": paddler.z_m + spare_kg_m / paddler.mass_kg})
    return outing.model_copy(update={"aboard": (higher, *others)})


def _compartment(r: Random, name: str) -> Compartment:
    hatch = r.random() < 0.3
    return Compartment(
        name=name,
        length_m=r.choice([0.4, 0.6, 0.8]),
        width_m=r.choice([0.3, 0.45]),
        height_m=r.choice([0.24, 0.3]),
        opening_length_m=r.choice([0.18, 0.35]) if hatch else None,
        opening_width_m=0.25 if hatch else None,
        x_m=r.choice([-1.2, -0.6, 0.4, 1.2]),
        y_m=r.choice([0.0, 0.0, 0.2, -0.2]),
        z_m=r.choice([0.01, 0.1, 0.2]),
    )


def _mount(r: Random, name: str) -> Mount:
    return Mount(
        name=name,
        x_m=r.choice([-2.0, -1.5, 1.6]),
        y_m=r.choice([0.0, 0.0, 0.3]),
        z_m=r.choice([0.01, 0.3, 0.4]),
        shaft_needed_m=r.choice([None, None, None, 0.6, 0.7]),
    )


def _leg(r: Random, number: int) -> Leg:
    """The first is always driven."""
    return Leg(
        name=f"leg {number}",
        motor="off" if number and r.random() < 0.2 else "on",
        speed_m_s=r.choice([0.0, 0.6, 0.9, 1.1, 1.3]),
        duration_h=r.uniform(0.3, 2.0),
        headwind_m_s=r.choice([0.0, 0.0, 2.0, 4.0, -3.0]),
        current_m_s=r.choice([0.0, 0.0, 0.3, -0.4, -1.0]),
    )


def _device(r: Random, number: int) -> Device:
    return Device(
        name=f"device {number}", power_w=r.choice([2.0, 10.0, 40.0]), duration_h=r.uniform(0.5, 6.0)
    )


def _bound(r: Random, outing: Outing, catalog: Catalog, assessment: Assessment) -> Outing:
    """The outing with limits about the values of one kit."""
    totals, kit = assessment.totals, assessment.kit
    assessor = CheapAssessor(outing, catalog)
    chosen = assessor.chosen(kit)
    pieces = (chosen.battery, chosen.motor, chosen.controller, chosen.box)
    heaviest = max(piece.mass_kg for piece in pieces if piece)
    has = {limit.name: limit.has for limit in assessment.limits}
    still = assessor.run(kit, chosen, totals.displacement_g, Way(0.0, 0.0, 0.0))
    top = Assessor.speed_reached_m_s(assessor, still)
    budget = _about(r, totals.price_cents, 1)
    season = _about(r, totals.season_cents, 1)
    recharge = r.choices([None, r.uniform(7.0, 20.0), 40.0], [7, 1, 2])[0]
    wished: dict[str, Any] = {
        "budget_cents": None if budget is None else round(budget),
        "season_cents": None if season is None else round(season),
        "kit_mass_kg": _about(r, totals.mass_g / 1000, 0.001),
        "lift_kg": _about(r, heaviest, 0.001),
        "top_speed_m_s": r.choices([None, 0.5 * top, 0.95 * top, 1.1 * top], [12, 4, 5, 1])[0],
        "max_trim_rad": _angle(r, has["trim"], 3.0),
        "max_heel_rad": _angle(r, has["heel"], 5.0),
        "recharge_within_h": recharge if catalog.chargers else None,
    }
    stretch = r.choices([0.5, 0.9, 0.99, 1.01], [10, 5, 3, 1])[0]
    hours = stretch * max(0.1, min(assessment.hours_at_limit, 10.0))
    return outing.model_copy(
        update={
            "limits": outing.limits.model_copy(update=wished),
            "craft": _bounded_craft(r, outing, chosen, assessment),
            "legs": tuple(
                leg.model_copy(update={"duration_h": leg.duration_h * hours}) for leg in outing.legs
            ),
            "parts": _parts(r, catalog, kit),
        }
    )


def _about(r: Random, value: float, step: float) -> float | None:
    """Nothing, or a bound above a value, at it, or a step short of it."""
    bounds = [None, value * 1.3, value * 1.1, value, value - step]
    return r.choices(bounds, [24, 4, 4, 3, 1])[0]


def _angle(r: Random, has_deg: float, most_deg: float) -> float:
    wished = has_deg * r.choices([0.95, 1.05, 1.5, 9.0], [1, 4, 6, 12])[0]
    return to_si(min(most_deg, max(0.3, wished)), "deg", "angle")


def _bounded_craft(r: Random, outing: Outing, chosen: Chosen, assessment: Assessment) -> Craft:
    bank_kg = assessment.kit.units * chosen.battery.mass_kg + assessment.totals.held_g / 1000
    loads = [None, bank_kg * 1.5, bank_kg, bank_kg - 0.0004]
    boxes = tuple(
        box.model_copy(update={"max_load_kg": r.choices(loads, [18, 5, 3, 1])[0]})
        for box in outing.craft.compartments
    )
    aboard_kg = sum(load.mass_kg for load in outing.aboard)
    spare_kg = r.choices([50.0, 3.0, 0.0, -0.0004], [24, 6, 3, 1])[0]
    plate_kg = aboard_kg + assessment.totals.mass_g / 1000 + spare_kg
    return outing.craft.model_copy(update={"compartments": boxes, "payload_limit_kg": plate_kg})


def _fitted(r: Random, outing: Outing, catalog: Catalog, assessment: Assessment) -> Outing:
    """Sometimes with a depth and with what mounts hold, about what one kit asks of them.

    From a stream of its own, so that all else of a seed stays as it is.
    """
    craft, kit = outing.craft, assessment.kit
    assessor = CheapAssessor(outing, catalog)
    chosen = assessor.chosen(kit)
    deep = outing.model_copy(update={"craft": craft.model_copy(update={"depth_m": 1.0})})
    limits = CheapAssessor(deep, catalog).assess(kit).limits
    least_m = 1.0 - next(limit.has for limit in limits if limit.name == "freeboard")
    depths = [None, *(least_m + spare_m for spare_m in (0.15, 0.02, 0.001, -0.001))]
    moment_n_m = assessor.strongest_n(kit, chosen) * chosen.motor.shaft_m
    holds = [None, *(moment_n_m * share for share in (1.3, 1.0, 0.99))]
    mounts = tuple(
        mount.model_copy(update={"holds_n_m": r.choices(holds, [12, 4, 4, 1])[0]})
        for mount in craft.mounts
    )
    fitted = {"depth_m": r.choices(depths, [12, 2, 3, 3, 1])[0], "mounts": mounts}
    return outing.model_copy(update={"craft": craft.model_copy(update=fitted)})


def _parts(r: Random, catalog: Catalog, kit: Kit) -> Parts:
    ids = [part.id for kind, of in catalog.kinds().items() for part in of if kind != "boxes"]
    used = [kit.battery, kit.motor, kit.cable, kit.fuse, kit.connector, kit.controller or kit.motor]
    own = tuple(r.sample(ids, r.choice([0, 0, 1, 3])))
    require = (r.choice([*used, *used, *ids]),) if r.random() < 0.15 else ()
    refuse = (r.choice(ids),) if r.random() < 0.2 else ()
    return Parts(
        own=own,
        require=require,
        refuse=tuple(id_ for id_ in refuse if id_ not in require),
        own_pieces={id_: r.choice([1, 2]) for id_ in own if r.random() < 0.4},
    )
