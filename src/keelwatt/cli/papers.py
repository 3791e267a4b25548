"""keelwatt pick --sheet and --shopping"""

from pathlib import Path
from typing import TYPE_CHECKING, Any

import typer

from keelwatt.cli.common import both, check_new, write_new
from keelwatt.cli.page import check_page
from keelwatt.errors import InputError

if TYPE_CHECKING:
    from keelwatt.explain.advise import Advice
    from keelwatt.report.screen import Screen
    from keelwatt.wiring import Netlist
    from keelwatt.wiring.shopping import Purchases


LIST_BEGINS = "\ufefffor,kind,id,name,colour,"
"""Every shopping list's mark for spreadsheets and first columns."""


def check_papers(shopping: Path | None, page: Path | None, *, again: bool, applying: bool) -> None:
    """Refuse every wrong place for a file before any work is done."""
    both(
        lambda: _unapplied("--shopping", shopping, applying),
        lambda: _unapplied("--page", page, applying),
        lambda: check_new(shopping, LIST_BEGINS, again=again),
        lambda: check_page(page, again=again),
        lambda: _apart(shopping, page),
    )


def _unapplied(option: str, path: Path | None, applying: bool) -> None:
    if path is not None and applying:
        what, remedy = "does not go with --apply", "apply first, then pick again"
        raise InputError.at(option, what, remedy, value=str(path))


def _apart(shopping: Path | None, page: Path | None) -> None:
    if shopping and page and shopping.resolve() == page.resolve():
        what, remedy = "is named for the list and for the page", "give each a name of its own"
        raise InputError.at(page, what, remedy)


def wired(advice: "Advice") -> "Netlist | None":
    """The wiring of the kit; None where there is no kit."""
    from keelwatt.wiring import netlist

    if advice.proof is None:
        return None
    kit, chosen = advice.proof.assessment.kit, advice.proof.chosen
    return netlist(kit, chosen, advice.table.facts, advice.catalog)


def bought(advice: "Advice", net: "Netlist", *, feet: bool) -> "Purchases":
    """What to bring home for a kit that there is."""
    from keelwatt.wiring.shopping import purchases

    assert advice.proof is not None
    kit, chosen = advice.proof.assessment.kit, advice.proof.chosen
    return purchases(kit, chosen, advice.outing.parts, net, feet=feet)


def show_sheet(screen: "Screen", advice: "Advice", *, feet: bool) -> None:
    """The wiring sheet below the answer; nothing where there is no kit."""
    from keelwatt.report.wiring_sheet import wiring_sheet as show
    from keelwatt.wiring.sheet import wiring_sheet

    if net := wired(advice):
        basket = bought(advice, net, feet=feet)
        show(screen, net, wiring_sheet(net), basket, advice.outing.currency)


def sheet_data(advice: "Advice") -> dict[str, Any]:
    from keelwatt.report.wiring_data import wiring
    from keelwatt.wiring.sheet import wiring_sheet

    net = wired(advice)
    return {"wiring": wiring(net, wiring_sheet(net)) if net else None}


def write_shopping(path: Path, advice: "Advice", *, feet: bool, again: bool) -> None:
    """The shopping list into a file, with a word on stderr; no kit, no list."""
    from keelwatt.report.shopping_csv import shopping_csv

    net = wired(advice)
    if net is None:
        typer.echo(f"No kit, so no shopping list: {path} is not written.", err=True)
        return
    text = shopping_csv(bought(advice, net, feet=feet), advice.outing.currency)
    write_new(path, "\ufeff" + text, LIST_BEGINS, again=again)
    typer.echo(f"Shopping list: {path}", err=True)
