"""From a folder of CSV files to a frozen catalog, or every problem in them at once."""

import hashlib
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path
from typing import Any, cast

from keelwatt.errors import InputError, Problem
from keelwatt.files.catalog.cells import columns_of
from keelwatt.files.catalog.checks import findings
from keelwatt.files.catalog.parts import (
    FILES,
    Battery,
    Cable,
    Charger,
    Connector,
    Controller,
    Fuse,
    Motor,
    Part,
)
from keelwatt.files.catalog.sheet import Sheet, UnreadableError, read_sheet
from keelwatt.files.catalog.table import rows_of
from keelwatt.units import currency_signs, did_you_mean

MAY_BE_EMPTY = frozenset({"controllers", "chargers"})


@dataclass(frozen=True)
class Catalog:
    """Every part on offer; ``rows`` tells the file and the spreadsheet row of an id."""

    batteries: tuple[Battery, ...]
    motors: tuple[Motor, ...]
    controllers: tuple[Controller, ...]
    cables: tuple[Cable, ...]
    fuses: tuple[Fuse, ...]
    connectors: tuple[Connector, ...]
    chargers: tuple[Charger, ...]
    sha256: str
    folder: str
    warnings: tuple[Problem, ...]
    rows: Mapping[str, tuple[str, int]]

    def kinds(self) -> Mapping[str, tuple[Part, ...]]:
        """The parts of each file."""
        return {stem: getattr(self, stem) for stem in FILES}

    def ids(self, stem: str) -> tuple[str, ...]:
        """The ids of the parts of one file."""
        return tuple(part.id for part in self.kinds()[stem])

    def part(self, id: str) -> Part:
        """The part of that id; KeyError if there is none."""
        for parts in self.kinds().values():
            for part in parts:
                if part.id == id:
                    return part
        raise KeyError(id)


def read_catalog(folder: Path) -> Catalog:
    """The catalog in ``folder``; every problem of every file comes in one InputError.

    ``sha256`` is that of the seven files one after the other, in the order of their names.
    """
    if not folder.is_dir():
        what = "is not a folder" if folder.exists() else "is not there"
        remedy = f"name a folder that holds {', '.join(f'{stem}.csv' for stem in FILES)}"
        raise InputError.at(folder, what, remedy)
    problems = list(_strangers(folder))
    digest = hashlib.sha256()
    parts: dict[str, tuple[Part, ...]] = {}
    rows: dict[str, tuple[str, int]] = {}
    sheets: list[Sheet] = []
    for stem in sorted(FILES):
        sheet = _sheet(folder / f"{stem}.csv", FILES[stem], digest.update, problems)
        if sheet is None:
            continue
        sheets.append(sheet)
        parts[stem] = tuple(_parts(sheet, stem, rows, problems))
    problems += _mixed_currencies(sheets)
    if any(not problem.warning for problem in problems):
        raise InputError(problems)
    return Catalog(
        **cast(dict[str, Any], parts),
        sha256=digest.hexdigest(),
        folder=str(folder),
        warnings=tuple(problems),
        rows=rows,
    )


def _strangers(folder: Path) -> Iterator[Problem]:
    """A warning for each CSV file that is none of the catalog's."""
    names = [f"{stem}.csv" for stem in FILES]
    for path in sorted(folder.iterdir()):
        if path.suffix.lower() == ".csv" and path.name not in names:
            remedy = f"{did_you_mean(path.name, names)}the files are {', '.join(names)}"
            yield _of_file(path, "is no file of a catalog and was not read", remedy, warning=True)


def _of_file(path: Path, what: str, remedy: str, warning: bool = False) -> Problem:
    return Problem(file=str(path), what=what, remedy=remedy, warning=warning)


def _sheet(
    path: Path, model: type[Part], digest: Callable[[bytes], object], problems: list[Problem]
) -> Sheet | None:
    columns = columns_of(model)
    header = ",".join(column.header for column in columns if column.required)
    try:
        data = path.read_bytes()
    except FileNotFoundError:
        problems.append(_of_file(path, "is not there", f"add it, with this header: {header}"))
        return None
    except OSError:
        problems.append(_of_file(path, "cannot be opened", "see that it is a file you may read"))
        return None
    digest(data)
    try:
        sheet, warnings = read_sheet(path, data, {column.name for column in columns}, header)
    except UnreadableError as unreadable:
        problems.append(unreadable.problem)
        return None
    problems += warnings
    return sheet


def _parts(
    sheet: Sheet, stem: str, rows: dict[str, tuple[str, int]], problems: list[Problem]
) -> Iterator[Part]:
    found = rows_of(
        sheet, FILES[stem], problems, findings=findings, may_be_empty=stem in MAY_BE_EMPTY
    )
    for row, id, part in found:
        if id in rows:
            file, earlier = rows[id]
            what = f"is also the id in row {earlier} of {file}"
            remedy = "give one of the two parts another id"
            problems.append(
                Problem(file=sheet.file, row=row, column="id", value=id, what=what, remedy=remedy)
            )
        elif id:
            rows[id] = (f"{stem}.csv", row)
        if part is not None:
            yield part


def _mixed_currencies(sheets: list[Sheet]) -> Iterator[Problem]:
    """A warning at the first price in another currency than the one before it."""
    prices = [
        (sign, sheet.file, row, header, cell)
        for sheet in sheets
        for row, cells in sheet.rows
        for header, cell in zip(sheet.header, cells, strict=False)
        if header.lower().startswith("price")
        for sign in currency_signs(cell)
    ]
    for (usual, earlier, before, *_), (sign, file, row, header, cell) in pairwise(prices):
        if sign != usual:
            what = f"is not in the currency of row {before} of {Path(earlier).name}"
            remedy = "write every price in the outing's currency"
            yield Problem(
                file=file,
                row=row,
                column=header,
                value=cell,
                what=what,
                remedy=remedy,
                warning=True,
            )
            return
