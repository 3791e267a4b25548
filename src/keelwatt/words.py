"""Numbers and names in plain words."""

import re
import shlex
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from functools import partial
from math import ceil, floor, isinf, radians

from keelwatt.choose.sums import Measure
from keelwatt.files.outing import Outing
from keelwatt.limits import LIMITS, Limit
from keelwatt.physics.forces import trim_end_m
from keelwatt.proof.model import LegResult
from keelwatt.units import shown

UNPRINTABLE = re.compile("[\x00-\x09\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069\ud800-\udfff]")
"""What moves a terminal's cursor, colours or turns its text; a line's end is none of it."""


def printable(text: str) -> str:
    """The text with such characters spelled out: a file's name may hold any."""
    return UNPRINTABLE.sub(lambda sign: sign[0].encode("unicode_escape").decode(), text)


MEASURES: dict[Measure, str] = {
    "cost": "cheapest kit",
    "mass": "lightest kit",
    "season": "cheapest kit by the season",
}

LABELS = {name: declared.label for name, declared in LIMITS.items()}
"""What each limit is called on the screen."""

SHARES = {"share": (100.0, "%", 1), "of the wished speed": (100.0, "% of the planned speed", 1)}


def fine(unit: str) -> tuple[float, str, int]:
    """What an amount is multiplied by for a close look, the unit it then has, and decimals."""
    if unit in SHARES:
        return SHARES[unit]
    if unit in ("deg", "trim"):
        return 1.0, " deg", 2
    factor, shown_, places = shown.scale(unit)
    return factor, f" {shown_}", places


CLOSE = {"kg", "m/s", "deg", "trim", *SHARES}
"""Units of amounts that are looked at closely."""


def in_a_sentence(limit: str) -> str:
    """A limit's label where it does not begin a sentence."""
    label = LABELS[limit]
    return label[0].lower() + label[1:]


def together(texts: Sequence[str]) -> str:
    """ "a, b and c"."""
    *first, last = texts
    return f"{', '.join(first)} and {last}" if first else last


KINDS = {
    "batteries": "Batteries", "motors": "Motors", "controllers": "Controllers",
    "cables": "Cables", "fuses": "Fuses and breakers", "connectors": "Connectors",
    "chargers": "Chargers", "fittings": "Fittings", "boxes": "Boxes",
}  # fmt: skip


_TYPED: ContextVar[tuple[tuple[str, str], ...]] = ContextVar("typed", default=())
"""Options typed, with their values, that a command to paste repeats."""

CHOOSE = {"pick", "whatif", "stretch", "tradeoff", "why", "worth", "compare"}
"""Commands that take ``--by``."""


_WATERLINE: ContextVar[float] = ContextVar("waterline", default=0.0)
"""Length of the hull that is written about, in m; 0 if unknown."""


@contextmanager
def about(outing: Outing) -> Iterator[None]:
    """Whatever is written meanwhile is about this outing, in the units it was typed in."""
    token = _WATERLINE.set(outing.craft.waterline_length_m)
    try:
        with shown.written_in(outing.units):
            yield
    finally:
        _WATERLINE.reset(token)


def unit_of(limit: str, unit: str) -> str:
    """A limit's unit for ``quantity`` and the like: trim is also told as a depth at the ends."""
    return limit if limit == "trim" else unit


def trim(deg: float, *, short: bool = False) -> str:
    """How much deeper one end floats and shallower the other: "3.7 cm (1.04 deg)"."""
    degrees = f"{deg:.2f} deg"
    length_m = _WATERLINE.get()
    if not length_m or isinf(deg):
        return degrees
    end = shown.end(float(trim_end_m(length_m=length_m, trim_rad=radians(deg))))
    return end if short else f"{end} ({degrees})"


@contextmanager
def pasting(typed: Iterable[Mapping[str, str]]) -> Iterator[None]:
    """Commands to paste written meanwhile repeat these options."""
    token = _TYPED.set(tuple(option for options in typed for option in options.items()))
    try:
        yield
    finally:
        _TYPED.reset(token)


