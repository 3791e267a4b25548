"""Intervals hold what is so as often as they say, and say no more than they must."""

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace

import numpy as np
import pytest
from scipy.stats import binom

from keelwatt.boat.load_case import LoadCase
from keelwatt.proof import Assessor
from keelwatt.tuning.fit import LEVEL, Estimate, Fit, fit
from keelwatt.tuning.forward import Forward, Values
from keelwatt.tuning.readings import Readings
from tuning.made_logs import (
    NO_THRUST_M_S,
    SPREAD,
    STEPPED,
    STEPS,
    Meters,
    Truth,
    example,
    log_of,
    shipped,
)

pytestmark = pytest.mark.early

OFF = (0.0, 0.0)
OTHER = Truth(settings=OFF + SPREAD, no_thrust_speed_m_s=9 / 3.6, load_w=25.0)
"""Devices and motor other than in the files."""

PLAIN: Mapping[str, tuple[Truth, Meters]] = {
    "speed and current alone": (Truth(), Meters()),
    "six rows": (Truth(settings=(0.5, 0.65, 0.8, 0.9, 1.0, 1.0)), Meters()),
    "a stepped motor": (Truth(kit=STEPPED, settings=STEPS, drag_factor=1.4), Meters()),
    "an unknown stream": (Truth(stream_m_s=0.15), Meters(runs=True)),
    "slips of the pen": (Truth(settings=2 * SPREAD), Meters(slips=0.1)),
    "more devices": (Truth(settings=OFF + SPREAD, load_w=25.0), Meters()),
}
"""The motor as in the catalog."""

TOGETHER: Mapping[str, tuple[Truth, Meters]] = {
    "throttle known": (OTHER, Meters(settings=True)),
    "throttle known, unknown stream": (
        replace(OTHER, stream_m_s=0.15),
        Meters(settings=True, runs=True),
    ),
    "step known, unknown stream": (
        replace(OTHER, stream_m_s=0.15, kit=STEPPED, settings=OFF + STEPS, drag_factor=1.4),
        Meters(settings=True, runs=True),
    ),
}
"""Where the no-thrust speed must be found as well."""


@dataclass
class Tally:
    """How often each value was told, how often its interval held, and its errors as shares."""

    told: Counter[str] = field(default_factory=Counter)
    held: Counter[str] = field(default_factory=Counter)
    drag_errors: list[float] = field(default_factory=list)

    def add(self, found: Fit, truth: Truth) -> None:
        for name, estimate, so in _told(found, truth):
            self.told[name] += 1
            self.held[name] += estimate.low <= so <= estimate.high
        self.drag_errors.append(found.drag_factor.error / found.drag_factor.value)

    def assert_holds(self, *names: str) -> None:
        """Fewer than this would come by in one run of a thousand."""
        for name in names:
            least = binom.ppf(0.001, self.told[name], LEVEL)
            assert self.held[name] >= least, (name, self.held[name], self.told[name])


def _told(found: Fit, truth: Truth) -> Iterator[tuple[str, Estimate, float]]:
    yield "drag_factor", found.drag_factor, truth.drag_factor
    if found.load_w:
        yield "load", found.load_w, truth.load_w
    if found.no_thrust_speed_m_s:
        yield "no_thrust_speed", found.no_thrust_speed_m_s, truth.no_thrust_speed_m_s
    for stream in found.streams_m_s.values():
        yield "stream", stream, truth.stream_m_s


def tallies(truth: Truth, meters: Meters, seeds: range) -> tuple[Tally, Tally]:
    """Over logs of these seeds: with the motor as in the catalog, and with it fitted too."""
    assessor = Assessor(example(), shipped())
    chosen = assessor.chosen(truth.kit)
    kilograms = assessor.assess(truth.kit).totals.displacement_kg
    alone, both = Tally(), Tally()
    for seed in seeds:
        readings = Readings.of(log_of(truth, meters, seed), truth.kit, chosen)
        forward = Forward(
            LoadCase(assessor.outing),
            chosen,
            readings,
            displacement_kg=kilograms,
            cable_ohm=assessor.circuit_ohm(truth.kit, chosen),
        )
        held = Values(
            example().craft.drag_factor,
            14.0,
            NO_THRUST_M_S,
            np.zeros(len(readings.runs)),
        )
        first, together = fit(forward, held)
        alone.add(first, truth)
        if together:
            both.add(together, truth)
    return alone, both


@pytest.mark.few(1)
@pytest.mark.parametrize("case", ["speed and current alone", "slips of the pen"])
def test_the_drag_factor_is_held_at_the_stated_rate(case: str) -> None:
    alone, _ = tallies(*PLAIN[case], range(50))
    alone.assert_holds("drag_factor")
    assert np.median(alone.drag_errors) < 0.06


@pytest.mark.slow
def test_everything_is_held_where_everything_is_unknown() -> None:
    """A log too blurred to tell the no-thrust speed by says nothing of it: of twenty a few."""
    alone, both = tallies(*TOGETHER["throttle known, unknown stream"], range(20))
    alone.assert_holds("drag_factor")
    assert both.told["no_thrust_speed"] >= 16
    both.assert_holds("drag_factor", "load", "no_thrust_speed", "stream")
    assert np.median(both.drag_errors) < 0.06


@pytest.mark.slow
@pytest.mark.parametrize("case", PLAIN)
def test_the_drag_factor_is_held_at_length(case: str) -> None:
    alone, _ = tallies(*PLAIN[case], range(1000, 1500))
    alone.assert_holds("drag_factor", "load", *["stream"] * ("stream" in case))
    assert np.median(alone.drag_errors) < 0.08


@pytest.mark.slow
@pytest.mark.parametrize("case", TOGETHER)
def test_everything_is_held_at_length(case: str) -> None:
    alone, both = tallies(*TOGETHER[case], range(1000, 1400))
    alone.assert_holds("drag_factor")
    # With a winding the throttle says less of the shaft: a quarter of the logs leave both open.
    assert both.told["drag_factor"] > 280
    both.assert_holds("drag_factor", "load", "no_thrust_speed")
    assert np.median(both.drag_errors) < 0.08


def test_a_wrong_level_would_be_seen() -> None:
    tight = Tally(Counter(x=60), Counter(x=round(60 * 0.8)))
    with pytest.raises(AssertionError):
        tight.assert_holds("x")
