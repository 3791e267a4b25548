"""Every choice of a program, in whole numbers, against what the solvers find."""

from dataclasses import dataclass, replace
from functools import cached_property
from random import Random
from typing import Any

import numpy as np
import numpy.typing as npt
import pytest
from scipy.optimize import Bounds, LinearConstraint, milp

from keelwatt.choose.best import Choice, choose
from keelwatt.choose.program import Program, build
from keelwatt.choose.question import THEN, Question
from keelwatt.choose.search import Search
from keelwatt.choose.solver import minimise
from keelwatt.choose.sums import Measure
from keelwatt.kits import Table
from oracle.enumeration import kits_with_measures
from oracle.ledger import whole_table
from oracle.random_cases import WIDE, Case, random_case

Ints = npt.NDArray[np.int64]

MEASURES: tuple[Measure, ...] = ("cost", "mass", "season")


@dataclass(frozen=True)
class Choices:
    """All choices of one bank, one drive, the zone between them and one wiring set that keep every
    row of a program."""

    table: Table

    @cached_property
    def program(self) -> Program:
        return build(self.table)

    @cached_property
    def sizes(self) -> tuple[int, int, int, int]:
        table = self.table
        return len(table.banks), len(table.drives), len(table.zones), len(table.run)

    @cached_property
    def zone(self) -> Ints:
        """The zone of every bank with every drive; -1 where they do not go together."""
        table, types = self.table, self.table.types
        known = {tuple(zone): number for number, zone in enumerate(table.zones[:, :5].tolist())}
        banks, drives = table.banks, table.drives
        volts = types.harnesses.system_v
        joins = types.joins.of(banks.type, banks.place)
        harness = types.harness[drives.type]
        return np.array(
            [
                [
                    known.get((int(h), int(level), int(box), int(mount), int(join)), -1)
                    if volts[h] == of_bank
                    else -1
                    for h, mount in zip(harness, drives.place, strict=True)
                ]
                for of_bank, level, box, join in zip(
                    banks["system_v"], banks["level"], banks.place, joins, strict=True
                )
            ],
            dtype=np.int64,
        ).reshape(self.sizes[:2])

    def sums(self, variables: Ints, coefficients: Ints) -> Ints:
        """A row's value for every choice, shape (banks, drives, wiring sets)."""
        of = np.zeros(self.program.size, dtype=np.int64)
        np.add.at(of, variables, coefficients)
        banks, drives, zones, wiring = np.split(of, np.cumsum(self.sizes)[:3])
        between = np.append(zones, 0)[self.zone][:, :, None]
        return np.asarray(
            banks[:, None, None] + drives[None, :, None] + between + wiring, dtype=np.int64
        )

    def least(self, by: Measure) -> tuple[int, int] | None:
        """The least measure, and the least second measure of those that have it."""
        good = np.repeat(self.zone[:, :, None] >= 0, self.sizes[3], axis=2)
        for row in self.program.rows:
            value = self.sums(row.variables, row.coefficients)
            good &= value == row.bound if row.sense == "==" else value <= row.bound
        if not good.any():
            return None
        everything = np.arange(self.program.size)
        first, second = (
            self.sums(everything, self.program.objectives[measure])[good]
            for measure in (by, THEN[by])
        )
        return int(first.min()), int(second[first == first.min()].min())


def choices(case: Case) -> Choices:
    return Choices(whole_table(case.search))


def pair(choice: Choice, by: Measure) -> tuple[int, int] | None:
    if choice.measures is None:
        assert choice.status == "impossible"
        return None
    return choice.measures[by], choice.measures[THEN[by]]


WIDE_CASES = [*range(WIDE, WIDE + 24), *range(WIDE + 1000, WIDE + 2000)]


@pytest.mark.few(25)
@pytest.mark.parametrize("seed", [*range(200), *WIDE_CASES])
def test_best_is_the_best_of_every_choice(seed: int) -> None:
    case = random_case(seed)
    every = choices(case)
    for by in MEASURES:
        choice = choose(case.search, by)
        assert pair(choice, by) == every.least(by)
        assert choice.status == ("impossible" if choice.kit is None else "best")


@pytest.mark.few(25)
@pytest.mark.parametrize("seed", range(150))
def test_the_program_over_all_kits_proves_what_the_search_found(seed: int) -> None:
    case, by = random_case(seed), MEASURES[seed % 3]
    pick = case.search.best(Question(by))
    outcome = minimise(build(whole_table(case.search)), by)
    if pick is None:
        assert outcome.status == "impossible"
    else:
        assert (outcome.status, outcome.bound) == ("best", pick.value(by))


@pytest.mark.few(16)
@pytest.mark.parametrize("seed", range(0, 200, 5))
def test_cbc_finds_the_same_kit(seed: int) -> None:
    case = random_case(seed)
    by = MEASURES[seed % 3]
    with_highs = choose(case.search, by)
    with_cbc = choose(case.search, by, solver="cbc")
    assert (with_cbc.status, with_cbc.kit) == (with_highs.status, with_highs.kit)


@pytest.mark.few(16)
@pytest.mark.parametrize("seed", range(1, 200, 5))
def test_scipy_finds_the_same_value_of_the_same_program(seed: int) -> None:
    program = choices(random_case(seed)).program
    for by in MEASURES:
        ours = minimise(program, by)
        if not program.size:
            assert ours.status == "impossible"
            continue
        theirs = milp(
            program.objectives[by].astype(float),
            integrality=np.ones(program.size),
            bounds=Bounds(0, 1),
            constraints=_rows_of(program),
            options={"mip_rel_gap": 0.0},
        )
        if ours.chosen is None:
            assert (ours.status, theirs.status) == ("impossible", 2)
        else:
            assert round(theirs.fun) == int(program.objectives[by][ours.chosen].sum())


def _rows_of(program: Program) -> LinearConstraint:
    matrix = np.zeros((len(program.rows), program.size))
    for number, row in enumerate(program.rows):
        np.add.at(matrix[number], row.variables, row.coefficients)
    upper = np.array([row.bound for row in program.rows], dtype=float)
    lower = np.where([row.sense == "==" for row in program.rows], upper, -np.inf)
    return LinearConstraint(matrix, lower, upper)


@pytest.mark.few(16)
@pytest.mark.parametrize("seed", range(120))
def test_the_order_of_the_catalog_changes_nothing_but_ties(seed: int) -> None:
    case = random_case(seed)
    by = MEASURES[seed % 3]
    chosen = choose(case.search, by)
    shuffled = choose(Search(case.load_case, _shuffled(case).catalog), by)
    assert shuffled.status == chosen.status
    assert pair(shuffled, by) == pair(chosen, by)
    if chosen.kit is not None:
        assert chosen.measures is not None
        equals = kits_with_measures(
            case.assessor, case.catalog, {m: chosen.measures[m] for m in (by, THEN[by])}
        )
        assert chosen.kit == equals[0]
        assert shuffled.kit in equals


def _shuffled(case: Case) -> Case:
    r = Random(case.seed)
    kinds: dict[str, Any] = {
        kind: tuple(r.sample(parts, len(parts))) for kind, parts in case.catalog.kinds().items()
    }
    return replace(case, catalog=replace(case.catalog, **kinds))
