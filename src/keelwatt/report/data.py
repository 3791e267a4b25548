"""Results as plain JSON data; every key of a quantity ends in its unit."""

import json
from collections.abc import Iterable, Mapping
from math import isfinite
from pathlib import Path
from typing import Any

from keelwatt import __version__
from keelwatt.errors import Problem
from keelwatt.explain.advise import Advice
from keelwatt.explain.prices import Found, Price
from keelwatt.explain.ways import WayOut
from keelwatt.files.catalog.reader import Catalog
from keelwatt.files.kit import SEASON_UNITS_PER_CENT, Kit
from keelwatt.prove import Assessment, Limit, Proof

FORMAT = 1


def text(data: Mapping[str, Any]) -> str:
    """JSON with infinities as null."""
    return json.dumps(_finite(data), indent=2, ensure_ascii=False, allow_nan=False)


def _finite(value: Any) -> Any:
    if isinstance(value, float):
        return value if isfinite(value) else None
    if isinstance(value, Mapping):
        return {key: _finite(inner) for key, inner in value.items()}
    if isinstance(value, list | tuple):
        return [_finite(inner) for inner in value]
    return value


def pick(advice: Advice) -> dict[str, Any]:
    """``pick --json``."""
    data = frame(advice.status, advice.catalog, advice.solver)
    if advice.proof is None:
        return data | {
            "kit": None,
            "totals": None,
            "legs": [],
            "hours_at_limit": None,
            "limits": [],
            "conflicts": [list(limits) for limits in advice.conflicts],
            "ways_out": [way_out(way) for way in advice.ways_out],
            "rules_shut_out": rules_shut_out(advice),
        }
    assessment = advice.proof.assessment
    told = {price.name: priced(price) for price in advice.prices}
    data |= _assessed(assessment, frozenset(told), advice.binding)
    data["limits"] = [limit | told.get(limit["name"], {}) for limit in data["limits"]]
    return data | {"by": advice.by, "conflicts": [], "ways_out": []}


def way_out(way: WayOut) -> dict[str, Any]:
    """The wishes to loosen, by how much, and the kit that lets in."""
    return {
        "limits": list(way.limits),
        "relative": way.relative,
        "changes": [
            {
                "limit": change.limit,
                "from": change.asked,
                "to": change.to,
                "unit": change.unit,
                "relative": change.relative,
                "legs": [{"name": name, "speed_m_s": speed} for name, speed in change.legs],
            }
            for change in way.changes
        ],
        "kit": kit(way.found.kit),
        "totals": sums(way.found),
    }


def sums(found: Found) -> dict[str, float]:
    """A kit's price, mass and season price."""
    return {
        "price": found.cost_cents / 100,
        "mass_kg": found.mass_g / 1000,
        "season_price": found.season_units / SEASON_UNITS_PER_CENT / 100,
    }


def priced(price: Price) -> dict[str, Any]:
    """What one limit costs the chosen kit, and how far it is from another."""

    def other(found: Found | None) -> dict[str, Any] | None:
        if found is None:
            return None
        return {"amount": found.amount, "kit": kit(found.kit), "totals": sums(found)}

    return {
        "lifted": other(price.lifted),
        "next_step": other(price.next_step),
        "headroom": other(price.headroom),
    }


def rules_shut_out(advice: Advice) -> dict[str, int]:
    """How many placements, couples and sets each rule shut out before the choice."""
    counts = advice.excluded.groupby("rule")["tried"].sum()
    return {str(rule): int(count) for rule, count in counts.items()}


def proof(result: Proof, catalog: Catalog) -> dict[str, Any]:
    """``prove --json``."""
    status = "holds" if result.holds else "fails"
    return (
        frame(status, catalog, None)
        | _assessed(result.assessment)
        | {
            "failures": list(result.failures),
            "full_ah": result.full_ah,
            "keep_ah": result.keep_ah,
            "charge_left": [
                {
                    "after": end.name,
                    "at_h": end.at_h,
                    "battery_a": end.battery_a,
                    "drop_v": end.drop_v,
                    "left_ah": end.left_ah,
                    "left_share": end.left_share,
                }
                for end in result.leg_ends
            ],
        }
    )


