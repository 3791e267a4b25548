"""What joins batteries and feeds branches: lengths, ratings and counts."""

from math import ceil

FUSE_LEAD_M = 0.15
"""From a source to its fuse: within 7 in, with a little to spare."""

SLACK_M = 0.10
"""For bends and lugs. Common practice."""

INLET_LEAD_M = 0.30
"""From the charging fuse to the inlet. Common practice."""

DEVICE_RUN_M = 2.0
"""One way to a device, whose place the outing does not tell: to be measured before cutting."""

BRANCH_DROP = 0.03
"""The share of voltage a branch may lose: what ABYC E-11 asks for lights, from memory."""

FUSE_RATINGS_A = (1, 2, 3, 5, 7.5, 10, 15, 20, 25, 30, 40, 50, 60, 70, 80, 100)
"""Ratings blade and strip fuses for vehicles are sold in. From memory."""

BRANCH_MARGIN = 1.25
"""A branch's fuse over its current. Common practice."""

MOST_TIMES_ASKED = 2.0
"""A fuse larger than this many times the rating asked for would not guard a thin device lead.
Common practice."""

MAIN_LUGS, STRING_LUGS, BRANCH_LUGS, LINK_LUGS = 6, 6, 4, 2
"""Lugs on the motor's circuit (bank, fuse, motor), on each string in parallel, on a branch, on a
link. Plugs, inlets and controls have contacts of their own."""

_ROUNDING = 1e-9


def branch_fuse_a(*, current_a: float) -> float:
    """The next rating on sale above a branch's current and its margin [A], from memory.

    >>> branch_fuse_a(current_a=4.0), branch_fuse_a(current_a=100.0)
    (5, 130)
    """
    least = BRANCH_MARGIN * current_a * (1 - _ROUNDING)
    return next((rating for rating in FUSE_RATINGS_A if rating >= least), 10 * ceil(least / 10))


def string_lead_m(*, length_m: float, width_m: float) -> float:
    """From a string's fuse to the joints in the middle of a bank so long and wide [m].
    Up to the next whole centimetre. Common practice.

    >>> string_lead_m(length_m=0.2, width_m=0.2)
    0.3
    """
    return _whole_cm((length_m + width_m) / 2 + SLACK_M)


def link_m(*, length_m: float, width_m: float) -> float:
    """From a battery so long and wide to its neighbour [m]. Common practice.

    >>> link_m(length_m=0.2, width_m=0.1)
    0.3
    """
    return _whole_cm(max(length_m, width_m) + SLACK_M)


def joining_m(*, series: int, parallel: int, lead_m: float, link_m: float) -> tuple[float, float]:
    """Cable that joins a bank: (red, links among it; black), both [m]. Common practice.

    >>> joining_m(series=2, parallel=1, lead_m=0.5, link_m=0.3)
    (0.3, 0.0)
    """
    leads_m = parallel * (FUSE_LEAD_M + lead_m) if parallel > 1 else 0.0
    return leads_m + parallel * (series - 1) * link_m, leads_m


def joining_lugs(*, series: int, parallel: int) -> int:
    """Lugs on the cable that joins a bank. Common practice.

    >>> joining_lugs(series=2, parallel=2)
    16
    """
    return (STRING_LUGS * parallel if parallel > 1 else 0) + LINK_LUGS * parallel * (series - 1)


def studs_asked(*, parallel: int, devices: int) -> int:
    """Studs of a joint: a lug of each string, the motor's, the devices', one for an inlet.
    Common practice.

    >>> studs_asked(parallel=2, devices=1)
    5
    """
    return parallel + 1 + devices + 1


def whole_lengths(*, length_m: float, unit_m: float) -> int:
    """Whole metres or feet to buy; a millionth of one too much is left out.
    Common practice: cable is cut from the reel by the whole one.

    >>> whole_lengths(length_m=2.0, unit_m=1.0), whole_lengths(length_m=2.1, unit_m=0.3048)
    (2, 7)
    """
    return ceil(round(length_m / unit_m, 6))


def _whole_cm(length_m: float) -> float:
    """Up to the next; rounded first, so that 0.30 m stays 30 cm in spite of its last bit."""
    return ceil(round(100 * length_m, 6)) / 100
