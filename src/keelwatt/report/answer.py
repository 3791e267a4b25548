"""What ``pick`` found, in every form."""

from dataclasses import dataclass
from datetime import datetime
from functools import cached_property
from html import escape
from typing import TYPE_CHECKING

from keelwatt import words
from keelwatt.explain.advise import Advice
from keelwatt.explain.tradeoff import Runner
from keelwatt.files.kit import Kit
from keelwatt.proof import Proof
from keelwatt.proof.bill import Bill
from keelwatt.proof.model import Totals
from keelwatt.wiring import Netlist, netlist

if TYPE_CHECKING:
    from keelwatt.chance.odds import Chances
    from keelwatt.chance.sure import Sure
    from keelwatt.explain.fitting import Fitting
    from keelwatt.wiring.sheet import WiringSheet


@dataclass(frozen=True, repr=False)
class Answer:
    """What ``pick`` found, and what is made of it for screen, page, list and data: each once.

    ``certain``: how sure the kit is, if that was asked; ``runners``: the best kits that
    differ, if asked. What is below needs a kit.
    """

    advice: Advice
    certain: "Sure | None" = None
    runners: tuple[Runner, ...] = ()

    def __repr__(self) -> str:
        found = f"; {self.brief}" if self.advice.proof else ""
        return f"<Answer: {self.status}{found}>"

    @property
    def brief(self) -> str:
        """The kit in a line."""
        sums, kit = self.totals, self.kit
        bank = f"{kit.series * kit.parallel} x {kit.battery}"
        price, mass = words.money(sums.price_cents), words.kilograms(sums.mass_g)
        return f"{bank}, {kit.motor}; {price}, {mass}"

    def _repr_html_(self) -> str:
        """The page of it, in a frame of its own."""
        from keelwatt.report.page.answer import pick_page

        with words.about(self.advice.outing):
            page = escape(pick_page(self, datetime.now().astimezone()))
        style = "width: 100%; height: 50rem; border: 0"
        return f'<iframe title="keelwatt" style="{style}" srcdoc="{page}"></iframe>'

    @property
    def spare_g(self) -> int:
        """What the kit counts for beyond the parts of its bill."""
        return self.totals.mass_g - sum(line.mass_g for line in self.bill.lines)

    @property
    def status(self) -> str:
        return self.advice.status

    @property
    def kit(self) -> Kit:
        return self.proof.assessment.kit

    @property
    def totals(self) -> Totals:
        return self.proof.assessment.totals

    @cached_property
    def proof(self) -> Proof:
        if self.advice.proof is None:
            raise ValueError("there is no kit")
        return self.advice.proof

    @cached_property
    def chances(self) -> "Chances | None":
        """What comes of the days drawn about the plan; None without a kit."""
        from keelwatt.chance.odds import DAYS, SEED, Boat, chances, simulate
        from keelwatt.chance.spreads import Spreads
        from keelwatt.proof import Assessor

        if self.certain and self.certain.chosen:
            return self.certain.chosen.chances
        if self.advice.proof is None:
            return None
        boat = Boat(Assessor(self.advice.outing, self.advice.catalog), self.kit)
        return chances(simulate(boat, Spreads(self.advice.outing), DAYS, SEED))

    @cached_property
    def bill(self) -> Bill:
        assert self.proof.assessment.bill
        return self.proof.assessment.bill

    @cached_property
    def net(self) -> Netlist:
        kit, case = self.proof.assessment.kit, self.advice.case
        return netlist(kit, self.proof.chosen, case, self.advice.catalog)

    @cached_property
    def sheet(self) -> "WiringSheet":
        from keelwatt.wiring.sheet import wiring_sheet

        return wiring_sheet(self.net)

    @cached_property
    def fitting(self) -> "Fitting":
        from keelwatt.explain.fitting import fitting

        return fitting(self.advice.case, self.proof)
