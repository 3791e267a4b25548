"""What the contract calls the parts of each answer.
A class is named, not imported, so that a command loads only what it answers."""

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from keelwatt import words
from keelwatt.json.encoder import Shape, named, plain, shaped

if TYPE_CHECKING:
    from keelwatt.explain.prices import Found
    from keelwatt.proof import Proof

OUTCOMES = ("best", "unproved", "impossible", "invalid", "bug")


def _kit(path: str) -> Shape:
    """A kit found at a path, with its sums; nulls where there is none."""
    return named(f"kit={path}.kit totals={path}")


def _each(path: str, told: str) -> Callable[[Any], list[dict[str, Any]]]:
    shape = named(told)
    return lambda value: [shaped(inner, shape) for inner in getattr(value, path)]


def _offer(found: "Found | None") -> Any:
    """Another kit, and what it has of the limit asked about."""
    return found and {"amount": found.amount, "kit": found.kit, "totals": found}


def _day(proof: "Proof") -> dict[str, Any]:
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

CONTRACT: dict[str, Shape | Callable[[Any], Any]] = {
    "Problem": named("file row column key value what remedy"),
    "Kit": {
        "battery": named("id=battery series parallel compartment box"),
        "motor": named("id=motor mount"),
        "controller": "controller",
        "cable": named("id=cable run_m"),
        **named("fuse connector charger"),
    },
    "Found": named(f"{SUMS}units"),
    "Difference": named(f"{SUMS}cents"),
    "Totals": named("price=price_cents mass_kg=mass_g displacement_kg season_price=season_cents"),
    "BillLine": {
        **named("what part name colour unit price=price_cents typical owned"),
        "count": lambda line: line.needed if line.owned else line.bought,
        "for": "uses",
    },
    "Assessment": named("kit totals legs hours_at_limit limits"),
    "Limit": {**named("name kind sense needs has unit room tight"), "binding": lambda _: None},
    "Price": {
        **named("name binding"),
        "lifted": lambda price: _offer(price.lifted),
        "next_step": lambda price: _offer(price.next_step),
        "headroom": lambda price: _offer(price.headroom),
    },
    "WayOut": {**named("limits relative changes"), **_kit("found")},
    "Move": {**named("limit load mass_kg by_m"), **_kit("found")},
    "Change": {
        **named("limit from=asked to unit relative"),
        "legs": lambda change: [{"name": name, "speed_m_s": v} for name, v in change.legs],
    },
    "Proof": lambda proof: {
        **plain(proof.assessment),
        **shaped(proof, named("failures full_ah keep_ah charge_left=leg_ends")),
    },
    "LegResult": {
        **named("name speed_m_s thrust_n shaft_ratio motor_a battery_a hours charge_ah throttle"),
        "step": words.setting,
    },
    "LegEnd": named("after=leg at_h battery_a drop_v left_ah left_share"),
    "Stretch": named("over unit asked from=low to=high partial merged steps"),
    "Step": {**named("from=start to=end known changes"), **_kit("found")},
    "Point": {**_kit("found"), **named("changes")},
    "Runner": {**named("behind"), **_kit("found"), **named("changes")},
    "Why": {
        **named("part kind set_aside price=price_cents wins_at=wins_at_cents"),
        "verdict": lambda why: why.verdict.replace(" ", "_"),
        "best": _kit("best"),
        "rival": _kit("rival"),
        "difference": _beyond,
        **named("rules attempt conflicts ways_out"),
    },
    "Worth": {
        **named("part kind set_aside"),
        "same_kit": named("without=same.without with=same.with_it buys=same.buys"),
        "in_the_way": _each("in_the_way", "rule=name sense needs has unit"),
        "best_kits": named("without=best.without with=best.with_it buys=best.buys"),
    },
    "Bought": named(f"{SUMS}cents hours top_speed_m_s"),
    "Contender": named(
        "kit totals=sums hours top_speed_m_s holds=proof.holds broken failures=proof.failures"
    ),
    "Attempt": {"kit": "kit", "broken": _each("broken", "rule=name sense needs has unit")},
    "Both": {
        "name": "name",
        "unit": lambda both: (both.after or both.before).unit,
        **named("before=before.room after=after.room"),
    },
    "Chance": named("share hits days standard_error interval_95=interval"),
    "Chances": named("above_reserve above_zero legs_at_speed=in_time top_speed as_planned adrift"),
    "Checked": {
        "kit": "advice.proof.assessment.kit",
        "totals": named(
            "price=advice.proof.assessment.totals.price_cents "
            "mass_kg=advice.proof.assessment.totals.mass_g"
        ),
        "chances": "chances",
    },
    "Sure": {
        **named("asked scenarios needed fresh_days"),
        "holds": lambda sure: sure.holds if sure.chosen else None,
        **named("chances=chosen.chances reachable as_planned_alone=plain spreads"),
    },
    "Spreads": lambda of: {
        "drag": of.drag,
        "drag_measured": of.outing.craft.drag_measured,
        **plain(of.outing.odds),
    },
    "Outlook": {
        **named("kit=boat.kit days seed chances keep_share=run.keep_share"),
        "left": lambda of: [
            {"quantile": at, "share": share, "left_ah": ah} for at, share, ah in of.quantiles
        ],
        "histogram": lambda of: [
            {"from_share": start, "to_share": end, "days": days} for start, end, days in of.counts()
        ],
        **named(
            "spread_of_left_share=shares.spread variance_shares=shares.shares "
            "variance_together=shares.together margins spreads"
        ),
    },
    "Fit": named("drag_factor load_w no_thrust_speed_m_s streams_m_s spare"),
    "Tuning": {
        "log": "log.file",
        **named("drag_factor drag_factor_error=tuned.craft.drag_factor_error"),
        "resistance_over_thrust": "ratio",
        "before": named(
            "drag_factor=held.drag_factor load_w=held.load_w "
            "no_thrust_speed_m_s=held.no_thrust_speed_m_s"
        ),
        **named("fit drag_factor_other_motor=other_motor with_no_thrust_speed=together"),
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
        **named("total kept dropped rows=values"),
    },
    "Fault": named("rule at what remedy"),
    "Conductor": named(
        "number circuit start end polarity colour length_m cable=wire.got.id size=wire.size "
        "area_mm2=wire.area_mm2 ampacity_a=wire.ampacity_a current_a fuse drop_v drop_share"
    ),
}