def invalid(problems: Iterable[Problem]) -> dict[str, Any]:
    """Input to be put right."""
    return {
        "format": FORMAT,
        "status": "invalid",
        "version": __version__,
        "problems": [problem(p) for p in problems],
    }


def stopped() -> dict[str, Any]:
    """Ended by the user before there was anything to tell."""
    return {
        "format": FORMAT,
        "status": "unproved",
        "version": __version__,
        "partial": True,
        "problems": [],
    }


def problem(p: Problem) -> dict[str, Any]:
    return {
        "file": p.file,
        "row": p.row,
        "column": p.column,
        "key": p.key,
        "value": p.value,
        "what": p.what,
        "remedy": p.remedy,
    }


def made(folder: Path) -> dict[str, Any]:
    """``start --json``."""
    return {
        "format": FORMAT,
        "status": "made",
        "outing": str(folder / "outing.toml"),
        "catalog": str(folder / "catalog"),
        "version": __version__,
    }


def checked(catalog: Catalog) -> dict[str, Any]:
    """``catalog check --json`` of a catalog without problems."""
    return {
        "format": FORMAT,
        "status": "valid",
        "parts": {kind: len(parts) for kind, parts in catalog.kinds().items()},
        "warnings": [problem(p) for p in catalog.warnings],
        "catalog_sha256": catalog.sha256,
        "version": __version__,
    }


def parts(catalog: Catalog, kinds: Iterable[str]) -> dict[str, Any]:
    """``catalog list --json``."""
    shelves = catalog.kinds()
    return {
        "format": FORMAT,
        "parts": {kind: [part.model_dump(mode="json") for part in shelves[kind]] for kind in kinds},
        "catalog_sha256": catalog.sha256,
        "version": __version__,
    }


def kit(chosen: Kit) -> dict[str, Any]:
    return {
        "battery": {
            "id": chosen.battery,
            "series": chosen.series,
            "parallel": chosen.parallel,
            "compartment": chosen.compartment,
        },
        "motor": {"id": chosen.motor, "mount": chosen.mount},
        "controller": chosen.controller,
        "cable": {"id": chosen.cable, "run_m": chosen.run_m},
        "fuse": chosen.fuse,
        "connector": chosen.connector,
        "charger": chosen.charger,
    }


def frame(status: str, catalog: Catalog, solver: str | None) -> dict[str, Any]:
    """What every answer begins with."""
    return {
        "format": FORMAT,
        "status": status,
        "problems": [],
        "catalog_sha256": catalog.sha256,
        "version": __version__,
        "solver": solver,
    }


def _assessed(
    assessment: Assessment,
    asked: frozenset[str] | None = None,
    binding: frozenset[str] = frozenset(),
) -> dict[str, Any]:
    totals = assessment.totals
    return {
        "kit": kit(assessment.kit),
        "totals": {
            "price": totals.price_cents / 100,
            "mass_kg": totals.mass_g / 1000,
            "displacement_kg": totals.displacement_kg,
            "season_price": totals.season_cents / 100,
        },
        "legs": [
            {
                "name": leg.name,
                "speed_m_s": leg.speed_m_s,
                "thrust_n": leg.thrust_n,
                "shaft_ratio": leg.shaft_ratio,
                "motor_a": leg.motor_a,
                "battery_a": leg.battery_a,
                "hours": leg.hours,
                "charge_ah": leg.charge_ah,
            }
            for leg in assessment.legs
        ],
        "hours_at_limit": assessment.hours_at_limit,
        "limits": [_limit(limit, asked, binding) for limit in assessment.limits],
    }


def _limit(limit: Limit, asked: frozenset[str] | None, binding: frozenset[str]) -> dict[str, Any]:
    return {
        "name": limit.name,
        "kind": limit.kind,
        "sense": limit.sense,
        "needs": limit.needs,
        "has": limit.has,
        "unit": limit.unit,
        "room": limit.room,
        "tight": limit.tight,
        "binding": None if asked is None or limit.name not in asked else limit.name in binding,
    }
