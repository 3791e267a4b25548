"""However many forms of an answer are asked for, what it rests on is made once."""

import sys
from collections import Counter
from pathlib import Path
from types import FrameType
from typing import Any

import pytest
from typer.testing import CliRunner

from keelwatt.cli import app
from samples import small_outing_text, write_catalog

ONCE = {
    "wiring/build.py": "netlist",
    "wiring/sheet.py": "wiring_sheet",
    "explain/balance.py": "balance",
}


@pytest.mark.few(1)
@pytest.mark.parametrize("more", [(), ("--sure", "60%")], ids=["plain", "sure"])
def test_what_an_answer_rests_on_is_made_once(tmp_path: Path, more: tuple[str, ...]) -> None:
    catalog = write_catalog(tmp_path / "catalog")
    outing = tmp_path / "outing.toml"
    outing.write_text(small_outing_text(), encoding="utf-8")
    files = "--page", f"{tmp_path}/page.html", "--shopping", f"{tmp_path}/list.csv"
    made: Counter[str] = Counter()

    def count(frame: FrameType, event: str, _: Any) -> None:
        code = frame.f_code
        for file, name in ONCE.items():
            if event == "call" and code.co_name == name and code.co_filename.endswith(file):
                made[file] += 1

    arguments = ["pick", str(outing), "--catalog", str(catalog), *files, "--sheet", "--json", *more]
    sys.setprofile(count)
    try:
        result = CliRunner().invoke(app, arguments)
    finally:
        sys.setprofile(None)
    assert result.exit_code == 0, result.stderr
    assert made == dict.fromkeys(ONCE, 1)
