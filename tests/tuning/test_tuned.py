"""The tuned drag factor written into the outing's text, all else as it was."""

from dataclasses import replace
from datetime import date
from functools import cache

import pytest

from keelwatt.files.outing import outing_from_text, read_text
from keelwatt.physics.shapes import HULL_SHAPES
from keelwatt.tuning.tune import Tuning, tune, write_in
from tuning.made_logs import CHOPPER, EXAMPLE, Meters, Truth, log_of, shipped

FILE = str(EXAMPLE / "outing.toml")
TODAY = date(2026, 5, 3)


@cache
def result() -> Tuning:
    outing = outing_from_text(read_text(EXAMPLE / "outing.toml"), FILE)
    return tune(outing, shipped(), CHOPPER, log_of(Truth(), Meters(), 1))


def again(text: str) -> Tuning:
    """The same log, of an outing with this text."""
    return tune(outing_from_text(text, FILE), shipped(), CHOPPER, result().log)


@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_four_lines_are_added_and_the_rest_is_as_it_was(end: str) -> None:
    before = read_text(EXAMPLE / "outing.toml").replace("\n", end)
    written = write_in(before, result(), TODAY)
    lines = written.text.split(end)
    at = next(n for n, line in enumerate(lines) if line.startswith("# tuned 2026-05-03"))
    craft = result().tuned.craft
    error = f"{100 * (craft.drag_factor_error or 0):g} %"
    assert lines[at : at + 4] == [
        f"# tuned 2026-05-03 from log.csv, 10 rows: {craft.drag_factor:g} ± {error}; "
        f"it was {HULL_SHAPES['sit-on-top'].drag_factor:g}",
        f"drag_factor = {craft.drag_factor:g}",
        f'drag_factor_error = "{error}"',
        f'drag_factor_motor = "{CHOPPER.motor}"',
    ]
    assert end.join(lines[:at] + lines[at + 4 :]) == before
    assert f"+drag_factor = {craft.drag_factor:g}" in written.difference
    assert outing_from_text(written.text, FILE) == result().tuned


def test_a_factor_that_is_there_is_replaced_and_its_comment_kept() -> None:
    before = read_text(EXAMPLE / "outing.toml").replace(
        "# drag_factor = 1.3", "  drag_factor = 1.7"
    )
    tuning = again(before)
    text = write_in(before, tuning, TODAY).text
    (line,) = (each for each in text.splitlines() if each.strip().startswith("drag_factor ="))
    assert line.startswith(f"  drag_factor = {tuning.drag_factor:g} ")
    assert line.endswith("# give your own after a towing trial")
    assert "; it was 1.7" in text
    twice = write_in(text, again(text), date(2026, 6, 1)).text
    assert twice.count("# tuned 2026-") == 2
    assert twice.count("drag_factor_error") == 1


def test_a_name_that_would_break_the_line_does_not() -> None:
    odd = replace(result(), log=replace(result().log, file="a\nb = 1.csv"))
    text = write_in(read_text(EXAMPLE / "outing.toml"), odd, TODAY).text
    assert "from ab = 1.csv, 10 rows" in text


def test_the_same_log_again_gives_the_same_factor() -> None:
    text = write_in(read_text(EXAMPLE / "outing.toml"), result(), TODAY).text
    assert again(text).drag_factor == pytest.approx(result().drag_factor, rel=1e-3)
