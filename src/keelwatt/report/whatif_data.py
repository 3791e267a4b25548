"""Before and after as plain JSON data."""

from typing import Any

from keelwatt.edit.apply import Applied
from keelwatt.edit.edit import Edit
from keelwatt.edit.whatif import Both, WhatIf
from keelwatt.report import data

FRAME = ("format", "status", "problems", "catalog_sha256", "version", "solver")


def whatif(result: WhatIf) -> dict[str, Any]:
    """``whatif --json``: both sides as ``pick --json`` has them; status is that of the new one."""
    before, after = data.pick(result.before), data.pick(result.after)
    change = result.difference
    return {key: after[key] for key in FRAME} | {
        "settings": list(result.settings),
        "edits": _edits(result.edits),
        "outing": result.text,
        "parts": [
            {"kind": swap.kind, "before": swap.before, "after": swap.after, "how": swap.how}
            for swap in result.swaps
        ],
        "difference": change
        and {
            "price": change.cost_cents / 100,
            "mass_kg": change.mass_g / 1000,
            "season_price": change.season_cents / 100,
        },
        "room": [_room(both) for both in result.limits],
        "before": before,
        "after": after,
    }


def _edits(edits: tuple[Edit, ...]) -> list[dict[str, Any]]:
    return [{"key": edit.key, "old": edit.old, "new": edit.new} for edit in edits]


def _room(both: Both) -> dict[str, Any]:
    limit = both.after or both.before
    return {
        "name": both.name,
        "unit": limit and limit.unit,
        "before": both.before and both.before.room,
        "after": both.after and both.after.room,
    }


def applied(result: Applied, backup: str | None) -> dict[str, Any]:
    """``pick --apply --json``: the pick of the new outing, and what was written, if it was."""
    return data.pick(result.advice) | {
        "applied": {
            "edits": _edits(result.edited.edits),
            "difference": result.difference,
            "written": backup is not None,
            "backup": backup,
        }
    }
