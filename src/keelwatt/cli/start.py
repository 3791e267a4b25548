"""keelwatt start"""

import sys
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from keelwatt.cli.asking import answered, asking
from keelwatt.cli.command import Result, command
from keelwatt.cli.files import check_new, write_new

if TYPE_CHECKING:
    from keelwatt.interview import Session
    from keelwatt.interview.answers import Answers
    from keelwatt.report.blocks import Block

KEPT_BEGINS = "# keelwatt start --ask: the answers so far, a line each"


@command
def start(
    folder: Annotated[
        Path, typer.Argument(metavar="FOLDER", help="A folder that is not there yet.")
    ] = Path("my-boat"),
    ask: Annotated[
        bool, typer.Option("--ask", help="Ask about your boat and day, and write the answers down.")
    ] = False,
    page: Annotated[
        bool,
        typer.Option("--form", help="A form to click and drag in a browser, without network."),
    ] = False,
    bare: Annotated[
        bool,
        typer.Option("--bare", help="No invented batteries, motors, controls or chargers: yours."),
    ] = False,
) -> Result:
    """keelwatt start my-boat

    Make a folder with a commented outing and a copy of the catalog, both yours to edit. With --ask
    the outing is put together from your answers to some fifty short questions. quit keeps them, and
    the same command goes on from there. With --form the folder holds a page to open in a browser:
    it draws your boat as you type and drag, and saves the outing.
    """
    from keelwatt import json, words
    from keelwatt.errors import InputError
    from keelwatt.files.starter import make_starter, refuse_taken
    from keelwatt.interview import QuitError
    from keelwatt.report.blocks import Say, items
    from keelwatt.units import shown

    units = "us" if shown.chosen(shown.METRIC) == shown.US else "metric"
    refuse_taken(folder)
    if page and ask:
        raise InputError.at("--form", "does not go with --ask", "give one of the two")
    kept = folder.with_name(f"{folder.name}.answers")
    try:
        found = _asked(kept, units, bare=bare) if ask else None
        name, text = _beside_the_catalog(found, units, page=page)
        made = make_starter(folder, name, text, bare=bare)
    except KeyboardInterrupt:
        kept_in = f"your answers are kept in {kept}" if kept.is_file() else "nothing was written"
        what = f"{folder} is made" if folder.is_dir() else kept_in
        raise KeyboardInterrupt(f"\nStopped; {what}.") from None
    except QuitError:
        data = partial(json.said, status="kept", answers=str(kept))
        again = words.command("start", str(folder), "--ask", *["--bare"] * bare)
        lines = (Say(f"Your answers are kept in {kept}. To go on:"), Say(f"  {again}", paste=True))
        return Result(data, lines)
    if ask and kept.is_file():
        kept.unlink()
    outing, catalog = made / "outing.toml", made / "catalog"
    written = made / name
    next_ = (
        "Look through the outing, where more can be said, then run"
        if ask
        else f"Open {written} in a browser, save the outing into {made}, then run"
        if page
        else "Edit the outing to describe your boat and day, then run"
    )
    assumed = found.assumed() if found else []
    data = partial(
        json.said, status="made", outing=str(written), catalog=str(catalog), assumed=assumed
    )
    told: list[Block] = []
    if assumed:
        told += [Say("Not asked, assumed, and marked so in the file:"), items(assumed)]
    told.append(Say(f"Made {written} and {catalog}."))
    if bare:
        add = words.command("catalog", "add", "battery", "--catalog", str(catalog))
        told.append(Say("It has no battery, motor, control or charger. Add yours, each kind as"))
        told.append(Say(f"  {add}", paste=True))
    if found and found.to_add:
        add = words.command("catalog", "add", "motor", "--catalog", str(catalog))
        told.append(Say(f"Yours, not in the catalog yet: {', '.join(found.to_add)}. Add each, as"))
        told.append(Say(f"  {add}", paste=True))
    pick = words.command("pick", str(outing))
    return Result(data, [*told, Say(next_), Say(f"  {pick}", paste=True)])


def _beside_the_catalog(found: "Answers | None", units: str, *, page: bool) -> tuple[str, str]:
    """The name and the text of a file: the form, the outing as answered, or one to begin from."""
    from keelwatt.files.starter import starter_outing
    from keelwatt.interview import outing_text

    if page:
        from keelwatt.interview.form import form_page

        return "form.html", form_page(units)
    return "outing.toml", outing_text(found) if found else starter_outing(us=units == "us")


def _asked(kept: Path, units: str, *, bare: bool) -> "Answers":
    """What is typed, and was kept at another time."""
    from keelwatt.files.catalog.reader import read_catalog
    from keelwatt.files.catalog.shipped import shipped_catalog
    from keelwatt.files.starter import YOURS
    from keelwatt.interview import QuitError, script

    catalog = read_catalog(shipped_catalog())
    there = (shelf for stem, shelf in catalog.kinds().items() if not (bare and stem in YOURS))
    parts = [part.id for shelf in there for part in shelf]
    check_new(kept, KEPT_BEGINS, again=True)
    text = kept.read_text(encoding="utf-8") if kept.is_file() else ""

    def questions(session: "Session") -> "Answers":
        return script(session, parts, units)

    session = asking(lambda it: it.asked_in_all(questions), text.splitlines()[1:])
    try:
        return answered(session, questions)
    except (QuitError, KeyboardInterrupt) as end:
        if isinstance(end, KeyboardInterrupt) and not sys.stdin.isatty():
            raise
        lines = (KEPT_BEGINS, *session.answers, "")
        write_new(kept, "\n".join(lines), KEPT_BEGINS, again=True)
        raise
