"""The mutation script knows the faults it names, covers every room, and sees a test object."""

import ast
import os
import subprocess
import sys
from pathlib import Path

import pytest

from benchmarks.mutants import (
    ROOT,
    SOURCE,
    TESTS,
    drawn,
    faults,
)

WHOLE = '''"""Not this + that."""
X: "a < b" = 3

def f(a, b):
    """Nor this."""
    return g(a, -b) if a < b and not b == 2 else min(a, "at least so much before")
'''


def test_each_fault_changes_one_thing_and_is_a_module() -> None:
    found = {fault.after: fault for fault in faults(Path("src/keelwatt/words.py"), WHOLE)}
    for after in ("4", "b", "a <= b", "b != 2", "a < b or not b == 2", "g(-b, a)", "max"):
        assert after in found, after
    assert {"'at most so much before'", "'at least so much after'"} <= set(found)
    texts = [fault.text(WHOLE) for fault in found.values()]
    assert len(set(texts)) == len(texts)
    assert all(ast.unparse(ast.parse(text)) == text for text in texts)
    assert not any("Not this - that" in text for text in texts)


@pytest.mark.slow
def test_three_hundred_faults_come_from_every_room_and_are_the_same_again() -> None:
    found = drawn(0, 300)
    assert len(set(found)) == 300
    rooms = {path.stem for path in (ROOT / SOURCE).iterdir() if path.suffix or path.is_dir()}
    rooms -= {"__pycache__", "py", "shipped"}
    assert {fault.room for fault in found} == rooms == set(TESTS)
    assert drawn(0, 300) == found
    assert all((ROOT / test).exists() for tests in TESTS.values() for test in tests.split())


IN_TURN = """
import sys
from pathlib import Path
import pytest

from benchmarks.mutants import ROOT, SOURCE, Order, copied, faults, outcome, ran
file = SOURCE / "units/sizes.py"
text = (ROOT / file).read_text(encoding="utf-8")
(wrong,) = (fault for fault in faults(file, text) if fault.before == "0.127")
order = Order("units", tree := copied(Path(sys.argv[1])), 60)
print(ran(order, tree), outcome(wrong, tree, order), ran(order, tree))
"""


@pytest.mark.slow
def test_a_fault_is_seen_in_the_copy_alone(tmp_path: Path) -> None:
    file = SOURCE / "units/sizes.py"
    whole = (ROOT / file).read_text(encoding="utf-8")
    env = {**os.environ, "PYTHONPATH": str(ROOT / "tests")}
    command = [sys.executable, "-c", IN_TURN, str(tmp_path)]
    ended = subprocess.run(command, env=env, capture_output=True, text=True, check=True)
    assert ended.stdout.split() == ["survives", "objects", "survives"]
    assert (ROOT / file).read_text(encoding="utf-8") == whole
    assert (tmp_path / file).read_text(encoding="utf-8") == whole
