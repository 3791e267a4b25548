"""Every limit is declared once, and every room that must know it does."""

from collections.abc import Callable

import pytest

from keelwatt import words
from keelwatt.choose.sums import COUNTS, SUMS
from keelwatt.edit.apply import STEPS
from keelwatt.edit.keys import ALIASES
from keelwatt.explain.amounts import READINGS as AMOUNTS
from keelwatt.files.fields import written
from keelwatt.files.outing import Limits
from keelwatt.interview.talk import NOTHING
from keelwatt.kits import FILTERS
from keelwatt.limits import DECLARED, LIMITS, MEASURED, RULES, WISHES, Declared, enters
from keelwatt.proof.checks import READINGS, ROWS
from keelwatt.units import quantity

BOOKS = (READINGS, ROWS, SUMS, COUNTS, FILTERS, AMOUNTS)

KEYED = [declared for declared in DECLARED if declared.key]


def test_every_wish_and_rule_has_one_reading_and_a_side_of_the_choice() -> None:
    asked = {*WISHES, *RULES}
    assert {*READINGS} | {*ROWS} == asked
    assert {*READINGS}.isdisjoint(ROWS)
    assert all(LIMITS[name].key for name in READINGS)
    assert all(LIMITS[name].unit in {"kg", "money"} for name in (*MEASURED, *COUNTS))
    assert {*MEASURED} | {*SUMS} | {*COUNTS} | {*FILTERS} == asked


def test_whatever_can_be_stretched_has_an_amount() -> None:
    stretched = {declared.name for declared in DECLARED if declared.over}
    assert {*MEASURED} | {*COUNTS} | {*AMOUNTS} == stretched


def test_names_are_declared_once_and_nothing_else_is_known() -> None:
    assert len(LIMITS) == len(DECLARED)
    assert (
        len({declared.over for declared in DECLARED if declared.over} | {""})
        == len({declared.name for declared in DECLARED if declared.kind != "rule"}) + 1
    )
    assert {name for book in BOOKS for name in book} <= {*LIMITS}
    assert all(part in LIMITS for declared in DECLARED for part in declared.decides)
    book: dict[str, Callable[[], str]] = {}
    with pytest.raises(KeyError):
        enters(book, "colour")(str)


@pytest.mark.parametrize("declared", KEYED, ids=lambda declared: declared.name)
def test_the_outings_file_knows_it(declared: Declared) -> None:
    """Key, quantity and loosest amount are those of the outing's model."""
    info = Limits.model_fields[declared.field]
    mark = written(declared.field, info)
    assert (mark.name, mark.kind) == (declared.key, declared.quantity)
    assert ALIASES[declared.name] == f"limits.{declared.key}"
    ends = [getattr(end, "ge" if declared.grows else "le", None) for end in info.metadata]
    given = [end for end in ends if end]
    assert given == [loosest for loosest in [declared.loosest_si] if loosest]


@pytest.mark.parametrize("declared", KEYED, ids=lambda declared: declared.name)
def test_an_amount_of_a_wish_can_be_written(declared: Declared) -> None:
    assert words.finely(1.0, declared.unit)
    assert words.safely(1.0, declared.unit, up=True)
    if declared.kind == "wish" and declared.quantity != "money":
        assert declared.quantity in STEPS


def test_what_is_offered_for_a_wish_is_an_answer() -> None:
    """Or the interview would ask for it without end. No sum of money is put into a mouth."""
    for declared in DECLARED:
        if declared.question and declared.offered != NOTHING:
            assert declared.quantity != "money"
            assert quantity(declared.offered, declared.quantity) > 0.0


def test_every_limit_has_a_label_of_its_own() -> None:
    assert len(set(words.LABELS.values())) == len(LIMITS)
    assert all(words.LABELS.values())
