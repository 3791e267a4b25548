"""Answers as JSON: a quantity's name ends in its unit, money is in whole currency, no end is null.

A dataclass is an object of its fields unless ``SHAPES`` names what the contract calls them and
takes of it; its class is named there, not imported, so that a command loads only what it answers.
"""

import json
from collections.abc import Callable, Iterable, Mapping
from dataclasses import fields, is_dataclass
from enum import Enum
from math import isfinite
from typing import TYPE_CHECKING, Any

from keelwatt import __version__, words

if TYPE_CHECKING:
    from keelwatt.edit.apply import Applied
    from keelwatt.explain.advise import Advice
    from keelwatt.explain.compare import Contender
    from keelwatt.explain.prices import Found
    from keelwatt.files.catalog.reader import Catalog
    from keelwatt.proof import Proof
    from keelwatt.wiring import Netlist
    from keelwatt.wiring.sheet import WiringSheet

FORMAT = 1

Shape = Mapping[str, "str | Shape | Callable[[Any], Any]"]
"""Key -> path of attributes, an object of such keys, or what makes the value."""

OUTCOMES = ("best", "unproved", "impossible", "invalid", "bug")

SIZES = {"_cents": 100, "_units": 10_000, "_g": 1000}
"""Endings of whole numbers -> how many make one of what is told."""


def text(data: object) -> str:
    return json.dumps(plain(data), indent=2, ensure_ascii=False, allow_nan=False)


def plain(value: Any) -> Any:
    """What JSON holds of a value."""
    match value:
        case Enum():
            value = value.value
        case float():
            value = value if isfinite(value) else None
        case Mapping():
            value = {key: plain(inner) for key, inner in value.items()}
        case list() | tuple():
            value = [plain(inner) for inner in value]
        case _ if is_dataclass(value):
            shape = SHAPES.get(type(value).__name__) or {
                field.name.removesuffix("_cents"): field.name for field in fields(value)
            }
            value = plain(shape(value)) if callable(shape) else _shaped(value, shape)
        case _ if hasattr(value, "model_dump"):
            value = value.model_dump(mode="json")
        case _ if hasattr(value, "tolist"):
            value = value.tolist()
    return value


def _shaped(value: Any, shape: Shape) -> dict[str, Any]:
    return {key: _at(value, path) for key, path in shape.items()}


def _at(value: Any, path: str | Shape | Callable[[Any], Any]) -> Any:
    """What lies at a path; null where there is nothing on the way."""
    if isinstance(path, Mapping):
        return _shaped(value, path)
    if callable(path):
        return plain(path(value))
    for name in path.split("."):
        value = None if value is None else getattr(value, name)
    size = next((size for ending, size in SIZES.items() if path.endswith(ending)), None)
    return value / size if size and value is not None else plain(value)


def _named(told: str) -> Shape:
    """ "key key=path": each key, and where its value is if not under that name."""
    pairs = (word.partition("=") for word in told.split())
    return {key: path or key for key, _, path in pairs}


def _kit(path: str) -> Shape:
    """A kit found at a path, with its sums; nulls where there is none."""
    return _named(f"kit={path}.kit totals={path}")


def _each(path: str, told: str) -> Callable[[Any], list[dict[str, Any]]]:
    shape = _named(told)
    return lambda value: [_shaped(inner, shape) for inner in getattr(value, path)]


def _offer(found: "Found | None") -> Any:
    """Another kit, and what it has of the limit asked about."""
    return found and {"amount": found.amount, "kit": found.kit, "totals": found}


def _day(proof: "Proof") -> dict[str, Any]:
    """A proof in few words."""
    return {
        "holds": proof.holds,
        "hours_at_limit": proof.assessment.hours_at_limit,
        "left_ah": proof.minutes[-1].left_ah,
        "full_ah": proof.full_ah,
        "broken": [limit.name for limit in proof.assessment.broken],
        "failures": proof.failures,
    }


def _beyond(why: Any) -> dict[str, float] | None:
    """The rival's sums less the best's."""
    if why.best is None or why.rival is None:
        return None
    best = plain(why.best)
    return {key: value - best[key] for key, value in plain(why.rival).items()}


SUMS = "price=cost_cents mass_kg=mass_g season_price=season_"

