"""From a sheet to the rows of a model, telling every problem on the way."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import TypeVar

from pydantic import BaseModel, ValidationError

from keelwatt.errors import Problem
from keelwatt.files.catalog.cells import Column, columns_of, read_cell
from keelwatt.files.catalog.checks import Finding
from keelwatt.files.catalog.sheet import Sheet
from keelwatt.files.fields import complaints, plain
from keelwatt.units import UnitError, did_you_mean, split_header, to_si

Model = TypeVar("Model", bound=BaseModel)

MOST_ROWS = 5000
"""Parts a file may hold."""


@dataclass(frozen=True)
class _Place:
    """Where a column stands, what its header says, and the unit of its cells."""

    index: int
    header: str
    column: Column
    unit: str


def rows_of(
    sheet: Sheet,
    model: type[Model],
    problems: list[Problem],
    *,
    findings: Callable[[Model], Iterable[Finding]],
    may_be_empty: bool = False,
) -> Iterator[tuple[int, str, Model | None]]:
    """Of every row its number, its id if it has one, and what it holds, None where that is wrong.

    ``findings``: what to object to in a row across its values.
    """
    places = {place.column.field: place for place in _places(sheet, columns_of(model), problems)}
    if not places:
        return
    if not sheet.rows and not may_be_empty:
        what, remedy = "holds no rows", "add one below the header"
        problems.append(sheet.problem(sheet.header_row, what, remedy))
    if len(sheet.rows) > MOST_ROWS:
        what, remedy = (
            f"is one part too many: {MOST_ROWS} are taken",
            "leave out what you would not buy",
        )
        problems.append(sheet.problem(sheet.rows[MOST_ROWS][0], what, remedy))
        return
    standard = {column.field: column.header for column in columns_of(model)}
    wanted = len(sheet.header)
    for row, cells in sheet.rows:
        if len(cells) < wanted or any(cells[wanted:]):
            what = f"has {len(cells)} cells, and the header has {wanted}"
            remedy = "check for a missing or a stray separator; put text that holds one in quotes"
            problems.append(sheet.problem(row, what, remedy))
            continue
        given = {field: cells[place.index] for field, place in places.items()}
        found, objections = _read(model, given, places, sheet.decimal_comma, findings)
        for each in objections:
            header = places[each.field].header if each.field in places else standard[each.field]
            problems.append(
                sheet.problem(
                    row, each.what, each.remedy, header, given.get(each.field), warning=each.warning
                )
            )
        yield row, given.get("id", ""), found


def _places(sheet: Sheet, columns: tuple[Column, ...], problems: list[Problem]) -> Iterator[_Place]:
    """The columns whose cells can be read."""

    def complain(header: str | None, what: str, remedy: str) -> None:
        problems.append(sheet.problem(sheet.header_row, what, remedy, header))

    known = {column.name: column for column in columns}
    split = [split_header(cell) for cell in sheet.header]
    names = [name for name, _ in split]
    if not set(names) & set(known):
        header = ",".join(column.header for column in columns if column.required)
        complain(None, "is not the header of this file", f"put this row first: {header}")
        return
    for index, (cell, (name, unit)) in enumerate(zip(sheet.header, split, strict=True)):
        column = known.get(name)
        if column is None:
            what = "is not a column of this file" if cell else "is a column without a name"
            all_headers = ", ".join(each.header for each in columns)
            complain(cell, what, f"{did_you_mean(name, known)}the columns are {all_headers}")
        elif name in names[:index]:
            complain(cell, "is there twice", "leave out one of the two columns")
        elif objection := _unit_objection(column, unit):
            complain(cell, *objection)
        else:
            yield _Place(index, cell, column, unit or "")
    for column in columns:
        if column.required and column.name not in names:
            complain(column.header, "is missing from the header", f"add a column {column.header}")


def _unit_objection(column: Column, unit: str | None) -> tuple[str, str] | None:
    if column.kind is None or column.kind == "money":
        return ("takes no unit", f"write {column.header}") if unit else None
    try:
        to_si(1.0, unit or "", column.kind)
    except UnitError as error:
        return error.what, f"write {column.header}, or another unit of that kind"
    return None


def _read(
    model: type[Model],
    given: Mapping[str, str],
    places: Mapping[str, _Place],
    decimal_comma: bool,
    findings: Callable[[Model], Iterable[Finding]],
) -> tuple[Model | None, list[Finding]]:
    """What a row's cells hold, None where that is wrong; and all there is to object to."""
    objections: list[Finding] = []
    values = _values(given, places, decimal_comma, objections)
    try:
        found = model.model_validate(values)
    except ValidationError as error:
        for wrong in complaints(error):
            field = str(wrong["loc"][0])
            kind = places[field].column.kind
            said = plain(wrong["type"], wrong.get("ctx", {}), wrong["input"], kind)
            objections.append(Finding(field, *said))
        return None, objections
    objections += [
        each for each in findings(found) if each.field in values or not given.get(each.field)
    ]
    return found if all(each.warning for each in objections) else None, objections


def _values(
    given: Mapping[str, str],
    places: Mapping[str, _Place],
    decimal_comma: bool,
    objections: list[Finding],
) -> dict[str, object]:
    """The fields whose cells can be read."""
    values: dict[str, object] = {}
    for field, cell in given.items():
        place, required = places[field], places[field].column.required
        if not cell and required:
            objections.append(Finding(field, "is empty", f"write its {place.header}"))
        if not cell:
            continue
        try:
            values[field] = read_cell(cell, place.column, place.unit, decimal_comma)
        except UnitError as error:
            or_empty = "" if required else ", or leave the cell empty"
            objections.append(Finding(field, error.what, error.remedy + or_empty))
    return values
