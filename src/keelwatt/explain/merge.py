"""A staircase with fewer steps: a narrow one takes the next one's kit, if hardly dearer."""

from dataclasses import replace
from math import isfinite

from keelwatt.explain import changed as sides
from keelwatt.explain.cover import APART
from keelwatt.explain.stretch import Step, Stretch

NARROW = 0.02
"""Steps narrower than this share of the range are merged."""

DEARER = 0.02
"""Unless the kit taken comes to more than this share above the best one."""

ALIKE, DEARER_ALIKE = {"controller", "box"}, 0.05
"""Kits that differ in nothing else make one step, unless the one comes to so much more."""


def merged(result: Stretch) -> Stretch:
    """With neighbouring steps merged that are narrow, or whose kits differ in control or box alone.

    A step takes the kit of the next harder one, if that does for both: whatever is told is true,
    though it is not everywhere the best. The step of what the outing asks stays as it is.
    """
    asked = None if result.asked is None else result.at(result.asked)
    narrow = NARROW * _width(result)
    steps: list[Step] = []
    least = 0.0
    for step in result.ladder:
        last = steps[-1] if steps else None
        value = step.found.value(result.by) if step.found else 0.0
        if last is None or asked in (last, step) or not _joins(last, step, narrow, value / least):
            steps.append(step)
            least = value or 1.0
        else:
            start, end = min(last.start, step.start), max(last.end, step.end)
            steps[-1] = replace(step, start=start, end=end)
    steps = steps if result.growing else steps[::-1]
    hidden = len(result.steps) - len(steps)
    return replace(result, steps=tuple(_changed(steps)), merged=hidden)


def _width(result: Stretch) -> float:
    """Of the range, or of what its breakpoints span where it has no end."""
    if isfinite(result.high):
        return result.high - result.low
    between = [step.end for step in result.steps[:-1]]
    return max(between, default=0.0) - min(between, default=0.0)


def _joins(step: Step, harder: Step, narrow: float, dearer: float) -> bool:
    """Whether a step may take the kit of the next harder one, so many times as dear."""
    if step.found is None or harder.found is None:
        return False
    alike = {*sides.changed(step.found.kit, harder.found.kit)} <= ALIKE
    within = any(a <= step.start * APART and step.end <= b * APART for a, b in harder.serves)
    near = step.end - step.start < narrow
    return within and (
        (alike and dearer <= 1.0 + DEARER_ALIKE) or (near and dearer <= 1.0 + DEARER)
    )


def _changed(steps: list[Step]) -> list[Step]:
    """The steps with what changes from the last kit before each."""
    last, told = None, list[Step]()
    for step in steps:
        changes = sides.changed(last.kit, step.found.kit) if last and step.found else ()
        told.append(replace(step, changes=changes))
        last = step.found or last
    return told