SHAPES: dict[str, Shape | Callable[[Any], Any]] = {
    "Problem": _named("file row column key value what remedy"),
    "Kit": {
        "battery": _named("id=battery series parallel compartment box"),
        "motor": _named("id=motor mount"),
        "controller": "controller",
        "cable": _named("id=cable run_m"),
        **_named("fuse connector charger"),
    },
    "Found": _named(f"{SUMS}units"),
    "Difference": _named(f"{SUMS}cents"),
    "Totals": _named("price=price_cents mass_kg=mass_g displacement_kg season_price=season_cents"),
    "BillLine": {
        **_named("what part name colour unit price=price_cents typical owned"),
        "count": lambda line: line.needed if line.owned else line.bought,
        "for": "uses",
    },
    "Assessment": _named("kit totals legs hours_at_limit limits"),
    "Limit": {**_named("name kind sense needs has unit room tight"), "binding": lambda _: None},
    "Price": {
        **_named("name binding"),
        "lifted": lambda price: _offer(price.lifted),
        "next_step": lambda price: _offer(price.next_step),
        "headroom": lambda price: _offer(price.headroom),
    },
    "WayOut": {**_named("limits relative changes"), **_kit("found")},
    "Move": {**_named("limit load mass_kg by_m"), **_kit("found")},
    "Change": {
        **_named("limit from=asked to unit relative"),
        "legs": lambda change: [{"name": name, "speed_m_s": v} for name, v in change.legs],
    },
    "Proof": lambda proof: {
        **plain(proof.assessment),
        **_shaped(proof, _named("failures full_ah keep_ah charge_left=leg_ends")),
    },
    "LegResult": {
        **_named("name speed_m_s thrust_n shaft_ratio motor_a battery_a hours charge_ah throttle"),
        "step": words.setting,
    },
    "LegEnd": _named("after=name at_h battery_a drop_v left_ah left_share"),
    "Stretch": _named("over unit asked from=low to=high partial merged steps"),
    "Step": {**_named("from=start to=end known changes"), **_kit("found")},
    "Point": {**_kit("found"), **_named("changes")},
    "Runner": {**_named("behind"), **_kit("found"), **_named("changes")},
    "Why": {
        **_named("part kind set_aside price=price_cents wins_at=wins_at_cents"),
        "verdict": lambda why: why.verdict.replace(" ", "_"),
        "best": _kit("best"),
        "rival": _kit("rival"),
        "difference": _beyond,
        **_named("rules attempt conflicts ways_out"),
    },
    "Worth": {
        **_named("part kind set_aside"),
        "same_kit": _named("without=same.without with=same.with_it buys=same.buys"),
        "in_the_way": _each("in_the_way", "rule=name sense needs has unit"),
        "best_kits": _named("without=best.without with=best.with_it buys=best.buys"),
    },
    "Bought": _named(f"{SUMS}cents hours top_speed_m_s"),
    "Contender": _named(
        "kit totals=sums hours top_speed_m_s holds=proof.holds broken failures=proof.failures"
    ),
    "Attempt": {"kit": "kit", "broken": _each("broken", "rule=name sense needs has unit")},
    "WhatIf": {
        **_named("settings edits outing=text parts=swaps difference room=limits"),
        "before": lambda of: pick(of.before),
        "after": lambda of: pick(of.after),
    },
    "Both": {
        "name": "name",
        "unit": lambda both: (both.after or both.before).unit,
        **_named("before=before.room after=after.room"),
    },
    "Chance": _named("share hits days standard_error interval_95=interval"),
    "Chances": _named("above_reserve above_zero legs_at_speed=in_time top_speed as_planned adrift"),
    "Checked": {
        "kit": "advice.proof.assessment.kit",
        "totals": _named(
            "price=advice.proof.assessment.totals.price_cents "
            "mass_kg=advice.proof.assessment.totals.mass_g"
        ),
        "chances": "chances",
    },
    "Sure": {
        **_named("asked scenarios needed fresh_days"),
        "holds": lambda sure: sure.holds if sure.chosen else None,
        **_named("chances=chosen.chances reachable as_planned_alone=plain spreads"),
    },
    "Spreads": lambda of: {
        "drag": of.drag,
        "drag_measured": of.outing.craft.drag_measured,
        **plain(of.outing.odds),
    },
    "Outlook": {
        **_named("kit=boat.kit days seed chances keep_share=run.keep_share"),
        "left": lambda of: [
            {"quantile": at, "share": share, "left_ah": ah} for at, share, ah in of.quantiles
        ],
        "histogram": lambda of: [
            {"from_share": start, "to_share": end, "days": days} for start, end, days in of.counts()
        ],
        **_named(
            "spread_of_left_share=shares.spread variance_shares=shares.shares "
            "variance_together=shares.together margins spreads"
        ),
    },
    "Fit": _named("drag_factor load_w no_thrust_speed_m_s streams_m_s spare"),
    "Tuning": {
        "log": "log.file",
        **_named("drag_factor drag_factor_error=tuned.craft.drag_factor_error"),
        "resistance_over_thrust": "ratio",
        "before": _named(
            "drag_factor=held.drag_factor load_w=held.load_w "
            "no_thrust_speed_m_s=held.no_thrust_speed_m_s"
        ),
        **_named("fit drag_factor_other_motor=other_motor with_no_thrust_speed=together"),
        "rows": _each(
            "rows", "row=number water_speed_m_s measured_a before_a after_a running off doubtful"
        ),
        "kit": "kit",
        "proof_before": lambda tuning: _day(tuning.before),
        "proof_after": lambda tuning: _day(tuning.after),
        "warnings": "warnings",
    },
    "Batch": {
        "file": lambda batch: str(batch.out),
        "counts": lambda batch: {name: batch.counts.get(name, 0) for name in OUTCOMES},
        **_named("total kept dropped rows=values"),
    },
    "Fault": _named("rule at what remedy"),
    "Conductor": _named(
        "number circuit start end polarity colour length_m cable=wire.got.id size=wire.size "
        "area_mm2=wire.area_mm2 ampacity_a=wire.ampacity_a current_a fuse drop_v drop_share"
    ),
}


