"""keelwatt catalog"""

from contextlib import suppress
from enum import StrEnum
from functools import partial
from pathlib import Path
from typing import Annotated

import typer

from keelwatt.cli.asking import answered, asking
from keelwatt.cli.command import Result, command
from keelwatt.cli.files import write_new
from keelwatt.cli.options import Shelf
from keelwatt.errors import InputError


class Kind(StrEnum):
    batteries = "batteries"
    motors = "motors"
    controllers = "controllers"
    cables = "cables"
    fuses = "fuses"
    connectors = "connectors"
    chargers = "chargers"
    fittings = "fittings"
    boxes = "boxes"


@command
def check(shelf: Shelf) -> Result:
    """keelwatt catalog check --catalog my-boat/catalog

    Every problem of the catalog, with file, row and column.
    """
    from keelwatt import json
    from keelwatt.files.catalog.assumed import assumed
    from keelwatt.report.catalog_screens import check as told

    parts = shelf.read()
    data = partial(
        json.said,
        status="valid",
        parts={kind: len(some) for kind, some in parts.shelves().items()},
        warnings=parts.warnings,
        assumed=tuple(assumed(parts)),
        **json.source(parts),
    )
    return Result(data, told(parts), catalog=parts)


@command
def listing(
    kinds: Annotated[
        list[Kind] | None, typer.Argument(metavar="[KIND]...", help="batteries, motors, ...")
    ] = None,
    *,
    shelf: Shelf,
) -> Result:
    """keelwatt catalog list batteries

    The parts on offer as tables: all of them, or some kinds.
    """
    from keelwatt import json
    from keelwatt.report.catalog_screens import listing as told

    parts = shelf.read()
    shown = {kind.value: parts.shelves()[kind.value] for kind in kinds or Kind}
    data = partial(json.said, parts=shown, **json.source(parts))
    return Result(data, told(parts, shown), catalog=parts)


def _stem(word: str) -> str:
    """The file of a kind, by its name in the singular, the plural or in short: "control"."""
    begins = word.lower().removesuffix("y")
    found = [kind.value for kind in Kind if begins and kind.value.startswith(begins)]
    if len(found) != 1:
        kinds = ", ".join(found or list(Kind))
        raise typer.BadParameter(f"{word!r} is not one kind of part; the kinds are {kinds}")
    return found[0]


@command
def add(
    kind: Annotated[
        str, typer.Argument(metavar="KIND", help="battery, motor, ...", callback=_stem)
    ],
    *,
    shelf: Shelf,
) -> Result:
    """keelwatt catalog add battery --catalog my-boat/catalog

    Ask for what a shop prints of a part, offer a safe default for everything else, and add the part
    to the catalog. The file as it was is kept beside it. Answers may be piped, a line each.
    """
    from keelwatt import json, words
    from keelwatt.edit.rewrite import rewrite
    from keelwatt.files.catalog.append import ids_of, with_row
    from keelwatt.files.outing import read_outing
    from keelwatt.interview import QuitError
    from keelwatt.interview.part import part
    from keelwatt.report.blocks import Say
    from keelwatt.units import shown

    folder = shelf.catalog or Path("catalog")
    if not folder.is_dir():
        what, remedy = "is not a folder", "name your catalog, as --catalog my-boat/catalog"
        raise InputError.at(folder, what, remedy)
    path, taken = folder / f"{kind}.csv", ids_of(folder)
    with_row(path, kind, {})  # a file that cannot take a row is told before anybody is asked
    outing = folder.resolve().parent / "outing.toml"
    typed = shown.METRIC
    with suppress(InputError):
        typed = read_outing(outing).units
    us = shown.chosen(typed).length == "ft"
    session = asking(lambda session: session.total)
    try:
        cells = answered(session, lambda session: part(session, kind, taken, us=us))
    except QuitError:
        return Result(partial(json.said, status="stopped"), [Say("Nothing was written.")])
    except KeyboardInterrupt:
        raise KeyboardInterrupt("\nStopped; nothing was written.") from None
    before, after, row = with_row(path, kind, cells)
    if path.exists():
        kept = f" The file as it was: {rewrite(path, after, before)}."
    else:
        kept = ""
        write_new(path, after, after, again=False)
    data = partial(json.said, status="added", file=str(path), row=row, part=cells["id"])
    near = folder.parent / "outing.toml"
    told = [Say(f"Added {cells['name']} as {cells['id']}, row {row} of {path}.{kept}")]
    if outing.is_file():
        told.append(
            Say(f'If it is yours already: own = ["{cells["id"]}"] under [parts] of {near}.')
        )
        told.append(Say(f"Next: {words.command('why', str(near), cells['id'])}", paste=True))
    else:
        check = words.command("catalog", "check", "--catalog", str(folder))
        told.append(Say(f"Next: {check}", paste=True))
    return Result(data, told)
