"""The public names, as the README shows them and as a notebook asks for them."""

import ast
import json
import shutil
import subprocess
import sys
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

import keelwatt as kw
from keelwatt import api
from keelwatt.api import Answer
from keelwatt.errors import InputError
from remembered import remembering

ROOT = Path(__file__).parents[1]
OUTING = ROOT / "examples" / "reservoir-sampling" / "outing.toml"


@pytest.fixture(scope="module")
def answer() -> Answer:
    return kw.pick(OUTING, ROOT / "catalog")


def blocks() -> list[str]:
    """The README's Python."""
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    return [piece.split("```")[0] for piece in readme.split("```python\n")[1:]]


def test_the_readmes_python_runs(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    shutil.copy(OUTING, tmp_path)
    shutil.copytree(ROOT / "catalog", tmp_path / "catalog")
    monkeypatch.chdir(tmp_path)
    told: list[Any] = []
    with remembering():
        exec(blocks()[0], {"print": lambda *said: told.extend(said)})
    status, price, steps, front, wins_at, buys, difference, chance = told
    assert (status, price) == ("best", 695.40)
    assert wins_at < 61_900
    assert buys.hours > 1.0
    assert buys.cost_cents > 0
    assert difference.cost_cents > 0
    assert 0.0 < chance.share < 1.0
    assert steps["price"].is_monotonic_increasing
    assert front["price"].is_monotonic_increasing


def test_a_sure_kit_is_told_with_how_sure_it_is(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[Any] = []

    def sure(_outing: Any, _catalog: Any, share: float, **how: Any) -> Any:
        asked.append((share, how["by"]))
        return SimpleNamespace(advice="the advice")

    monkeypatch.setattr("keelwatt.chance.sure.sure", sure)
    found: Any = kw.pick(OUTING, ROOT / "catalog", sure=0.9, by="mass")
    assert asked == [(0.9, "mass")]
    assert found.advice == "the advice"
    assert found.certain.advice == "the advice"


def test_a_batch_is_of_files_and_a_catalog(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[Any] = []
    monkeypatch.setattr(
        "keelwatt.batches.run.batch", lambda *given, **more: asked.extend([given, more])
    )
    kw.batch([str(OUTING)], str(tmp_path / "rows.csv"), ROOT / "catalog", by="mass")
    (outings, catalog, out), more = asked
    assert (outings, out, more) == ([OUTING], tmp_path / "rows.csv", {"by": "mass"})
    assert catalog == kw.read_catalog(ROOT / "catalog")


def test_a_log_is_fitted_with_its_outing_catalog_and_kit(
    answer: Answer, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("keelwatt.tuning.tune.tune", lambda *given: given)
    monkeypatch.setattr(api, "read_log", lambda log: f"read {log}")
    outing, catalog = kw.read_outing(OUTING), kw.read_catalog(ROOT / "catalog")
    kit = answer.proof.assessment.kit
    given: Any = kw.tune(outing, "log.csv", answer, catalog)
    assert given == (outing, catalog, kit, "read log.csv")


def test_the_notebook_runs(monkeypatch: pytest.MonkeyPatch) -> None:
    """Each cell in turn, what its last line comes to being shown."""
    monkeypatch.chdir(ROOT / "examples")
    notebook = json.loads(Path("notebook.ipynb").read_text(encoding="utf-8"))
    code = ["".join(cell["source"]) for cell in notebook["cells"] if cell["cell_type"] == "code"]
    names: dict[str, Any] = {}
    shown = []
    for cell in code:
        *before, last = ast.parse(cell).body
        assert isinstance(last, ast.Expr)
        with remembering():
            exec(compile(ast.Module(before, []), "cell", "exec"), names)
            shown.append(eval(compile(ast.Expression(last.value), "cell", "eval"), names))
    answer, legs, front, difference, buys = shown
    assert "695.40" in answer._repr_html_()
    assert [name for name, *_ in legs] == [leg.name for leg in answer.advice.outing.legs]
    assert front["price"].is_monotonic_increasing
    assert difference.cost_cents > 0
    assert buys.hours > 1.0


def test_the_readmes_other_python_compiles() -> None:
    for block in blocks():
        compile(block, "README.md", "exec")


@pytest.mark.parametrize("name", kw.__all__)
def test_every_public_name_is_there(name: str) -> None:
    assert callable(getattr(kw, name))
    assert name in dir(kw)


def test_a_name_stays_a_function_once_its_room_is_imported() -> None:
    rooms = "import keelwatt, pkgutil\nfor room in pkgutil.iter_modules(keelwatt.__path__):\n"
    rooms += "    __import__(f'keelwatt.{room.name}')\n"
    rooms += "assert all(callable(getattr(keelwatt, name)) for name in keelwatt.__all__)"
    subprocess.run([sys.executable, "-c", rooms], check=True)


def test_another_name_is_not() -> None:
    with pytest.raises(AttributeError, match="has no attribute 'choose_kit'"):
        kw.choose_kit  # noqa: B018


def test_an_answer_is_told_in_one_line(answer: Answer) -> None:
    assert repr(answer) == (
        "<Answer: best; 2 x flooded-12v-75ah, motor-12v-160n-stepped; 695.40, 49.1 kg>"
    )
    nothing = kw.pick(ROOT / "examples" / "reservoir-winter-impossible" / "outing.toml")
    assert repr(nothing) == "<Answer: impossible>"


def test_a_notebook_shows_the_page(answer: Answer) -> None:
    html = answer._repr_html_()
    assert html.startswith("<iframe ")
    assert html.count('"') == 6, "what the page quotes must not end the frame"
    assert "75 Ah" in html


def test_a_kit_may_be_an_answer_or_a_file(answer: Answer) -> None:
    assert kw.prove(OUTING, answer).holds
    kept = OUTING.parent / "kit.json"
    assert kw.prove(str(OUTING), kept).assessment.kit == kw.prove(OUTING, str(kept)).assessment.kit


def test_what_is_wrong_with_a_file_is_raised_with_every_problem() -> None:
    with pytest.raises(InputError) as caught:
        kw.pick("nowhere.toml")
    assert caught.value.problems[0].file == "nowhere.toml"


def test_a_stretch_merges_narrow_steps_unless_every_one_is_asked_for(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    whole, few = object(), object()
    monkeypatch.setattr(api, "decide", lambda *_, **__: None)
    monkeypatch.setattr("keelwatt.explain.stretch.stretch", lambda *_: whole)
    monkeypatch.setattr(api, "merged", lambda found: few if found is whole else None)
    outing, catalog = kw.read_outing(OUTING), kw.read_catalog(ROOT / "catalog")
    assert api.stretch(outing, "hours", catalog=catalog) is few
    assert api.stretch(outing, "hours", catalog=catalog, every_step=True) is whole
