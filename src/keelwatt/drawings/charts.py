"""Charts of one kit: how much of a limit it uses, its charge along the day, its speed."""

from math import isinf

from markupsafe import Markup

from keelwatt import words
from keelwatt.drawings.frame import TOP, Frame, axis
from keelwatt.drawings.marks import Box
from keelwatt.drawings.svg import Drawing, element, group, text, text_width
from keelwatt.explain.curves import Curves, charge_left
from keelwatt.proof import Limit, Proof
from keelwatt.units import shown

MOST_USED = 1.15
"""How far a bar runs past its limit at the most."""


def used_share(limit: Limit) -> float | None:
    """How much of a limit a kit uses, 1 at the bound; None where more or less has no meaning."""
    if limit.sense == "equal":
        return None
    part, whole = (limit.has, limit.needs) if limit.sense == "at most" else (limit.needs, limit.has)
    if isinf(whole) or part <= 0.0:
        return 0.0
    return part / whole if whole > 0.0 else MOST_USED


def bar(limit: Limit) -> Markup:
    """A bar up to the limit's line, for a cell of a table that says the same in numbers."""
    share = used_share(limit)
    if share is None:
        return Markup("")
    used = min(share, MOST_USED) * 100.0
    return element(
        "svg",
        Box.over(0.0, 2.0, 100.0, 8.0).drawn(class_="soft-fill"),
        Box.over(0.0, 2.0, used, 8.0).drawn(class_="accent-fill" if limit.holds else "warn-fill"),
        Box.over(99.0, 0.0, 1.6, 12.0).drawn(class_="warn-fill"),
        viewBox="0 0 116 12",
        preserveAspectRatio="none",
        aria_hidden="true",
        class_="bar",
    )


def charge(proof: Proof) -> Drawing:
    """The bank from leaving to coming home, the legs by number, and what must stay in."""
    corners = charge_left(proof)
    frame = Frame(
        axis("hours since leaving", [h for h, _ in corners], about=6),
        axis("charge left, Ah", [proof.full_ah, *(ah for _, ah in corners)]),
    )
    home_h, home_ah = corners[-1]
    keep = f"reserve: {proof.keep_ah:.0f} Ah"
    x, y = frame.place(0.0, proof.keep_ah)
    below = frame.bottom - y > 16.0
    body = [
        _legs_along(frame, proof),
        frame.axes(),
        frame.line([(0.0, proof.keep_ah), (frame.x.high, proof.keep_ah)], "warn"),
        text(keep, x + 5.0, y + 13.0 if below else y - 5.0, "small halo"),
        frame.line(corners, "accent"),
    ]
    told = (
        f"From {proof.full_ah:.0f} Ah at the start to {home_ah:.0f} Ah after "
        f"{words.duration(home_h)}; reserve {proof.keep_ah:.0f} Ah."
    )
    return frame.drawing("charge", "Charge left along the day", told, body)


def _legs_along(frame: Frame, proof: Proof) -> Markup:
    """Every second leg on a faint ground, each with its number where there is room for one."""
    legs = len(proof.assessment.legs)
    starts = [0.0, *(end.at_h for end in proof.leg_ends)]
    drawn: list[Markup] = []
    for number, (start, end) in enumerate(zip(starts, proof.leg_ends, strict=False), start=1):
        left, right = frame.place(start, 0.0)[0], frame.place(end.at_h, 0.0)[0]
        if number % 2 == 0:
            ground = Box.over(left, TOP, right - left, frame.bottom - TOP)
            drawn.append(ground.drawn(class_="soft-fill"))
        if number <= legs and right - left > text_width(str(number), 10.0) + 3.0:
            middle = (left + right) / 2
            drawn.append(text(str(number), middle, frame.bottom - 5.0, anchor="middle"))
    return group(*drawn)


def resistance(curves: Curves) -> Drawing:
    """Thrust over speed, the legs marked."""
    return _over_speed(curves, "resistance", "resistance", "N", "thrust_n")


def current(curves: Curves) -> Drawing:
    """Battery current over speed as far as the motor reaches, the legs marked."""
    return _over_speed(curves, "current", "current from the battery", "A", "battery_a")


def _over_speed(curves: Curves, name: str, called: str, unit: str, of: str) -> Drawing:
    """``of`` is the field in curves and legs alike."""
    faster, speed, _ = shown.scale("m/s")
    stronger, unit, _ = shown.scale(unit)
    amounts = [stronger * getattr(curve, of) for curve in curves.curves]
    drawn = [  # as far as there is an amount: beyond, the motor cannot drive the boat
        (curve.calm, list(zip(faster * curve.speeds_m_s[: along.size], along, strict=True)))
        for curve, along in zip(curves.curves, amounts, strict=True)
    ]
    marks = [(faster * leg.speed_m_s, stronger * getattr(leg, of)) for leg in curves.legs]
    fastest = faster * max(float(curve.speeds_m_s[-1]) for curve in curves.curves)
    most = max(y for _, y in [*marks, *(place for _, line in drawn for place in line)])
    frame = Frame(
        axis(f"speed through the water, {speed}", [fastest], about=6),
        axis(f"{called}, {unit}", [most]),
    )
    told = "; ".join(
        f"{leg.name} {words.speed(leg.speed_m_s)}, {words.number(at)} {unit}"
        for leg, (_, at) in zip(curves.legs, marks, strict=True)
    )
    body = [
        frame.axes(),
        *(frame.line(line, "accent" if calm else "line") for calm, line in reversed(drawn)),
        frame.dots(marks, "accent-fill"),
        frame.numbers(marks),
    ]
    title = f"{called.capitalize()} over speed through the water"
    return frame.drawing(name, title, f"The legs: {told}.", body)
