"""From a sheet to the rows of a model, telling every problem on the way."""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Generic, TypeVar

from pydantic import BaseModel, ValidationError

from keelwatt.errors import Problem
from keelwatt.files.catalog.cells import AREA_OF, Column, columns_of, read_cell
from keelwatt.files.catalog.checks import Finding
from keelwatt.files.catalog.sheet import Sheet
from keelwatt.files.fields import complaints, plain
from keelwatt.units import UnitError, cable_area_mm2, did_you_mean, split_header, to_si

Model = TypeVar("Model", bound=BaseModel)


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
    columns = columns_of(model)
    headers = {column.field: column.header for column in columns}
    places = {place.column.field: place for place in _places(sheet, columns, problems)}
    if not places:
        return
    if not sheet.rows and not may_be_empty:
        what, remedy = "holds no rows", "add one below the header"
        problems.append(Problem(file=sheet.file, row=sheet.header_row, what=what, remedy=remedy))
    for row, cells in sheet.rows:
        found = _Row(sheet, row, cells, places, headers, problems, findings)
        if found.has_all_cells(len(sheet.header)):
            yield row, cells[places["id"].index] if "id" in places else "", found.read(model)


def _places(sheet: Sheet, columns: Sequence[Column], problems: list[Problem]) -> Iterator[_Place]:
    """The columns whose cells can be read."""

    def complain(header: str | None, what: str, remedy: str) -> None:
        problems.append(
            Problem(file=sheet.file, row=sheet.header_row, column=header, what=what, remedy=remedy)
        )

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


@dataclass(frozen=True)
class _Row(Generic[Model]):
    """One row on its way into the model."""

    sheet: Sheet
    row: int
    cells: tuple[str, ...]
    places: Mapping[str, _Place]
    headers: Mapping[str, str]
    problems: list[Problem]
    findings: Callable[[Model], Iterable[Finding]]

    def cell(self, field: str) -> str | None:
        place = self.places.get(AREA_OF.get(field, field))
        return self.cells[place.index] if place else None

    def complain(self, field: str, what: str, remedy: str, warning: bool = False) -> None:
        place = self.places.get(AREA_OF.get(field, field))
        header, file = place.header if place else self.headers[field], self.sheet.file
        self.problems.append(
            Problem(
                file=file,
                row=self.row,
                column=header,
                value=self.cell(field),
                what=what,
                remedy=remedy,
                warning=warning,
            )
        )

    def has_all_cells(self, wanted: int) -> bool:
        given = len(self.cells)
        if given < wanted or any(self.cells[wanted:]):
            what = f"has {given} cells, and the header has {wanted}"
            remedy = "check for a missing or a stray separator; put text that holds one in quotes"
            self.problems.append(
                Problem(file=self.sheet.file, row=self.row, what=what, remedy=remedy)
            )
            return False
        return True

    def read(self, model: type[Model]) -> Model | None:
        before = len(self.problems)
        values = self.values()
        try:
            found = model.model_validate(values)
        except ValidationError as error:
            for wrong in complaints(error):
                field = str(wrong["loc"][0])
                kind = self.places[AREA_OF.get(field, field)].column.kind
                context = wrong.get("ctx", {})
                self.complain(field, *plain(wrong["type"], context, wrong["input"], kind))
            return None
        told = len(self.problems) > before
        for finding in self.findings(found):
            if finding.field in values or not self.cell(finding.field):
                self.complain(finding.field, finding.what, finding.remedy, finding.warning)
                told = told or not finding.warning
        return None if told else found

    def values(self) -> dict[str, object]:
        """The fields whose cells can be read."""
        values: dict[str, object] = {}
        for field, place in self.places.items():
            cell = self.cells[place.index]
            if not cell:
                if place.column.required:
                    self.complain(field, "is empty", f"write its {place.header}")
                continue
            try:
                values[field] = read_cell(cell, place.column, place.unit, self.sheet.decimal_comma)
            except UnitError as error:
                or_empty = "" if place.column.required else ", or leave the cell empty"
                self.complain(field, error.what, error.remedy + or_empty)
        for area, size in AREA_OF.items():
            if size in values:
                try:
                    values[area] = cable_area_mm2(str(values[size]))
                except UnitError as error:
                    self.complain(size, error.what, error.remedy)
        return values
