"""keelwatt pick --sheet and --shopping"""

from pathlib import Path
from typing import TYPE_CHECKING, Any

import typer

from keelwatt.cli.common import write_new

if TYPE_CHECKING:
    from keelwatt.advise import Advice
    from keelwatt.netlist import Netlist
    from keelwatt.present.screen import Screen
    from keelwatt.shopping import Purchases


def wired(advice: "Advice") -> "Netlist | None":
    """The wiring of the kit; None where there is no kit."""
    from keelwatt.netlist import netlist

    if advice.proof is None:
        return None
    kit, chosen = advice.proof.assessment.kit, advice.proof.chosen
    return netlist(kit, chosen, advice.table.facts, advice.catalog)


def bought(advice: "Advice", net: "Netlist", *, feet: bool) -> "Purchases":
    """What to bring home for a kit that there is."""
    from keelwatt.shopping import purchases

    assert advice.proof is not None
    kit, chosen = advice.proof.assessment.kit, advice.proof.chosen
    return purchases(kit, chosen, advice.outing.parts, net, feet=feet)


def show_sheet(screen: "Screen", advice: "Advice", *, feet: bool) -> None:
    """The wiring sheet below the answer; nothing where there is no kit."""
    from keelwatt.present.wiring_sheet import wiring_sheet as show
    from keelwatt.wiring_sheet import wiring_sheet

    if net := wired(advice):
        basket = bought(advice, net, feet=feet)
        show(screen, net, wiring_sheet(net), basket, advice.outing.currency)


def sheet_data(advice: "Advice") -> dict[str, Any]:
    from keelwatt.present.wiring_data import wiring
    from keelwatt.wiring_sheet import wiring_sheet

    net = wired(advice)
    return {"wiring": wiring(net, wiring_sheet(net)) if net else None}


def write_shopping(path: Path, advice: "Advice", *, feet: bool, again: bool) -> None:
    """The shopping list into a file, with a word on stderr; no kit, no list."""
    from keelwatt.present.shopping_csv import shopping_csv

    net = wired(advice)
    if net is None:
        typer.echo(f"No kit, so no shopping list: {path} is not written.", err=True)
        return
    text = shopping_csv(bought(advice, net, feet=feet), advice.outing.currency)
    write_new(path, "\ufeff" + text, again)
    typer.echo(f"Shopping list: {path}", err=True)
