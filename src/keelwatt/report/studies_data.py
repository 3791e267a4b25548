"""Staircases, fronts and single parts as plain JSON data."""

from dataclasses import asdict
from typing import Any

from keelwatt.explain.advise import Advice
from keelwatt.explain.prices import Found
from keelwatt.explain.stretch import Stretch
from keelwatt.explain.tradeoff import Runner, Tradeoff
from keelwatt.explain.why import Why
from keelwatt.report import data


def stretch(advice: Advice, result: Stretch) -> dict[str, Any]:
    """``stretch --json``: null at the end of a step stands for no end."""
    return _head(advice, status_of(result)) | {
        "over": result.over,
        "unit": result.unit,
        "asked": result.asked,
        "from": result.low,
        "to": result.high,
        "partial": result.partial,
        "steps": [
            {
                "from": step.start,
                "to": step.end,
                "known": step.known,
                **_found(step.found),
                "changes": list(step.changes),
            }
            for step in result.steps
        ],
    }


def status_of(result: Stretch) -> str:
    """Impossible only if nothing fits anywhere; unproved if it was stopped."""
    if result.partial:
        return "unproved"
    return "best" if result.climbs else "impossible"


def tradeoff(advice: Advice, result: Tradeoff, runners: tuple[Runner, ...]) -> dict[str, Any]:
    """``tradeoff --json``."""
    return _head(advice, advice.status) | {
        "kits": [{**_found(p.found), "changes": list(p.changes)} for p in result.points],
        "best_kits": best_kits(runners),
    }


def best_kits(runners: tuple[Runner, ...]) -> list[dict[str, Any]]:
    return [{"behind": r.behind, **_found(r.found), "changes": list(r.changes)} for r in runners]


def why(result: Why) -> dict[str, Any]:
    """``why --json``; status is that of the outing, ``verdict`` that of the part."""
    attempt = result.attempt
    dearer = _difference(result.best, result.rival)
    return _head(result.advice, result.advice.status) | {
        "part": result.part,
        "kind": result.kind,
        "verdict": result.verdict.replace(" ", "_"),
        "set_aside": list(result.set_aside),
        "best": _found(result.best),
        "rival": _found(result.rival),
        "difference": dearer,
        "price": result.price_cents / 100,
        "wins_at": None if result.wins_at_cents is None else result.wins_at_cents / 100,
        "rules": [asdict(rule) for rule in result.rules],
        "attempt": attempt
        and {
            "kit": data.kit(attempt.kit),
            "broken": [
                {"rule": b.name, "sense": b.sense, "needs": b.needs, "has": b.has, "unit": b.unit}
                for b in attempt.broken
            ],
        },
        "conflicts": [list(names) for names in result.conflicts],
        "ways_out": [data.way_out(way) for way in result.ways_out],
    }


def _difference(best: Found | None, rival: Found | None) -> dict[str, float] | None:
    """The rival less the best."""
    if best is None or rival is None:
        return None
    return {key: value - data.sums(best)[key] for key, value in data.sums(rival).items()}


def _found(found: Found | None) -> dict[str, Any]:
    if found is None:
        return {"kit": None, "totals": None}
    return {"kit": data.kit(found.kit), "totals": data.sums(found)}


def _head(advice: Advice, status: str) -> dict[str, Any]:
    return data.frame(status, advice.catalog, advice.solver) | {"by": advice.by}
