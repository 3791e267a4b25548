"""Random outings as files, most of their wishes made too hard."""

from dataclasses import replace
from random import Random

from edit.outing_text import outing_text
from keelwatt.edit.edit import edited
from keelwatt.errors import InputError
from keelwatt.files.outing import outing_from_text
from oracle.random_cases import Case, random_case

FILE = "outing.toml"

HARDER = {
    "hours": (20, 60, 150),
    "speed": (20, 50, 90),
    "budget": (-10, -40, -70),
    "season": (-10, -40),
    "lift": (-10, -40),
    "kit_mass": (-10, -40),
    "top_speed": (20, 60),
    "recharge": (-20, -60),
    "trim": (-20, -60),
    "heel": (-20, -60),
}
"""By how many per cent a wish may be tightened."""


def hard_case(seed: int) -> tuple[str, Case]:
    """A file, and the case of the outing in it."""
    case = random_case(seed)
    text = outing_text(case.outing, seed)
    r = Random(seed)
    tightened = r.random() < 0.8
    for name, shares in HARDER.items():
        if tightened and r.random() < 0.4:
            text = _with(text, f"{name}={r.choice(shares):+}%")
    return text, replace(case, outing=outing_from_text(text, FILE))


def _with(text: str, setting: str) -> str:
    """The text as it is where the setting has nothing to change."""
    try:
        return edited(text, FILE, [setting]).text
    except InputError:
        return text
