"""From a sheet to the rows of a model, telling every problem on the way."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TypeVar

from pydantic import BaseModel, ValidationError

from keelwatt.errors import Problem
from keelwatt.files.catalog.cells import Column, columns_of, read_cell
from keelwatt.files.catalog.checks import Finding, findings
from keelwatt.files.catalog.sheet import Sheet
from keelwatt.files.catalog.shop import ALSO, AWG, PER_FOOT, UNKNOWN, Shared, shared
from keelwatt.files.fields import complaints, plain
from keelwatt.units import UnitError, currency_signs, did_you_mean, split_header, to_si

Model = TypeVar("Model", bound=BaseModel)

MOST_ROWS = 5000
"""Parts a file may hold."""

METRE_FT = 1.0 / 0.3048

BARE: Mapping[object, str] = {"voltage": "V", "current": "A", "capacity": "Ah"}
"""Kinds that are printed in one unit everywhere: it need not stand in the header."""


@dataclass(frozen=True)
class Place:
    """Where a column stands, what its header says, and the unit of its cells.
    ``several``: where its cells hold other columns too, ``piece`` being its own. ``times``: what
    makes a metre's price of a foot's."""

    index: int
    header: str
    column: Column
    unit: str
    several: Shared | None = None
    piece: int = 0
    times: float = 1.0


def rows_of(
    sheet: Sheet, model: type[Model], problems: list[Problem], *, may_be_empty: bool = False
) -> Iterator[tuple[int, str, Model | None]]:
    """Of every row its number, its id if it has one, and what it holds, None where wrong."""
    columns = columns_of(model)
    places = {place.column.field: place for place in places_of(sheet, columns, problems)}
    if not places:
        return
    if not sheet.rows and not may_be_empty:
        what = "holds no rows"
        remedy = "add one below the header, or let keelwatt catalog add ask for it"
        problems.append(sheet.problem(sheet.header_row, what, remedy))
    if len(sheet.rows) > MOST_ROWS:
        what = f"is one part too many: {MOST_ROWS} are taken"
        remedy = "leave out what you would not buy"
        problems.append(sheet.problem(sheet.rows[MOST_ROWS][0], what, remedy))
        return
    standard = {column.field: column.header for column in columns}
    held = [(each, place.index, Held(place, sheet.decimal_comma)) for each, place in places.items()]
    wanted = len(sheet.header)
    for row, cells in sheet.rows:
        if len(cells) < wanted or any(cells[wanted:]):
            what = f"has {len(cells)} cells, and the header has {wanted}"
            remedy = "check for a missing or a stray separator; put text that holds one in quotes"
            problems.append(sheet.problem(row, what, remedy))
            continue
        found, objections = _read(model, cells, held, places)
        for each in objections:
            place = places.get(each.field)
            header = place.header if place else standard[each.field]
            cell = cells[place.index] if place else None
            problems.append(
                sheet.problem(row, each.what, each.remedy, header, cell, warning=each.warning)
            )
        id = cells[places["id"].index] if "id" in places else ""
        yield row, getattr(found, "id", id), found


def places_of(
    sheet: Sheet, columns: tuple[Column, ...], problems: list[Problem], *, every: bool = True
) -> Iterator[Place]:
    """The columns whose cells can be read.
    ``every``: whether to tell of columns that are required and of units that lack."""

    def complain(header: str | None, what: str, remedy: str, warning: bool = False) -> None:
        problems.append(sheet.problem(sheet.header_row, what, remedy, header, warning=warning))

    known = {column.name: column for column in columns}
    split = [_split(cell, known) for cell in sheet.header]
    given: list[str] = []
    strange: list[str] = []
    if not {_known_as(name, known) for name, _ in split} & set(known):
        header = ",".join(column.header for column in columns if column.required)
        complain(None, "is not the header of this file", f"put this row first: {header}")
        return
    for index, (cell, (printed, unit)) in enumerate(zip(sheet.header, split, strict=True)):
        several = shared(printed, known)
        for piece, name in enumerate(several.columns if several else (_known_as(printed, known),)):
            column = known.get(name)
            if column is None:
                strange.append(cell)
            elif name in given:
                complain(cell, "is there twice", "leave out one of the two columns")
            elif (every or unit) and (objection := _unit_objection(column, unit, sheet, index)):
                given.append(name)
                complain(cell, *objection)
            else:
                given.append(name)
                meant = unit or BARE.get(column.kind, "AWG" if printed in AWG else "")
                times = METRE_FT if printed in PER_FOOT else 1.0
                yield Place(index, cell, column, meant, several, piece, times)
    unused = [column for column in columns if column.name not in given]
    for told in _unknown(strange, known, unused):
        complain(*told)
    for column in unused:
        if every and column.required:
            what, remedy = "is missing from the header", f"add a column {column.header}"
            complain(column.header, what, f"{remedy}: {column.meaning}")


def _unknown(
    cells: list[str], known: Mapping[str, Column], unused: list[Column]
) -> Iterator[tuple[str, str, str, bool]]:
    """Columns that are not needed are one warning; one that looks like a slip is a problem."""
    names = ", ".join(column.header for column in unused)
    left = f"the columns not used yet are {names}" if names else "every column is there already"
    not_needed: list[str] = []
    for cell in cells:
        if not cell:
            yield cell, "is a column without a name", "name it, or leave it out", False
        elif meant := did_you_mean(split_header(cell)[0], known):
            what = "is not a column of this file"
            yield cell, what, f"{meant}{left}", False
        else:
            not_needed.append(cell)
    if not_needed:
        what = "is not a column of this file and was not read"
        yield ", ".join(not_needed), what, f"leave or rename it; {left}", True


def _split(cell: str, known: Mapping[str, Column]) -> tuple[str, str | None]:
    """A header's name and unit, which a shop may write without brackets: "Weight lb"."""
    name, unit = split_header(cell)
    words, _, last = cell.replace("_", " ").rpartition(" ")
    column = known.get(_known_as(split_header(words)[0], known))
    kind = column.kind if column else None
    meant = unit or _known_as(name, known) in known or shared(name, known)
    if meant or kind is None or kind == "money":
        return name, unit
    try:
        to_si(1.0, last, kind)
    except UnitError:
        return name, unit
    return split_header(words)[0], last


