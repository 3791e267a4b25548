"""A part asked for: what its shop prints, and a safe default for everything else."""

import re
from collections.abc import Collection, Mapping, Sequence
from itertools import count

from keelwatt.files.catalog import shop
from keelwatt.files.catalog.append import problems_of_row
from keelwatt.files.catalog.cells import Column, columns_of, read_cell
from keelwatt.files.catalog.parts import FILES
from keelwatt.files.fields import shown, slug, words_of
from keelwatt.files.outing.comments import alternatives
from keelwatt.interview.reading import checked, one_of
from keelwatt.interview.session import HOW, Session
from keelwatt.interview.talk import LONG, with_unit
from keelwatt.units import UnitError, money_cents, quantity

OFTEN = frozenset(
    {
        *(
            "chemistry",
            "continuous_a",
            "cycles",
            "control",
            "steps",
            "mass_kg",
            "insulation_c",
            "kind",
        ),
        *("interrupts_a", "max_voltage_v", "rating_a", "size", "studs", "output_v"),
    }
)
"""Fields with a default that shops print often enough to be asked for one by one."""

WRITTEN = frozenset({"id", "chemistry"})
"""Fields whose default stands in the row, for the reader of the file to see."""

US: Mapping[str, str] = {
    **{"mm": "in", "m": "ft", "kg": "lb", "N": "lb", "kg/m": "lb/ft", "km/h": "mph"},
}
"""The unit a shop in the United States prints in place of the column's own."""

FOOT_M = 0.3048
ALL, MORE = "all", "more"

SAID: Mapping[str, str] = {
    "min_system_v": 'Battery voltage it works on, as "12-60 V" or "12 V".',
    "length_m": 'Over all, terminals included; or all three, as "13 x 6.8 x 8.4 in".',
    "price_cents_m": "Price of one conductor a {}, as the shop prints it.",
}
"""Questions that the column's own comment does not make."""

TITLES: Mapping[str, str] = {
    "continuous_a": "Continuous current",
    "insulation_c": "Insulation",
    "interrupts_a": "Interrupting capacity",
    "min_system_v": "Voltage",
    "system_v": "Voltage",
    "price_cents_m": "Price",
}

Cells = dict[str, str]


def questions(stem: str) -> tuple[list[Column], list[Column]]:
    """The columns asked for one by one, and those that Enter leaves at their defaults."""
    columns = [each for each in columns_of(FILES[stem]) if each.field != "max_system_v"]
    first = [each for each in columns if each.required or each.field in OFTEN]
    return first, [each for each in columns if each not in first]


def part(session: Session, stem: str, taken: Collection[str], *, us: bool = False) -> Cells:
    """The cells of one more part, by field; blank where its default is to be taken.

    ``taken``: ids that are used already; ``us``: the units offered first.
    """
    session.tell(f"{HOW} and writes nothing.")
    first, rest = questions(stem)
    session.total = 2 + len(first)
    units = session.until(
        "Which units does the shop print, us or metric?",
        "us" if us else "metric",
        one_of("us", "metric"),
        more="A number without a unit is then taken in the unit asked for.",
    )
    asking = _Part(session, stem, taken, units == "us")
    asking.all(first, then=1)
    defaults = "; ".join(f"{each.name}: {each.taken}" for each in rest)
    words = (
        f"{len(rest)} more values have safe defaults: {ALL} takes them, {MORE} asks for each."
        if rest[1:]
        else f"One more value has a safe default: {ALL} takes it, {MORE} asks for it."
    )
    if rest and session.until(words, ALL, one_of(ALL, MORE), more=defaults) == MORE:
        asking.all(rest)
    session.total = 0
    asking.settle()
    return asking.cells


