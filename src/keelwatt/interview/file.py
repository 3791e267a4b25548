"""The answers as a commented outing, in the words they were given in."""

from collections.abc import Iterable, Iterator, Mapping

from keelwatt.interview.answers import Answers, Table

NOTES: Mapping[str, str] = {
    "temperature": "cold water takes charge from batteries",
    "hull_height": "keel to the hull's own centre of mass; usual for the kind of craft",
    "payload_limit": "people, gear and kit together",
    "speed": "over the ground",
    "headwind": "+ against you",
    "current": "the stream, + against you",
    "reserve": "charge kept back of what may be used",
    "lift": "the heaviest piece you can lift",
    "by": '"cost", "mass" or "season"',
}
"""Said behind a key."""

TOP = """\
# Your boat and your day, from your answers. Change what you like and run keelwatt pick again.
#
# Quantities are text in quotes with a unit, and any unit of the right kind will do.
# Places: x forward of midship, y to starboard, z up from the keel. Only x was asked for, and that
# roughly: y and z are usual for the kind of craft. Measure where it matters.
# A line that begins with # is a comment; take the # away to use a key.
"""

MORE_CRAFT = """\
# drag_factor = 1.3              # your own, after a trial on the water
# wind_area = "0.5 m2"           # crew and hull as the wind sees them
# controller_at = { x = "-1.2 m", y = "0 m", z = "20 cm" }   # else beside the motor
"""

MORE_COMPARTMENT = """\
# opening_length = "40 cm"       # a hatch every battery must pass
# opening_width = "30 cm"
# max_load = "35 kg"
"""

MORE_MOUNT = """\
# shaft_needed = "70 cm"         # shorter shafts would draw air
"""

MORE_RUNS = """\
# [craft.cable_run]              # one way, as "compartment/mount" = "3 m"; else the straight
#                                # distances and 60 cm
"""

MORE_LIMITS = """\
# budget = 900
# lift = "25 kg"                 # the heaviest piece you can lift
# kit_mass = "40 kg"             # all that is carried; the charger stays ashore
# top_speed = "6 km/h"           # through calm water
# payload_margin = "10 kg"
# recharge_within = "12 h"       # a charger is then part of the kit
# season = 120                   # the most a season may cost
# max_trim = "1.5 deg"
# max_heel = "3 deg"
# voltage_drop = "5 %"
"""

MORE_WISHES = """\
# outings_per_season = 20

# [policy]
# discharge = "everyday"         # or "occasional", "limit": how far batteries are drawn down
# health = 0.9                   # what age leaves of the rated capacity
# place_temperature = "30 degC"  # where the cable runs
# clearance = "10 mm"            # free round the batteries

# [parts]                        # ids from the catalog
# own = ["agm-12v-100ah"]        # costs nothing
# require = []
# refuse = []
"""


def outing_text(found: Answers) -> str:
    """A file that reads back as what was answered."""
    return "\n".join(block for block in _blocks(found) if block)


def _blocks(found: Answers) -> Iterator[str]:
    yield TOP
    yield _keys({"title": found.title, "currency": found.currency})
    yield _table("[water]", found.water)
    yield _table("[craft]", found.craft) + MORE_CRAFT
    yield "# Where a battery may stand. x, y, z: the middle of what stands in it."
    yield from _tables("craft.compartment", found.compartments, MORE_COMPARTMENT)
    yield "# Where a motor may hang."
    yield from _tables("craft.mount", found.mounts, MORE_MOUNT)
    yield MORE_RUNS
    yield from _tables("aboard", found.aboard)
    yield from _tables("leg", found.legs)
    yield from _tables("device", found.devices)
    yield _table("[limits]", found.limits) + _without(MORE_LIMITS, found.limits)
    yield _table("[wish]", found.wish) + MORE_WISHES


def _tables(name: str, tables: Iterable[Table], more: str = "") -> Iterator[str]:
    for table in tables:
        yield _table(f"[[{name}]]", table) + more
        more = ""


def _table(header: str, table: Table) -> str:
    return f"{header}\n{_keys(table)}"


def _keys(table: Table) -> str:
    return "".join(_line(key, value) for key, value in table.items())


def _line(key: str, value: str) -> str:
    pair = f"{key} = {quoted(value)}"
    return f"{pair:<32} # {NOTES[key]}\n" if key in NOTES else f"{pair}\n"


def _without(comments: str, given: Table) -> str:
    """Commented keys, but for those that are given."""
    lines = comments.splitlines(keepends=True)
    return "".join(line for line in lines if line.split()[1] not in given)


def quoted(text: str) -> str:
    r"""A TOML basic string.

    >>> print(quoted('a "b" \\ c'))
    "a \"b\" \\ c"
    """
    escaped = text.replace("\\", "\\\\").replace('"', '\\"')
    return '"' + "".join(map(_sign, escaped)) + '"'


def _sign(sign: str) -> str:
    return sign if sign.isprintable() else f"\\U{ord(sign):08x}"
