"""What is said of keys and columns, and the files made of it."""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from pydantic import BaseModel

from keelwatt.files.catalog.cells import columns_of
from keelwatt.files.catalog.parts import FILES
from keelwatt.files.log import LogRow
from keelwatt.files.outing import Box, Outing, outing_from_text
from keelwatt.files.outing.comments import commented
from keelwatt.files.outing.convert import entries_of
from keelwatt.files.reference import reference
from keelwatt.files.starter import starter_outing, template

ROOT = Path(__file__).parents[2]


def comments() -> Iterator[tuple[str, str]]:
    yield from keys(Outing, "")
    for name, model in {**FILES, "log": LogRow}.items():
        for column in columns_of(model):
            yield f"{name} {column.name}", column.meaning


def keys(model: type[BaseModel], path: str) -> Iterator[tuple[str, str]]:
    for entry in entries_of(model).values():
        yield f"{path}{entry.name}", entry.meaning
        if entry.model:
            yield from keys(entry.model, f"{path}{entry.name}.")


def test_no_key_and_no_column_lacks_a_comment() -> None:
    assert [name for name, comment in comments() if not comment] == []


def test_every_default_of_a_part_has_a_source() -> None:
    """But for none, and for no steps; one that is made of other cells is said in words."""
    for model in FILES.values():
        for field, info in model.model_fields.items():
            said = info.json_schema_extra if isinstance(info.json_schema_extra, dict) else {}
            if info.default_factory:
                assert said.get("words"), field
            if not info.is_required() and field != "steps":
                assert said.get("source"), field


def test_the_reference_is_what_the_models_say() -> None:
    """To write it anew: python -m keelwatt.files.reference > examples/REFERENCE.md."""
    assert (ROOT / "examples/REFERENCE.md").read_text(encoding="utf-8") == reference()


@pytest.mark.parametrize(
    "row",
    [
        '| `temperature` | "15 degC" or "60 degF" | 15 degC |',
        "| `budget` | amount of money | none | The most to spend. |",
        '| `hours` | "6 h 30 min" or "90 min" | distance over speed: give one of the two |',
        "| `short_circuit [A]` | current | 25 A for each Ah | The current into a dead short. "
        "| from memory |",
        "| `no_thrust_speed [km/h]` | speed | from thrust and propeller |",
        "| `winding` | share | 20 % |",
        "| `chemistries` | `flooded`, `agm`, `gel`, `lfp` or `nmc` |  |",
        "| `devices` | yes or no | yes |",
    ],
)
def test_defaults_are_written_as_a_user_would(row: str) -> None:
    assert row in reference()


def test_comments_change_nothing_and_fit_the_line() -> None:
    text = starter_outing()
    assert outing_from_text(text, "x") == outing_from_text(template(), "x")
    assert max(map(len, text.splitlines())) <= 105


def test_every_key_put_into_use_is_one_that_can_be_read() -> None:
    """The comments taken off all keys and tables of the starter, but one of two that exclude."""
    used = re.sub(r"(?m)^# (?=\[|[a-z_]+ = |\")", "", starter_outing())
    outing = outing_from_text(re.sub("(?m)^drag_factor.*$", "", used), "x")
    assert [pull for _, pull in outing.craft.towed] == [20.0]
    assert outing.craft.controller_at is not None
    assert outing.craft.control_box == Box(length_m=0.2, width_m=0.15, height_m=0.08)
    assert outing.craft.cable_run_m == {
        ("amidships", "stern bracket"): 3.0,
        ("amidships", "control"): 1.8,
        ("control", "stern bracket"): 1.5,
    }
    assert outing.devices[0].power_w == 5.0
    assert outing.limits.season_cents == 120_00


def test_a_comment_is_said_once_and_none_is_written_over() -> None:
    text = 'title = "x"  # mine\n[[leg]]\nspeed = "1 m/s"\n[[leg]]\nspeed = "2 m/s"\n'
    lines = commented(text).splitlines()
    assert lines[0] == 'title = "x"  # mine'
    assert lines[1:] == [
        "# The day, leg by leg.",
        "[[leg]]",
        'speed = "1 m/s"                  # over ground; 0 holds a place',
        "[[leg]]",
        'speed = "2 m/s"',
    ]