def said(**more: Any) -> dict[str, Any]:
    """What is no answer about a boat."""
    return {"format": FORMAT, **plain(more), "version": __version__}


def source(catalog: "Catalog") -> dict[str, Any]:
    """Which catalog an answer was made from."""
    return {
        "catalog": catalog.folder,
        "catalog_sha256": catalog.sha256,
        "invented_prices": catalog.invented > 0,
    }


def answer(status: str, catalog: "Catalog", solver: str | None, *parts: object) -> dict[str, Any]:
    """What every answer begins with, then each part's own keys."""
    data = {
        "format": FORMAT,
        "status": status,
        "problems": [],
        **source(catalog),
        "version": __version__,
        "solver": solver,
    }
    for part in parts:
        data |= plain(part)
    return data


def chosen(advice: "Advice", *parts: object, status: str = "") -> dict[str, Any]:
    """An answer about a choice."""
    head = {"by": advice.by}
    return answer(status or advice.status, advice.catalog, advice.solver, head, *parts)


def pick(advice: "Advice") -> dict[str, Any]:
    """``pick --json``."""
    told = {"conflicts": advice.conflicts, "ways_out": advice.ways_out, "moves": advice.moves}
    head = (advice.status, advice.catalog, advice.solver)
    if advice.proof is None:
        nothing = dict.fromkeys(("kit", "totals", "hours_at_limit")) | {"legs": [], "limits": []}
        return answer(*head, nothing, told, {"rules_shut_out": advice.shut_out})
    prices = {price.name: plain(price) for price in advice.prices}
    proved = {
        "by": advice.by,
        "bound": advice.bound,
        "gap": advice.gap,
        "defaults_that_bind": advice.defaults_that_bind,
    }
    data = answer(*head, advice.proof.assessment, proved, told)
    data["where_the_charge_goes"] = [
        {"step": step, "ah": ah} for step, ah in advice.proof.where_the_charge_goes
    ]
    if bill := advice.proof.assessment.bill:
        sums = {"bill": bill.price_cents / 100, "typical": bill.typical_cents / 100}
        data["totals"] |= sums | {"unpriced": list(bill.unpriced)}
        data["bill"] = plain(bill.lines)
    data["limits"] = [limit | prices.get(limit["name"], {}) for limit in data["limits"]]
    return data


def compared(kits: "Iterable[Contender]", catalog: "Catalog", status: str) -> dict[str, Any]:
    """``compare --json``."""
    told = [
        {"name": kit.name, **plain(kit), "limits": plain(kit.proof.assessment.limits)}
        for kit in kits
    ]
    return answer(status, catalog, None, {"kits": told})


def wiring(net: "Netlist", sheet: "WiringSheet") -> dict[str, Any]:
    """``wiring`` of ``pick --sheet --json``."""
    circuits = [
        plain(it) | {"drop_v": net.drop_v(it.name) if it.load else net.bank_drop_v}
        for it in net.circuits
    ]
    return {
        **_shaped(net, _named("system_v bank_v short_circuit_a strings items conductors")),
        "circuits": circuits,
        "sheet": _shaped(sheet, _named("ends places steps tests notes")),
        "faults": plain(sheet.faults),
    }


def applied(result: "Applied", backup: str | None) -> dict[str, Any]:
    """``pick --apply --json``: the pick of the new outing, and what was written, if it was."""
    edits = {"edits": result.edited.edits, "difference": result.difference}
    return pick(result.advice) | {"applied": plain(edits) | written(backup)}


def written(backup: str | None) -> dict[str, Any]:
    """Whether a file was rewritten, and where what it held is."""
    return {"written": backup is not None, "backup": backup}