def _known_as(name: str, known: Mapping[str, Column]) -> str:
    """The catalog's own name for a column that shops call otherwise."""
    if name in known:
        return name
    if name in PER_FOOT:
        return "price_per_metre"
    return next((each for each in ALSO.get(name, ()) if each in known), name)


def _unit_objection(
    column: Column, unit: str | None, sheet: Sheet, index: int
) -> tuple[str, str] | None:
    if column.kind is None or column.kind == "money":
        price = column.kind == "money" and currency_signs(unit or "")
        return ("takes no unit", f"write {column.header}") if unit and not price else None
    if not unit:
        here = slice(index, index + 1)
        cells = [cell for _, cells in sheet.rows for cell in cells[here] if cell]
        if column.kind in BARE or (cells and not any(map(_bare, cells))):
            return None
    try:
        to_si(1.0, unit or "", column.kind)
    except UnitError as error:
        return error.what, f"write {column.header}, or another unit of that kind"
    return None


def _read(
    model: type[Model],
    cells: tuple[str, ...],
    held: list[tuple[str, int, "Held"]],
    places: Mapping[str, Place],
) -> tuple[Model | None, list[Finding]]:
    """What a row's cells hold, None where that is wrong; and all there is to object to."""
    values = {field: value for field, index, of in held if (value := of[cells[index]]) is not None}
    objections = [value for value in values.values() if isinstance(value, Finding)]
    for objection in objections:
        del values[objection.field]
    try:
        found = model.model_validate(values)
    except ValidationError as error:
        for wrong in complaints(error):
            field = str(wrong["loc"][0])
            kind = places[field].column.kind if field in places else None
            said = plain(wrong["type"], wrong.get("ctx", {}), wrong["input"], kind)
            objections.append(Finding(field, *said))
        return None, objections
    for finding in findings(found):
        field = finding.field
        if field in values or field not in places or not cells[places[field].index]:
            objections.append(finding)
    if objections and not all(each.warning for each in objections):
        return None, objections
    return found, objections


class Held(dict[str, object]):
    """What the cells of a column hold, each different one read once.

    None where one is blank, or cannot be read and that is told of another column's; else a
    finding where it cannot be read, or be blank.
    """

    def __init__(self, place: Place, decimal_comma: bool) -> None:
        super().__init__()
        self.place, self.decimal_comma = place, decimal_comma

    def __missing__(self, cell: str) -> object:
        value = self[cell] = self._read(cell)
        return value

    def _read(self, cell: str) -> object:
        place, column = self.place, self.place.column
        if not cell or cell.lower() in UNKNOWN:
            if not column.required:
                return None
            what = "is empty" if not cell else "is not known"
            remedy = f"write its {place.header}: {column.meaning}"
            return Finding(column.field, what, remedy)
        try:
            text = place.several.split(cell)[place.piece] if place.several else cell
            text = f"{text} AWG" if place.unit == "AWG" and text.isdigit() else text
            value = read_cell(text, column, place.unit, self.decimal_comma)
            return value * place.times if isinstance(value, float) else value
        except UnitError as error:
            if place.several and place.piece:
                return None  # told at the first of its columns
            taken = f": {column.taken} is then taken" if column.taken not in ("", "none") else ""
            or_empty = "" if column.required else f", or leave the cell empty{taken}"
            return Finding(column.field, error.what, error.remedy + or_empty)


def _bare(cell: str) -> bool:
    """Whether a cell is a number without its unit."""
    return re.fullmatch(r"[+-]?[0-9][0-9., ]*", cell) is not None