def command(name: str, file: str, *more: str) -> str:
    """A command line ready to paste, with the user's own file and the options typed."""
    options = [
        word
        for option, value in _TYPED.get()
        if option != "--by" or name in CHOOSE
        for word in (option, value)
    ]
    return shlex.join(["keelwatt", name, file, *more, *options])


def number(value: float) -> str:
    """Three significant digits, at most two decimals, no exponent."""
    if isinf(value):
        return "no end"
    size = abs(value)
    places = 0 if size >= 100 else 1 if size >= 10 else 2
    return f"{value:.{places}f}"


def money(cents: float) -> str:
    return f"{cents / 100:,.2f}"


def kilograms(grams: int) -> str:
    """A mass from grams, in the unit shown."""
    return shown.mass(grams)


def measure(by: Measure, value: float) -> str:
    return kilograms(round(value)) if by == "mass" else money(value)


def duration(h: float) -> str:
    if isinf(h):
        return "no end"
    minutes = round(h * 60)
    if minutes < 60:
        return f"{minutes} min"
    return f"{minutes // 60} h {minutes % 60:02d}" if minutes % 60 else f"{minutes // 60} h"


def speed(m_s: float) -> str:
    return shown.speed(m_s)


_WRITERS: Mapping[str, Callable[[float], str]] = {
    "trim": trim,
    "h": duration,
    "m/s": speed,
    "degC": partial(shown.temperature, places=1),
}


def quantity(value: float, unit: str) -> str:
    if unit in _WRITERS:
        return _WRITERS[unit](value)
    if unit == "money":
        return money(100 * value)
    if unit == "match":
        return "yes" if value else "no"
    return "no end" if isinf(value) else shown.si(value, unit)


def finely(value: float, unit: str) -> str:
    """A quantity with the decimals it takes to tell close ones apart."""
    if unit not in CLOSE or unit == "trim":
        return quantity(value, unit)
    scale, name, places = fine(unit)
    return f"{scale * value:.{places}f}{name}"


def safely(value: float, unit: str, *, up: bool) -> str:
    """As ``finely``, rounded up or down, so that what is said of it still holds."""
    if isinf(value):
        return finely(value, unit)
    minutes_or_cents = (60.0 if unit == "h" else 100.0, "", 0)
    scale, _, places = fine(unit) if unit in CLOSE else minutes_or_cents
    step = 10**-places / scale
    steps = value / step
    whole = ceil(steps - 1e-6) if up else floor(steps + 1e-6)
    return finely(whole * step, unit)


def needs(limit: Limit) -> str:
    """The bound with its sense: "at most 850.00"."""
    sense = "" if limit.sense == "equal" else f"{limit.sense} "
    return sense + _amount(limit, limit.needs)


def has(limit: Limit) -> str:
    return _amount(limit, limit.has)


def _amount(limit: Limit, value: float) -> str:
    return trim(value, short=True) if limit.name == "trim" else quantity(value, limit.unit)


def room(limit: Limit) -> str:
    if limit.sense == "equal":
        return "met" if limit.holds else "broken"
    between = shown.degrees if limit.unit == "degC" else partial(_amount, limit)
    if not limit.holds:
        return f"short by {between(-limit.room)}"
    return "none" if limit.room == 0 else between(limit.room)


def setting(leg: LegResult) -> str:
    """How the speed control is set on a leg.
    As in "between steps 2 and 3", "step 1 and off in turn", "46 % throttle"."""
    if not leg.battery_a:
        return "motor off"
    if leg.throttle is not None:
        return f"{100 * leg.throttle:.0f} % throttle"
    if leg.steps is None:
        return "full throttle, too slow"
    lower, upper, share = leg.steps
    if share > 0.995:
        return f"step {upper}"
    return f"between steps {lower} and {upper}" if lower else f"step {upper} and off in turn"


def setting_in_short(leg: LegResult) -> str:
    """The same for a column: "2-3", "1, off", "46 %"."""
    told = setting(leg)
    for long, short in (
        ("between steps ", ""), (" and off in turn", ", off"), (" and ", "-"), ("motor ", ""),
        (" throttle", ""), ("step ", ""), ("full, too slow", "full"),
    ):  # fmt: skip
        told = told.replace(long, short)
    return told
