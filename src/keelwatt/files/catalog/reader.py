"""From a folder of CSV files to a frozen catalog, or every problem in them at once."""

import gc
import hashlib
import os
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path
from typing import Any, cast

from keelwatt.errors import InputError, Problem
from keelwatt.files.catalog import parts
from keelwatt.files.catalog.cells import columns_of
from keelwatt.files.catalog.sheet import Sheet, read_sheet
from keelwatt.files.catalog.shipped import invented_in
from keelwatt.files.catalog.table import rows_of
from keelwatt.units import currency_signs, did_you_mean

MAY_BE_EMPTY = frozenset({"controllers", "chargers"}) | parts.OPTIONAL


@dataclass(frozen=True)
class Catalog:
    """Every part on offer; ``rows`` tells the file and the spreadsheet row of an id.
    ``invented``: how many stand so in the packaged catalog."""

    batteries: tuple[parts.Battery, ...]
    motors: tuple[parts.Motor, ...]
    controllers: tuple[parts.Controller, ...]
    cables: tuple[parts.Cable, ...]
    fuses: tuple[parts.Fuse, ...]
    connectors: tuple[parts.Connector, ...]
    chargers: tuple[parts.Charger, ...]
    sha256: str
    folder: str
    warnings: tuple[Problem, ...]
    rows: Mapping[str, tuple[str, int]]
    invented: int = 0
    fittings: tuple[parts.Fitting, ...] = ()
    boxes: tuple[parts.Enclosure, ...] = ()

    def kinds(self) -> Mapping[str, tuple[parts.Part, ...]]:
        return {stem: parts for stem, parts in self.shelves().items() if stem != "fittings"}

    def shelves(self) -> Mapping[str, tuple[parts.Part, ...]]:
        return {stem: getattr(self, stem) for stem in parts.FILES}

    def ids(self, stem: str) -> tuple[str, ...]:
        return tuple(part.id for part in self.shelves()[stem])

    def part(self, id: str) -> parts.Part:
        """The part of that id; KeyError if there is none."""
        for shelf in self.shelves().values():
            for part in shelf:
                if part.id == id:
                    return part
        raise KeyError(id)


@contextmanager
def _collecting_later() -> Iterator[None]:
    """Rows are many and stay: no time goes into looking whether they may go."""
    was = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was:
            gc.enable()


@_collecting_later()
def read_catalog(folder: str | Path) -> Catalog:
    """The catalog in ``folder``; every problem of every file comes in one InputError.
    ``sha256`` is that of the files one after the other, in the order of their names."""
    folder = Path(folder)
    if not folder.is_dir() or not os.access(folder, os.R_OK | os.X_OK):
        there = "may not be read" if folder.is_dir() else "is not a folder"
        what = there if folder.exists() else "is not there"
        needed = ", ".join(f"{stem}.csv" for stem in parts.FILES if stem not in parts.OPTIONAL)
        remedy = f"name a folder that holds {needed}"
        raise InputError.at(folder, what, remedy)
    problems = list(_strangers(folder))
    found: dict[str, tuple[parts.Part, ...]] = {}
    rows: dict[str, tuple[str, int]] = {}
    sheets: list[Sheet] = []
    for stem in sorted(parts.FILES):
        if stem in parts.OPTIONAL and not (folder / f"{stem}.csv").exists():
            continue
        columns = columns_of(parts.FILES[stem])
        header = ",".join(column.header for column in columns if column.required)
        try:
            sheet = read_sheet(
                folder / f"{stem}.csv",
                {column.name for column in columns},
                example=header,
                missing=f"add it, with this header: {header}",
                problems=problems,
            )
        except InputError as error:
            problems += error.problems
            continue
        sheets.append(sheet)
        found[stem] = tuple(_parts(sheet, stem, rows, problems))
    problems += _mixed_currencies(sheets)
    if any(not problem.warning for problem in problems):
        raise InputError(problems)
    return Catalog(
        **cast(dict[str, Any], found),
        sha256=hashlib.sha256(b"".join(sheet.data for sheet in sheets)).hexdigest(),
        folder=str(folder),
        warnings=tuple(problems),
        rows=rows,
        invented=sum(invented_in(sheet.data) for sheet in sheets),
    )


def _strangers(folder: Path) -> Iterator[Problem]:
    """A warning for each CSV file that is none of the catalog's."""
    names = [f"{stem}.csv" for stem in parts.FILES]
    for path in sorted(folder.iterdir()):
        if path.suffix.lower() == ".csv" and path.name not in names:
            what = "is no file of a catalog and was not read"
            remedy = f"{did_you_mean(path.name, names)}the files are {', '.join(names)}"
            yield Problem(file=str(path), what=what, remedy=remedy, warning=True)


def _parts(
    sheet: Sheet, stem: str, rows: dict[str, tuple[str, int]], problems: list[Problem]
) -> Iterator[parts.Part]:
    found = rows_of(sheet, parts.FILES[stem], problems, may_be_empty=stem in MAY_BE_EMPTY)
    for row, id, part in found:
        if id in rows:
            file, earlier = rows[id]
            what = f"is also the id in row {earlier} of {file}"
            problems.append(
                sheet.problem(row, what, "give one of the two parts another id", "id", id)
            )
        elif id:
            rows[id] = (f"{stem}.csv", row)
        if part is not None:
            yield part


def _mixed_currencies(sheets: list[Sheet]) -> Iterator[Problem]:
    """A warning at the first price in another currency than the one before it."""
    prices = [
        (sign, sheet, row, header, cell)
        for sheet in sheets
        for at, header in enumerate(sheet.header)
        if header.lower().startswith("price")
        for row, cells in sheet.rows
        for cell in cells[at : at + 1]
        for sign in currency_signs(cell)
    ]
    for (usual, earlier, before, *_), (sign, sheet, row, header, cell) in pairwise(prices):
        if sign != usual:
            what = f"is not in the currency of row {before} of {Path(earlier.file).name}"
            remedy = "write every price in the outing's currency"
            yield sheet.problem(row, what, remedy, header, cell, warning=True)
            return
