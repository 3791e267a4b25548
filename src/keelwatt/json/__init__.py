"""Answers as JSON: names end in their unit, money is in whole currency, what has no end is null.
Here is what every answer begins with: its status, its catalog, what made it."""

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

from keelwatt import __version__
from keelwatt.json.encoder import SHAPES, named, plain, shaped, text
from keelwatt.json.shapes import CONTRACT

if TYPE_CHECKING:
    from keelwatt.edit.apply import Applied
    from keelwatt.explain.advise import Advice
    from keelwatt.explain.compare import Contender
    from keelwatt.files.catalog.reader import Catalog
    from keelwatt.wiring import Netlist
    from keelwatt.wiring.sheet import WiringSheet

FORMAT = 1

__all__ = ["answer", "applied", "chosen", "compared", "pick", "plain", "said"]
__all__ += ["source", "text", "wiring", "written"]


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
    head = {"by": advice.by}
    return answer(status or advice.status, advice.catalog, advice.solver, head, *parts)


def pick(advice: "Advice") -> dict[str, Any]:
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
    told = [
        {"name": kit.name, **plain(kit), "limits": plain(kit.proof.assessment.limits)}
        for kit in kits
    ]
    return answer(status, catalog, None, {"kits": told})


def wiring(net: "Netlist", sheet: "WiringSheet") -> dict[str, Any]:
    circuits = [
        plain(it) | {"drop_v": net.drop_v(it.name) if it.load else net.bank_drop_v}
        for it in net.circuits
    ]
    return {
        **shaped(net, named("system_v bank_v short_circuit_a strings items conductors")),
        "circuits": circuits,
        "sheet": shaped(sheet, named("ends places steps tests notes")),
        "faults": plain(sheet.faults),
    }


def applied(result: "Applied", backup: str | None) -> dict[str, Any]:
    """``pick --apply --json``: the pick of the new outing, and what was written, if it was."""
    edits = {"edits": result.edited.edits, "difference": result.difference}
    return pick(result.advice) | {"applied": plain(edits) | written(backup)}


def written(backup: str | None) -> dict[str, Any]:
    return {"written": backup is not None, "backup": backup}


SHAPES.update(
    CONTRACT,
    WhatIf={
        **named("settings edits outing=text parts=swaps difference room=limits"),
        "before": lambda of: pick(of.before),
        "after": lambda of: pick(of.after),
    },
)
