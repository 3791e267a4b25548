"""A log fitted, as plain JSON data."""

from typing import Any

from keelwatt.prove import Proof
from keelwatt.report import data
from keelwatt.tuning.fit import LEVEL, Estimate, Fit
from keelwatt.tuning.tune import Tuning, Written


def tune(result: Tuning, change: Written | None, backup: str | None) -> dict[str, Any]:
    """``tune --json``; ``drag_factor`` is what is written, ``fit`` has every digit."""
    held = result.held
    return data.frame("tuned", result.catalog, None) | {
        "log": result.log.file,
        "drag_factor": result.drag_factor,
        "drag_factor_error": result.tuned.craft.drag_factor_error,
        "before": {
            "drag_factor": held.drag_factor,
            "load_w": held.load_w,
            "no_thrust_speed_m_s": held.no_thrust_speed_m_s,
        },
        "level": LEVEL,
        "fit": _fit(result.fit),
        "drag_factor_other_motor": result.other_motor,
        "with_no_thrust_speed": result.together and _fit(result.together),
        "rows": [
            {
                "row": row.number,
                "water_speed_m_s": row.water_speed_m_s,
                "measured_a": row.measured_a,
                "before_a": row.before_a,
                "after_a": row.after_a,
                "running": row.running,
                "off": row.off,
                "doubtful": row.doubtful,
            }
            for row in result.rows
        ],
        "kit": data.kit(result.kit),
        "proof_before": _proof(result.before),
        "proof_after": _proof(result.after),
        "difference": change and change.difference,
        "written": backup is not None,
        "backup": backup,
        "warnings": [data.problem(each) for each in result.log.warnings],
    }


def _fit(fit: Fit) -> dict[str, Any]:
    return {
        "drag_factor": _estimate(fit.drag_factor),
        "load_w": fit.load_w and _estimate(fit.load_w),
        "no_thrust_speed_m_s": fit.no_thrust_speed_m_s and _estimate(fit.no_thrust_speed_m_s),
        "streams_m_s": {run: _estimate(stream) for run, stream in fit.streams_m_s.items()},
        "spare": fit.spare,
    }


def _estimate(found: Estimate) -> dict[str, float]:
    return {"value": found.value, "error": found.error, "low": found.low, "high": found.high}


def _proof(proof: Proof) -> dict[str, Any]:
    return {
        "holds": proof.holds,
        "hours_at_limit": proof.assessment.hours_at_limit,
        "left_ah": proof.minutes[-1].left_ah,
        "full_ah": proof.full_ah,
        "broken": [limit.name for limit in proof.assessment.broken],
        "failures": list(proof.failures),
    }
