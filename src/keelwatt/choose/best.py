"""The best kit of a catalog, found by search and certified by the integer program."""

from dataclasses import dataclass
from math import ceil

from keelwatt.choose.program import build
from keelwatt.choose.question import NOTHING, Pick, Question
from keelwatt.choose.search import Search
from keelwatt.choose.solver import SAME, SolverName, Status, minimise
from keelwatt.choose.sums import Measure
from keelwatt.errors import InternalError
from keelwatt.files.kit import Kit


@dataclass(frozen=True)
class Choice:
    """The chosen kit, or why there is none, and what the program proved about it.

    ``bound``: no kit comes to less, as far as was proved, in whole cents, grams or hundredths of a
    cent a season.
    """

    status: Status
    pick: Pick | None = None
    bound: int | None = None

    @property
    def kit(self) -> Kit | None:
        return self.pick.block.kit(self.pick.row) if self.pick else None

    @property
    def measures(self) -> dict[Measure, int] | None:
        """The kit's whole-number sums."""
        if self.pick is None:
            return None
        return {name: self.pick.value(name) for name in self.pick.block.measures}


def choose(
    search: Search, by: Measure, *, solver: SolverName = "highs", seconds: float | None = None
) -> Choice:
    """The kit least in ``by``, then in its second measure, then first in the catalog's order.

    ``seconds`` is the time the program has to prove it.

    Raises
    ------
    InternalError
        If search and program disagree.
    """
    pick = search.best(Question(by))
    if pick is None:
        return Choice("impossible")
    return certify(search, by, pick, solver=solver, seconds=seconds)


def certify(
    search: Search,
    by: Measure,
    pick: Pick,
    *,
    solver: SolverName = "highs",
    seconds: float | None = None,
) -> Choice:
    """The program over every couple whose floor does not pass the kit's value, solved once."""
    value = pick.value(by)
    couples = search.contenders.worth_keeping(Question(by, below=value + 1))
    outcome = minimise(build(search.contenders.table(couples)), by, solver=solver, seconds=seconds)
    floor = int(couples.floor.min(initial=NOTHING))
    if outcome.status == "impossible":
        raise InternalError(f"the program has no answer, but a kit at {value} is known")
    if outcome.status == "best":
        proved = round(outcome.bound or 0.0)
        if proved != value:
            raise InternalError(f"the program proved {proved} best, but a kit at {value} is known")
        return Choice("best", pick, value)
    bound = floor if outcome.bound is None else max(floor, ceil(outcome.bound - SAME))
    return Choice("unproved" if bound < value else "best", pick, min(bound, value))
