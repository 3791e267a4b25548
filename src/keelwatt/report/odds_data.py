"""Days drawn, as plain JSON data."""

from typing import Any

from keelwatt.chance.chance import Chance
from keelwatt.chance.margins import Margin
from keelwatt.chance.odds import DAYS, Chances
from keelwatt.chance.outlook import QUANTILES, Outlook
from keelwatt.chance.spreads import Spreads
from keelwatt.chance.sure import Checked, Sure
from keelwatt.report import data


def odds(result: Outlook) -> dict[str, Any]:
    """``odds --json``."""
    return data.frame("simulated", result.catalog, None) | {
        "kit": data.kit(result.boat.kit),
        "days": result.days,
        "seed": result.seed,
        "chances": chances(result.chances),
        "keep_share": result.run.keep_share,
        "left": [
            {"quantile": at, "share": share, "left_ah": left_ah}
            for at in QUANTILES
            for share, left_ah in [result.left_at(at)]
        ],
        "histogram": [
            {"from_share": start, "to_share": end, "days": days}
            for start, end, days in result.counts()
        ],
        "spread_of_left_share": result.shares.spread,
        "variance_shares": [
            {"unknown": each.unknown, "share": each.share, "standard_error": each.standard_error}
            for each in result.shares.shares
        ],
        "variance_together": result.shares.together,
        "margins": [_margin(margin) for margin in result.margins],
        "spreads": spreads(result.spreads),
    }


def chances(of: Chances) -> dict[str, Any]:
    named = {
        "above_reserve": of.above_reserve,
        "above_zero": of.above_zero,
        "legs_at_speed": of.in_time,
        "top_speed": of.top_speed,
        "as_planned": of.as_planned,
        "adrift": of.adrift,
    }
    return {name: None if each is None else chance(each) for name, each in named.items()}


def chance(of: Chance) -> dict[str, Any]:
    low, high = of.interval
    return {
        "share": of.share,
        "hits": of.hits,
        "days": of.days,
        "standard_error": of.standard_error,
        "interval_95": [low, high],
    }


def _margin(margin: Margin) -> dict[str, Any]:
    """Amounts are null where it fails as planned; those at ``end`` have no end found."""
    return {
        "strain": margin.strain,
        "unit": margin.unit,
        "planned": margin.planned,
        "end": margin.end,
        "reserve_kept": margin.reserve_kept,
        "not_flat": margin.not_flat,
        "speed_kept": margin.speed_kept,
    }


def spreads(of: Spreads) -> dict[str, Any]:
    """One standard deviation of everything drawn."""
    return {"drag": of.drag, "drag_measured": of.outing.craft.drag_factor_error is not None} | (
        of.outing.odds.model_dump(mode="json")
    )


def sure(result: Sure) -> dict[str, Any]:
    """What ``pick --sure --json`` adds."""
    return {
        "sure": {
            "asked": result.asked,
            "scenarios": result.scenarios,
            "needed": result.needed,
            "fresh_days": DAYS,
            "holds": result.holds if result.chosen else None,
            "chances": chances(result.chosen.chances) if result.chosen else None,
            "reachable": result.reachable,
            "as_planned_alone": _plain(result.plain),
            "spreads": spreads(Spreads(result.advice.outing)),
        }
    }


def _plain(checked: Checked | None) -> dict[str, Any] | None:
    """The best kit for the day as planned alone."""
    if checked is None or checked.advice.proof is None:
        return None
    assessment = checked.advice.proof.assessment
    return {
        "kit": data.kit(assessment.kit),
        "totals": {
            "price": assessment.totals.price_cents / 100,
            "mass_kg": assessment.totals.mass_g / 1000,
        },
        "chances": chances(checked.chances),
    }
