"""Numbers and names in plain words."""

from math import ceil, floor, isinf

from keelwatt.choose.sums import Measure
from keelwatt.limits import LIMITS, Limit
from keelwatt.proof.model import LegResult

MEASURES: dict[Measure, str] = {
    "cost": "cheapest kit",
    "mass": "lightest kit",
    "season": "cheapest kit by the season",
}

LABELS = {name: declared.label for name, declared in LIMITS.items()}
"""What each limit is called on the screen."""

FINE = {
    "kg": (1.0, " kg", 2),
    "m/s": (3.6, " km/h", 2),
    "deg": (1.0, " deg", 2),
    "share": (100.0, "%", 1),
    "of the wished speed": (100.0, "% of the wished speed", 1),
}
"""By unit: what an amount is multiplied by to be shown, the unit it then has, and decimals."""

KINDS = {
    "batteries": "Batteries",
    "motors": "Motors",
    "controllers": "Controllers",
    "cables": "Cables",
    "fuses": "Fuses and breakers",
    "connectors": "Connectors",
    "chargers": "Chargers",
}


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
    return f"{grams / 1000:.1f} kg" if grams >= 1000 else f"{grams} g"


def measure(by: Measure, value: float) -> str:
    """Cents, grams or cents a season, as text."""
    return kilograms(round(value)) if by == "mass" else money(value)


def duration(h: float) -> str:
    """Hours and minutes."""
    if isinf(h):
        return "no end"
    minutes = round(h * 60)
    if minutes < 60:
        return f"{minutes} min"
    return f"{minutes // 60} h {minutes % 60:02d}" if minutes % 60 else f"{minutes // 60} h"


def speed(m_s: float) -> str:
    return f"{m_s * 3.6:.1f} km/h"


def quantity(value: float, unit: str) -> str:
    if unit == "money":
        return money(100 * value)
    if unit == "h":
        return duration(value)
    if unit == "m/s":
        return speed(value)
    if unit == "match":
        return "yes" if value else "no"
    if float(value).is_integer() and abs(value) < 1e6:
        return f"{int(value)} {unit}".rstrip()
    return f"{number(value)} {unit}".rstrip()


def finely(value: float, unit: str) -> str:
    """A quantity with the decimals it takes to tell close ones apart."""
    if unit not in FINE:
        return quantity(value, unit)
    scale, shown, places = FINE[unit]
    return f"{scale * value:.{places}f}{shown}"


def safely(value: float, unit: str, *, up: bool) -> str:
    """As ``finely``, rounded up or down, so that what is said of it still holds."""
    if isinf(value):
        return finely(value, unit)
    minutes_or_cents = (60.0 if unit == "h" else 100.0, "", 0)
    scale, _, places = FINE.get(unit, minutes_or_cents)
    step = 10**-places / scale
    steps = value / step
    whole = ceil(steps - 1e-6) if up else floor(steps + 1e-6)
    return finely(whole * step, unit)


def needs(limit: Limit) -> str:
    """The bound with its sense: "at most 850.00"."""
    sense = "" if limit.sense == "equal" else f"{limit.sense} "
    return sense + quantity(limit.needs, limit.unit)


def has(limit: Limit) -> str:
    return quantity(limit.has, limit.unit)


def room(limit: Limit) -> str:
    if limit.sense == "equal":
        return "met" if limit.holds else "broken"
    if not limit.holds:
        return f"short by {quantity(-limit.room, limit.unit)}"
    return "none" if limit.room == 0 else quantity(limit.room, limit.unit)


def setting(leg: LegResult) -> str:
    """How the speed control is set on a leg.

    As in "between steps 2 and 3", "step 1 and off in turn", "46 % throttle".
    """
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
