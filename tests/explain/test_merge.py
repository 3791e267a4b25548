"""Merged staircases: fewer steps, every one of them true."""

from dataclasses import replace
from math import inf

import pytest

from explain.every_kit import advice_of
from keelwatt.explain.merge import DEARER, NARROW, merged
from keelwatt.explain.prices import Found
from keelwatt.explain.stretch import Step, Stretch, stretch
from keelwatt.files.kit import Kit
from keelwatt.limits import OVERS
from oracle.random_cases import random_case

KIT = Kit(
    battery="a", series=1, parallel=1, compartment="box", motor="m", mount="stern",
    controller=None, cable="c", run_m=1.0, fuse="f", connector="p", charger=None,
)  # fmt: skip


PRICE = 100_000


def climbed(*ends: float, over: str = "hours", asked: float | None = None) -> Stretch:
    """Ever dearer kits, each up to one end, from 0 to 100."""
    steps, start = [], 0.0
    for number, end in enumerate(ends):
        kit = Found(replace(KIT, battery=f"b{number}"), PRICE + number, 1000, 0)
        steps.append(Step(start, end, kit, serves=((0.0, end),)))
        start = end
    if start < 100.0:
        steps.append(Step(start, 100.0, None))
    return Stretch(over, "cost", "h", asked, 0.0, 100.0, tuple(steps), partial=False)


def ends(result: Stretch) -> list[tuple[float, float]]:
    return [(step.start, step.end) for step in result.steps]


def test_narrow_steps_take_the_kit_of_the_next_harder_one() -> None:
    result = merged(climbed(1.0, 1.9, 30.0, 31.0, 40.0))
    assert ends(result) == [(0.0, 30.0), (30.0, 40.0), (40.0, 100.0)]
    assert [s.found.kit.battery for s in result.climbs if s.found] == ["b2", "b4"]
    assert result.merged == 3


def test_narrow_steps_add_up_to_wide_ones() -> None:
    result = merged(climbed(*(0.5 * n for n in range(1, 41))))
    assert all(end - start >= 100.0 * NARROW for start, end in ends(result)[:-2])
    assert len(result.steps) == 11


def test_a_much_dearer_kit_takes_no_narrow_step() -> None:
    result = climbed(1.0, 1.5, 60.0)
    found = result.steps[1].found
    assert found
    for times, merged_steps in ((1.0 + DEARER, 2), (1.001 + DEARER, 1)):
        dear = replace(found, cost_cents=round(PRICE * times))
        steps = (result.steps[0], replace(result.steps[1], found=dear), *result.steps[2:])
        assert merged(replace(result, steps=steps)).merged == merged_steps


def test_the_last_kit_before_nothing_fits_is_never_given_up() -> None:
    assert ends(merged(climbed(30.0, 30.1))) == [(0.0, 30.0), (30.0, 30.1), (30.1, 100.0)]


def test_the_step_asked_for_stays_as_it_is() -> None:
    assert ends(merged(climbed(10.0, 10.5, 11.0, 100.0, asked=10.2))) == [
        (0.0, 10.0), (10.0, 10.5), (10.5, 100.0),
    ]  # fmt: skip


def test_kits_that_differ_in_the_control_alone_make_one_step_unless_much_dearer() -> None:
    result = climbed(30.0, 60.0, 90.0)
    for times, first in ((1.05, 60.0), (1.051, 30.0)):
        steps = list(result.steps)
        for number, cents in enumerate((PRICE, round(PRICE * times))):
            kit = Found(replace(KIT, controller=f"c{number}"), cents, 1000, 0)
            steps[number] = replace(steps[number], found=kit)
        told = merged(replace(result, steps=tuple(steps)))
        assert told.steps[0].end == first
        step = told.at(59.0)
        assert step is not None
        assert step.found == steps[1].found


def test_a_kit_takes_no_step_it_does_not_serve() -> None:
    result = climbed(10.0, 11.0, 100.0)
    slower = replace(result.steps[1], serves=((10.0, 11.0),))
    result = replace(result, steps=(result.steps[0], slower, result.steps[2]))
    assert merged(result).merged == 1
    last = replace(result.steps[2], serves=((11.0, 100.0),))
    assert merged(replace(result, steps=(*result.steps[:2], last))).merged == 0


def test_an_allowance_without_end_is_measured_by_its_breakpoints() -> None:
    kits = climbed(1.0, 99.0, 100.0, over="budget").steps
    steps = tuple(replace(kit, serves=((kit.start, inf),)) for kit in kits)
    steps = (*steps[:2], replace(steps[2], end=inf))
    result = merged(Stretch("budget", "mass", "money", None, 0.0, inf, steps, partial=False))
    assert ends(result) == [(0.0, 1.0), (1.0, 99.0), (99.0, inf)]


@pytest.mark.few(12)
@pytest.mark.parametrize("seed", range(8200, 8230))
def test_every_step_told_is_served_by_its_kit_and_costs_no_less(seed: int) -> None:
    case = random_case(seed)
    over = [*OVERS][seed % len(OVERS)]
    if over == "speed" and not any(leg.speed_m_s for leg in case.outing.legs):
        over = "hours"
    every = stretch(advice_of(case, "cost"), over)
    result = merged(every)
    assert len(result.steps) + result.merged == len(every.steps)
    assert (result.steps[0].start, result.steps[-1].end) == (every.low, every.high)
    for step in every.steps:
        told = next(s for s in result.steps if s.start <= step.start and step.end <= s.end)
        assert (told.found is None) == (step.found is None)
        if told.found and step.found:
            assert told.found.cost_cents >= step.found.cost_cents
            assert any(a <= step.start * 1.001 and step.end <= b * 1.001 for a, b in told.serves)
    if every.asked is not None and (now := every.at(every.asked)):
        assert result.at(every.asked) == replace(now, changes=result.at(every.asked).changes)  # type: ignore[union-attr]