class _Part:
    def __init__(self, session: Session, stem: str, taken: Collection[str], us: bool) -> None:
        self.session, self.stem, self.taken, self.us = session, stem, taken, us
        self.model = FILES[stem]
        self.cells: Cells = {}
        self.values: dict[str, object] = {}

    def all(self, columns: Sequence[Column], then: int = 0) -> None:
        """Those not answered along with another."""
        for at, column in enumerate(columns):
            if column.field not in self.cells:
                left = sum(each.field not in self.cells for each in columns[at:])
                self.session.total = self.session.at + left + then
                self.ask(column)
        self.session.total = self.session.at + then

    def ask(self, column: Column) -> None:
        """One value, held against its bounds at once."""
        unit = US.get(column.unit, column.unit) if self.us else column.unit
        words = SAID.get(column.field, column.meaning).format("foot" if self.us else "metre")
        known = words_of(self.model.model_fields[column.field].annotation)
        inside = (
            f" In {LONG.get(unit, unit)}."
            if unit
            else f" {alternatives(list(known))}."
            if known
            else ""
        )
        title = TITLES.get(column.field, column.name.replace("_", " ").capitalize())
        offered = self._offer(column, unit)
        more = f"{words} Else: {column.taken} ({column.source})." if column.taken else words
        cells = self.session.until(
            f"{title}. {words}{inside}",
            offered,
            lambda typed: self._read(typed, offered, column, unit),
            more=more,
            name=column.field == "name",
        )
        self.cells |= cells
        told = ", ".join(filter(None, cells.values())) or f"{offered}, assumed"
        self.session.tell(f"= {told}")

    def _offer(self, column: Column, unit: str) -> str:
        """What Enter takes: of a default, what it comes to for this part."""
        if column.field == "id" or column.required:
            return self._id() if column.field == "id" else ""
        info = self.model.model_fields[column.field]
        value = info.get_default(call_default_factory=True, validated_data=self.values)
        if isinstance(value, bool):
            return "yes" if value else "no"
        if column.field == "chemistry":
            return "" if value in ("", "lithium") else shop_word("chemistry", value)
        if isinstance(value, int | float):
            number, _, unit = shown(value, column.kind, unit).partition(" ")
            return f"{float(f'{float(number):.3g}'):g} {unit}".strip()
        return column.taken

    def _read(self, typed: str, offered: str, column: Column, unit: str) -> Cells:
        field = column.field
        unknown = typed.lower() in shop.UNKNOWN
        if not column.required and field not in WRITTEN and (typed == offered or unknown):
            return {field: ""}
        if unknown and typed:
            raise UnitError("is not known", f"look it up: {column.meaning}")
        if column.kind == "money":
            return {field: self._price(typed, per_foot=self.us and field == "price_cents_m")}
        if field == "min_system_v":
            return self._range(typed, column)
        if field == "length_m" and re.search("[x×*]", typed):
            return self._sides(typed, unit)
        text = shop_word(field, with_unit(typed, f"1 {unit}"))
        value = read_cell(text, column, "", decimal_comma=False)
        self.values[field] = checked(self.model, field, value, column.kind)
        if field == "id" and text in self.taken:
            raise UnitError("is the id of another part", "give it another")
        return {field: text}

    def _price(self, typed: str, *, per_foot: bool) -> str:
        cents = money_cents(re.sub(r"(?i)(/|\ba\b|\bper\b).*$", "", typed).strip())
        if cents < 0:
            raise UnitError("is below 0", "write 0 or more")
        if re.search(r"(?i)(/|\ba\b|\bper\b)\s*(ft|foot)\b", typed):
            per_foot = True
        return f"{cents / 100 / (FOOT_M if per_foot else 1):.2f}"

    def _range(self, typed: str, column: Column) -> Cells:
        ends = re.findall(r"[0-9]+(?:[.,][0-9]+)?", typed) or [typed]
        for field, end in (("min_system_v", ends[0]), ("max_system_v", ends[-1])):
            checked(self.model, field, read_cell(end, column, "V", False), column.kind)
        return {"min_system_v": ends[0], "max_system_v": ends[-1]}

    def _sides(self, typed: str, unit: str) -> Cells:
        """Length, width and height in one answer."""
        found: Cells = {}
        for field, side in zip(("length_m", "width_m", "height_m"), shop.sides(typed), strict=True):
            found[field] = with_unit(side.strip(), f"1 {unit}")
            checked(self.model, field, quantity(found[field], "length"), "length")
        return found

    def _id(self) -> str:
        """Made from the name, and free."""
        made = slug(self.cells.get("name", "")) or "part"
        names = (made if number == 1 else f"{made}-{number}" for number in count(1))
        return next(name for name in names if name not in self.taken)

    def settle(self) -> None:
        """Ask again for what does not fit the rest, until it does or is to be kept."""
        named = {column.header: column for column in columns_of(self.model)}
        self.cells["id"] = self.cells.get("id") or self._id()
        kept: set[str] = set()
        while True:
            problems = problems_of_row(self.stem, self.cells)
            wrong = next((each for each in problems if str(each.column) not in kept), None)
            if wrong is None:
                return
            column = named[str(wrong.column)]
            self.session.tell(f"{column.name} {wrong.what}: {wrong.remedy}.")
            words = f"Keep {column.name} as it is, yes or no?"
            if wrong.warning and self.session.until(words, "no", one_of("yes", "no")) == "yes":
                kept.add(column.header)
            else:
                self.ask(column)


def shop_word(field: str, text: str) -> str:
    """A word of the shop as the catalog's own."""
    if field == "chemistry":
        return str(shop.chemistry(text))
    if field == "chemistries":
        words = tuple(word for word in re.split(r"\s*[|,;/]\s*", text) if word)
        return "|".join(map(str, shop.chemistries(words)))  # type: ignore[call-overload]
    return text
