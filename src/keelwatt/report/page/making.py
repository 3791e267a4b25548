"""The page's blocks for the shop and the garage: what to buy, how it is wired, what to do."""

from collections.abc import Iterator
from dataclasses import dataclass

from keelwatt import words
from keelwatt.drawings import wiring
from keelwatt.explain.advise import Advice
from keelwatt.prove import Proof
from keelwatt.report.page.paper import Block, Figures, Grid, Paper, Row
from keelwatt.report.screen import Column
from keelwatt.report.terminal import shopping_columns, shopping_row
from keelwatt.report.wiring_sheet import beside, warning, work
from keelwatt.wiring import Netlist, netlist
from keelwatt.wiring.sheet import WiringSheet, wiring_sheet
from keelwatt.wiring.shopping import Line, Purchases, arrangement, purchases, shopping_list

TO_BUY = "What to buy"
OWNED = "Yours already"
KEY = "Solid: plus. Dashed: minus. The numbers are those of the cut list."


@dataclass(frozen=True)
class Making:
    """A kit with its wiring and what to bring home for it."""

    advice: Advice
    proof: Proof
    net: Netlist
    sheet: WiringSheet
    bought: Purchases

    @classmethod
    def of(cls, advice: Advice, proof: Proof, *, feet: bool) -> "Making":
        kit, chosen = proof.assessment.kit, proof.chosen
        net = netlist(kit, chosen, advice.table.facts, advice.catalog)
        bought = purchases(kit, chosen, advice.outing.parts, net, feet=feet)
        return cls(advice, proof, net, wiring_sheet(net), bought)

    def warning(self) -> tuple[Block, ...]:
        paper = Paper()
        warning(paper, self.sheet)
        return paper.blocks

    def shopping(self) -> Iterator[Block]:
        """What is to be bought, apart from what is owned; then cable as it is sold."""
        currency = self.advice.outing.currency
        kit = self.proof.assessment.kit
        lines = shopping_list(kit, self.proof.chosen, self.advice.outing.parts)
        told = {line.part: tuple(shopping_row(line, arrangement(kit))) for line in lines}
        columns = tuple(shopping_columns(currency))
        missing = [line for line in lines if not line.owned]
        rows: list[Row] = [told[line.part] for line in missing]
        rows.append(_together(missing))
        grids = [Grid(TO_BUY, columns, tuple(rows), total=True)]
        if owned := [line for line in lines if line.owned]:
            grids.append(
                Grid(OWNED, (Column(OWNED), *columns[1:]), tuple(told[o.part] for o in owned))
            )
        yield Block(TO_BUY, tuple(grids))
        paper = Paper()
        beside(paper, self.bought, currency)
        yield from paper.blocks

    def wiring(self) -> Iterator[Block]:
        yield Block("How it is wired", (Figures(((wiring.wiring(self.net), KEY),)),))
        if branches := wiring.branches(self.net):
            yield Block("The branches", (Figures(((branches, KEY),)),))
        paper = Paper()
        work(paper, self.net, self.sheet)
        yield from paper.blocks


def _together(lines: list[Line]) -> Row:
    cents, grams = sum(line.price_cents for line in lines), sum(line.mass_g for line in lines)
    return ("Together", "", words.money(cents), words.kilograms(grams))
