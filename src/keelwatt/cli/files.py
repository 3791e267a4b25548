"""The files commands read and write."""

import os
from collections.abc import Callable
from datetime import datetime
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from keelwatt.cli.options import PageFile
from keelwatt.errors import InputError

if TYPE_CHECKING:
    from keelwatt.choose.sums import Measure
    from keelwatt.errors import Problem
    from keelwatt.files.catalog.reader import Catalog
    from keelwatt.files.kit import Kit
    from keelwatt.files.outing import Outing
    from keelwatt.report.answer import Answer

WRITABLE = "name a file in a folder you may write to"

PAGE_BEGINS = "<!-- made by keelwatt -->"
"""Every page's first line."""

LIST_BEGINS = "\ufefffor,kind,id,name,colour,"
"""Every shopping list's mark for spreadsheets and first columns."""


def both(*readers: Callable[[], Any]) -> tuple[Any, ...]:
    """What every reader reads, or the problems of them all."""
    results: list[Any] = []
    problems: list[Problem] = []
    for reader in readers:
        try:
            results.append(reader())
        except InputError as error:
            problems += error.problems
    if problems:
        raise InputError(problems)
    return tuple(results)


def outing_at(path: Path) -> "Callable[[], Outing]":
    """Reads an outing."""
    from keelwatt.files.outing import read_outing

    return partial(read_outing, path)


def outing_and_text(path: Path) -> "tuple[Outing, str]":
    """An outing, and the text of its file for editing."""
    from keelwatt.files.outing import outing_from_text, read_text

    text = read_text(path)
    return outing_from_text(text, str(path)), text


def kit_at(text: str, outing: "Outing", catalog: "Catalog", by: "Measure | None") -> "Kit":
    """A kit as it was typed: its file, or ids of parts."""
    from keelwatt.explain.compare import kit_of_ids
    from keelwatt.files.kit_file import read_kit

    is_file = os.path.isfile(text)  # noqa: PTH113  (no failure, however long the text)
    if text.endswith(".json") or os.sep in text or is_file:
        return read_kit(Path(text), catalog, outing)
    return kit_of_ids(text, outing, catalog, by or outing.wish.by)


def page_place(asked: PageFile) -> None:
    """Refuse a place for a page before any work is done."""
    check_new(asked.page, PAGE_BEGINS, again=asked.again)


def page_file(asked: PageFile, html: Callable[[datetime], str]) -> tuple[Callable[[], str], ...]:
    """Writes the page, if asked for, dated when it is written, and tells where it is."""

    def write(page: Path) -> str:
        text = html(datetime.now().astimezone())
        write_new(page, text, PAGE_BEGINS, again=asked.again)
        return f"Page: {page} ({len(text.encode()) / 1000:.0f} kB); open it in a browser"

    return (partial(write, asked.page),) if asked.page else ()


def shopping_file(path: Path, answer: "Answer", *, again: bool) -> str:
    """Writes the shopping list, and tells where it is; no kit, no list."""
    from keelwatt.report.shopping_csv import shopping_csv

    if answer.advice.proof is None:
        return f"No kit, so no shopping list: {path} is not written."
    text = shopping_csv(answer.bill, answer.advice.outing.currency)
    write_new(path, "\ufeff" + text, LIST_BEGINS, again=again)
    return f"Shopping list: {path}"


def pick_places(shopping: Path | None, asked: PageFile, *, applying: bool) -> None:
    """Refuse every wrong place for a file of ``pick`` before any work is done."""
    both(
        lambda: _unapplied("--shopping", shopping, applying),
        lambda: _unapplied("--page", asked.page, applying),
        lambda: check_new(shopping, LIST_BEGINS, again=asked.again),
        lambda: page_place(asked),
        lambda: _apart(shopping, asked.page),
    )


def _unapplied(option: str, path: Path | None, applying: bool) -> None:
    if path is not None and applying:
        what, remedy = "does not go with --apply", "apply first, then pick again"
        raise InputError.at(option, what, remedy, value=str(path))


def _apart(shopping: Path | None, page: Path | None) -> None:
    if shopping and page and shopping.resolve() == page.resolve():
        what, remedy = "is named for the list and for the page", "give each a name of its own"
        raise InputError.at(page, what, remedy)


def check_new(path: Path | None, begins: str, *, again: bool) -> None:
    """Refuse a place for a file before any work is done; None is no file and always right.

    ``begins``: the first words of every file of its kind, by which an earlier one is known.

    Raises
    ------
    InputError
        If its folder is not there or may not be written to, or if something is there already that
        is no earlier file of its kind, or ``again`` is not said.
    """
    if path is None:
        return
    folder = path.resolve().parent
    if not folder.is_dir():
        raise InputError.at(path, "its folder is not there", "name a file in a folder that is")
    if path.is_dir():
        raise InputError.at(path, "is a folder", "name a file in it")
    if not os.access(folder, os.W_OK):
        raise InputError.at(path, "its folder may not be written to", WRITABLE)
    if path.exists() and not again:
        raise InputError.at(path, "is there already", "name another file, or add --again")
    if path.exists() and not _begins(path, begins):
        what = "is there already and was not written by this command"
        raise InputError.at(path, what, "name another file")


def write_new(path: Path, text: str, begins: str, *, again: bool) -> None:
    """Write a file as a whole or not at all; with ``again`` over an earlier one of its kind.

    ``text`` starts with ``begins``.

    Raises
    ------
    InputError
        If anything else is there, or the file cannot be written.
    """
    from keelwatt.files.whole import beside, put

    check_new(path, begins, again=again)
    place = path.resolve()
    try:
        with beside(place) as made:
            whole = made / place.name
            whole.write_text(text, encoding="utf-8", newline="")
            if again:
                os.replace(whole, place)  # noqa: PTH105
            else:
                put(whole, place)
    except FileExistsError:
        raise InputError.at(path, "is there already", "name another file") from None
    except OSError as error:
        what = f"cannot be written: {error.strerror or error}"
        raise InputError.at(path, what, WRITABLE) from None


def _begins(path: Path, begins: str) -> bool:
    first = begins.encode()
    if not path.is_file():
        return False
    try:
        with path.open("rb") as file:
            return file.read(len(first)) == first
    except OSError:
        return False
