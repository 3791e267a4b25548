"""Many outings: a row each, in order, resumable, and the same whoever does the work."""

import csv
import signal
import subprocess
import sys
from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import IO, Any

import pytest
from joblib import parallel_config

from keelwatt.batches import file, run, work
from keelwatt.batches.file import read_rows
from keelwatt.batches.rows import COLUMNS, Row, Task, invalid
from keelwatt.batches.run import Batch, batch
from keelwatt.choose.sums import Measure
from keelwatt.errors import InputError, Problem
from keelwatt.explain.advise import Advice, decide
from keelwatt.files.catalog.reader import Catalog, read_catalog
from keelwatt.files.outing import outing_from_text
from samples import small_outing_text, write_catalog


@pytest.fixture(scope="module")
def parts(tmp_path_factory: pytest.TempPathFactory) -> Catalog:
    return read_catalog(write_catalog(tmp_path_factory.mktemp("catalog")))


@pytest.fixture
def outings(tmp_path: Path) -> list[Path]:
    """One that a kit fits, one that none fits, two to put right, one that is not there."""
    good = small_outing_text()
    texts = {
        "good": good,
        "dear": good.replace("budget = 1200", "budget = 10"),
        "bare": good.replace('"82 kg"', "82"),
        "unknown": good.replace("require = []", 'require = ["lfp-500"]'),
    }
    return [*(_outing(tmp_path, name, text) for name, text in texts.items()), tmp_path / "gone"]


def _outing(folder: Path, name: str, text: str) -> Path:
    path = folder / f"{name}.toml"
    path.write_text(text, encoding="utf-8")
    return path


@pytest.fixture
def worked_out(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The names of the outings worked out from here on, which is made quick."""
    names: list[str] = []

    def rows(tasks: Sequence[Task], *_: object) -> list[Row]:
        names.extend(Path(task.file).stem for task in tasks)
        cells = {"status": "best", "price": "12.50"}
        return [
            {**dict.fromkeys(COLUMNS, ""), **cells, "file": task.file, "key": task.key}
            for task in tasks
        ]

    monkeypatch.setattr(work, "rows", rows)
    return names


def _stop_at(done: int) -> Callable[[Batch], None]:
    def stop(so_far: Batch) -> None:
        if len(so_far.rows) == done:
            raise KeyboardInterrupt

    return stop


def _nothing_left_behind(folder: Path) -> bool:
    return not list(folder.glob(".*"))


def test_rows_stand_in_the_outings_order_and_tell_what_came_out(
    outings: list[Path], parts: Catalog, tmp_path: Path
) -> None:
    result = batch(outings, parts, tmp_path / "results.csv")
    assert [row["file"] for row in result.rows] == [str(path) for path in outings]
    good, dear, bare, unknown, gone = result.rows
    assert [row["status"] for row in (good, dear)] == ["best", "impossible"]
    assert {row["status"] for row in (bare, unknown, gone)} == {"invalid"}
    assert good["problem"] == ""
    assert "No kit" in dear["problem"]
    assert "line 50, aboard.1.mass: '82' has no unit" in bare["problem"]
    assert "lfp-500" in unknown["problem"]
    assert "is not there" in gone["problem"]
    assert all(bad["price"] == "" for bad in (dear, bare, unknown, gone))


def test_a_row_is_the_kit_that_pick_chooses(
    outings: list[Path], parts: Catalog, tmp_path: Path
) -> None:
    result = batch(outings[:1], parts, tmp_path / "results.csv", by="mass")
    outing = outing_from_text(outings[0].read_text(encoding="utf-8"), "good")
    proof = decide(outing, parts, by="mass").proof
    assert proof is not None
    (row,) = result.frame.to_dict("records")
    kit, totals = proof.assessment.kit, proof.assessment.totals
    (told,) = result.values
    assert (told["price"], told["controller"]) == (totals.price_cents / 100, kit.controller)
    assert (told["series"], type(told["series"])) == (kit.series, int)
    for column in ("battery", "compartment", "motor", "mount", "cable", "fuse", "connector"):
        assert row[column] == getattr(kit, column)
    assert (row["series"], row["parallel"]) == (kit.series, kit.parallel)
    assert round(100 * row["price"]) == totals.price_cents
    assert round(1000 * row["mass_kg"]) == totals.mass_g
    assert round(10000 * row["season_price"]) == totals.season_units
    assert round(1000 * row["displacement_kg"]) == totals.displacement_g
    assert row["hours_at_limit"] == pytest.approx(proof.assessment.hours_at_limit, abs=5e-5)


def test_the_file_holds_the_documented_columns(
    outings: list[Path], parts: Catalog, tmp_path: Path, worked_out: list[str]
) -> None:
    out = tmp_path / "results.csv"
    result = batch(outings, parts, out)
    with out.open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.DictReader(file))
    assert worked_out == ["good", "dear", "bare", "unknown"]
    assert list(rows[0]) == list(COLUMNS)
    assert tuple(rows) == result.rows


def test_two_workers_write_the_same_file_as_one(
    outings: list[Path], parts: Catalog, tmp_path: Path
) -> None:
    one, two = tmp_path / "one.csv", tmp_path / "two.csv"
    batch(outings, parts, one, workers=1)
    batch(outings, parts, two, workers=2)
    assert one.read_bytes() == two.read_bytes()


def test_workers_can_begin_before_the_choice_is_imported_here() -> None:
    script = (
        "import sys, keelwatt.batches.run\n"
        "heavy = {'pandas', 'pulp', 'keelwatt.explain.advise'} & set(sys.modules)\n"
        "assert not heavy, heavy"
    )
    result = subprocess.run([sys.executable, "-c", script], capture_output=True, check=False)
    assert result.returncode == 0, result.stderr


def test_a_second_run_works_nothing_out_anew(
    outings: list[Path], parts: Catalog, tmp_path: Path, worked_out: list[str]
) -> None:
    out = tmp_path / "results.csv"
    batch(outings, parts, out)
    before = out.read_bytes()
    worked_out.clear()
    result = batch(outings, parts, out)
    assert worked_out == []
    assert result.kept == 4
    assert out.read_bytes() == before


def test_only_what_changed_is_worked_out_anew(
    outings: list[Path], parts: Catalog, tmp_path: Path, worked_out: list[str]
) -> None:
    out = tmp_path / "results.csv"
    batch(outings, parts, out)
    worked_out.clear()
    with outings[1].open("a", encoding="utf-8") as file:
        file.write("# cheaper now\n")
    result = batch([*reversed(outings)], parts, out)
    assert worked_out == ["dear"]
    assert [row["file"] for row in result.rows] == [str(path) for path in reversed(outings)]
    assert result.dropped == 0


@pytest.mark.parametrize("by", ["mass", "season"])
def test_other_options_are_another_question(
    outings: list[Path], parts: Catalog, tmp_path: Path, worked_out: list[str], by: Measure
) -> None:
    out = tmp_path / "results.csv"
    batch(outings[:2], parts, out)
    batch(outings[:2], parts, out, by=by)
    assert worked_out == 2 * ["good", "dear"]


def test_another_catalog_is_another_question(
    outings: list[Path], parts: Catalog, tmp_path: Path, worked_out: list[str]
) -> None:
    out = tmp_path / "results.csv"
    folder = write_catalog(tmp_path / "catalog")
    with (folder / "fuses.csv").open("a", encoding="utf-8") as file:
        file.write("# checked\n")
    batch(outings[:1], parts, out)
    batch(outings[:1], read_catalog(folder), out)
    assert worked_out == ["good", "good"]


def test_again_works_everything_out_anew(
    outings: list[Path], parts: Catalog, tmp_path: Path, worked_out: list[str]
) -> None:
    out = tmp_path / "results.csv"
    batch(outings[:2], parts, out)
    result = batch(outings[:2], parts, out, again=True)
    assert worked_out == 2 * ["good", "dear"]
    assert result.kept == 0


def test_rows_of_outings_not_named_now_are_left_out_and_counted(
    outings: list[Path], parts: Catalog, tmp_path: Path, worked_out: list[str]
) -> None:
    out = tmp_path / "results.csv"
    batch(outings[:3], parts, out)
    result = batch(outings[1:2], parts, out)
    assert (len(result.rows), result.kept, result.dropped) == (1, 1, 2)
    assert worked_out == ["good", "dear", "bare"]


def test_equal_outings_are_worked_out_once(
    outings: list[Path], parts: Catalog, tmp_path: Path, worked_out: list[str]
) -> None:
    twin = _outing(tmp_path, "twin", small_outing_text())
    result = batch([outings[0], twin, outings[0]], parts, tmp_path / "results.csv")
    assert len(worked_out) == 1
    assert [Path(row["file"]).stem for row in result.rows] == ["good", "twin", "good"]


def test_stopped_and_gone_on_with_is_the_same_as_in_one_go(
    outings: list[Path], parts: Catalog, tmp_path: Path, worked_out: list[str]
) -> None:
    whole, parted = tmp_path / "whole.csv", tmp_path / "parted.csv"
    batch(outings, parts, whole)
    with pytest.raises(KeyboardInterrupt):
        batch(outings, parts, parted, progress=_stop_at(3))
    kept = read_rows(parted)
    assert len(kept) == 3
    worked_out.clear()
    batch(outings, parts, parted)
    assert len(worked_out) == 2
    assert parted.read_bytes() == whole.read_bytes()
    assert _nothing_left_behind(tmp_path)


def test_the_file_is_whole_after_every_chunk(
    outings: list[Path], parts: Catalog, tmp_path: Path, worked_out: list[str]
) -> None:
    out = tmp_path / "results.csv"
    seen: list[int] = []

    def read(so_far: Batch) -> None:
        if out.exists():
            assert tuple(read_rows(out)) == so_far.rows
        seen.append(len(so_far.rows))

    batch(outings, parts, out, progress=read)
    assert seen == [1, 2, 3, 4, 5]
    assert len(worked_out) == 4


def test_a_failed_write_leaves_the_old_file(
    outings: list[Path],
    parts: Catalog,
    tmp_path: Path,
    worked_out: list[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    out = tmp_path / "results.csv"
    batch(outings[:1], parts, out)
    before = out.read_bytes()

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "replace", full)
    with pytest.raises(InputError) as caught:
        batch(outings, parts, out)
    assert "No space left" in caught.value.problems[0].what
    assert out.read_bytes() == before
    assert worked_out[0] == "good"
    assert _nothing_left_behind(tmp_path)


@pytest.mark.parametrize(
    "text",
    ["my shopping list\n", "", "file,title\na,b\n", "a\0b", "\udcff"],
    ids=["text", "empty", "other columns", "binary", "other encoding"],
)
def test_a_file_that_is_not_ours_is_left_alone(
    outings: list[Path],
    parts: Catalog,
    tmp_path: Path,
    text: str,
    worked_out: list[str],
) -> None:
    out = tmp_path / "mine.csv"
    out.write_text(text, encoding="utf-8", errors="surrogateescape")
    before = out.read_bytes()
    for again in (False, True):
        with pytest.raises(InputError) as caught:
            batch(outings[:1], parts, out, again=again)
        assert "--again" not in caught.value.problems[0].remedy
    assert out.read_bytes() == before
    assert worked_out == []
    assert _nothing_left_behind(tmp_path)


def test_results_with_a_broken_row_are_ours_to_replace_but_not_to_go_on_from(
    outings: list[Path], parts: Catalog, tmp_path: Path, worked_out: list[str]
) -> None:
    out = tmp_path / "results.csv"
    out.write_text(",".join(COLUMNS) + "\na,b\n", encoding="utf-8")
    with pytest.raises(InputError):
        batch(outings[:1], parts, out)
    batch(outings[:1], parts, out, again=True)
    assert len(read_rows(out)) == 1
    assert worked_out == ["good"]


@pytest.mark.skipif(sys.platform == "win32", reason="no locks")
def test_two_batches_never_write_one_file(
    outings: list[Path], parts: Catalog, tmp_path: Path, worked_out: list[str]
) -> None:
    out = tmp_path / "results.csv"
    batch(outings[:1], parts, out)
    before = out.read_bytes()
    refused: list[str] = []

    def another(_: Batch) -> None:
        with pytest.raises(InputError) as caught:
            batch(outings, parts, out, again=True)
        refused.append(caught.value.problems[0].what)

    batch(outings[:1], parts, out, progress=another)
    assert worked_out == ["good"]
    assert set(refused) == {"is being written by another batch"}
    assert out.read_bytes() == before
    with file.held(out):
        batch(outings[:1], parts, tmp_path / "other.csv")
    assert _nothing_left_behind(tmp_path)


def test_what_a_killed_batch_left_is_in_nobodys_way(
    outings: list[Path], parts: Catalog, tmp_path: Path, worked_out: list[str]
) -> None:
    out = tmp_path / "results.csv"
    for ending in ("lock", "new"):
        (tmp_path / f".results.csv.{ending}").write_text("left", encoding="utf-8")
    batch(outings[:1], parts, out)
    assert len(read_rows(out)) == 1
    assert _nothing_left_behind(tmp_path)
    assert worked_out == ["good"]


@pytest.mark.skipif(sys.platform == "win32", reason="no locks")
def test_a_lock_taken_away_while_it_was_opened_is_made_anew(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    place = tmp_path / ".results.csv.lock"
    seen: list[bool] = []
    looked = file._is_at

    def taken_away(lock: IO[bytes], at: Path) -> bool:
        if not seen:
            at.unlink()
        seen.append(looked(lock, at))
        return seen[-1]

    monkeypatch.setattr(file, "_is_at", taken_away)
    with file.held(tmp_path / "results.csv"):
        assert seen == [False, True]
        assert place.exists()
    assert not place.exists()


def test_no_cell_of_the_file_is_a_formula_and_each_reads_back(
    parts: Catalog, tmp_path: Path
) -> None:
    title = '=HYPERLINK("http://example.org")'
    lines = [
        f"title = '{title}'" if line.startswith("title") else line
        for line in small_outing_text().splitlines()
    ]
    outing = _outing(tmp_path, "named", "\n".join(lines))
    out = tmp_path / "results.csv"
    made = batch([outing], parts, out)
    assert made.rows[0]["title"] == title
    assert read_rows(out) == list(made.rows)
    with out.open(encoding="utf-8-sig", newline="") as results:
        cells = [cell for row in csv.reader(results) for cell in row]
    assert f"'{title}" in cells
    assert not any(cell[:1] in set("=+-@\t\r") for cell in cells if cell)
    assert batch([outing], parts, out).kept == 1


def test_outings_folders_and_missing_folders_are_never_written_over(
    outings: list[Path], parts: Catalog, tmp_path: Path, worked_out: list[str]
) -> None:
    before = outings[0].read_bytes()
    for out in (outings[0], tmp_path, tmp_path / "none" / "results.csv"):
        with pytest.raises(InputError):
            batch(outings, parts, out, again=True)
    assert outings[0].read_bytes() == before
    assert worked_out == []


def test_a_bug_in_one_outing_leaves_the_others_their_rows_and_is_tried_again(
    outings: list[Path], parts: Catalog, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    out = tmp_path / "results.csv"

    def broken(*_: object, **__: object) -> None:
        raise ZeroDivisionError("division by\nzero")

    with monkeypatch.context() as patch:
        patch.setattr(work, "decide", broken)
        result = batch(outings[:3], parts, out)
    assert [row["status"] for row in result.rows] == ["bug", "bug", "invalid"]
    assert "ZeroDivisionError: division by zero" in result.rows[0]["problem"]
    again = batch(outings[:3], parts, out)
    assert [row["status"] for row in again.rows] == ["best", "impossible", "invalid"]
    assert again.kept == 1


def test_an_outing_stopped_before_proof_is_tried_again(
    outings: list[Path], parts: Catalog, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def stopped(*given: Any, **how: Any) -> Advice:
        advice = decide(*given, **how)
        return replace(advice, status="unproved")

    out = tmp_path / "results.csv"
    with monkeypatch.context() as patch:
        patch.setattr(work, "decide", stopped)
        result = batch(outings[:1], parts, out)
    assert [row["status"] for row in result.rows] == ["unproved"]
    assert result.status == "unproved"
    again = batch(outings[:1], parts, out)
    assert ([row["status"] for row in again.rows], again.kept) == (["best"], 0)


@pytest.mark.skipif(not hasattr(signal, "pthread_sigmask"), reason="no signals to block")
def test_workers_are_begun_deaf_to_ctrl_c_and_this_process_hears_again() -> None:
    def heard() -> bool:
        return signal.SIGINT not in signal.pthread_sigmask(signal.SIG_BLOCK, ())

    with run.deaf():
        assert not heard()
    assert heard()


def test_one_worker_is_this_process(
    outings: list[Path], parts: Catalog, tmp_path: Path, worked_out: list[str]
) -> None:
    batch(outings[:2], parts, tmp_path / "results.csv", workers=1)
    assert worked_out == ["good", "dear"]


def test_joblib_says_where_the_work_is_done(
    outings: list[Path], parts: Catalog, tmp_path: Path
) -> None:
    here, there = tmp_path / "here.csv", tmp_path / "there.csv"
    batch(outings[1:], parts, here)
    with parallel_config(backend="threading", n_jobs=2):
        batch(outings[1:], parts, there)
    assert here.read_bytes() == there.read_bytes()


@pytest.mark.slow
@pytest.mark.filterwarnings("ignore")
def test_a_dask_cluster_of_processes_writes_the_same_file(
    outings: list[Path], parts: Catalog, tmp_path: Path
) -> None:
    distributed = pytest.importorskip("distributed")
    here, there = tmp_path / "here.csv", tmp_path / "there.csv"
    batch(outings, parts, here)
    cluster = distributed.LocalCluster(
        n_workers=2, threads_per_worker=1, processes=True, dashboard_address=None
    )
    address = cluster.scheduler_address
    with cluster, distributed.Client(address), parallel_config(backend="dask"):
        batch(outings, parts, there)
    assert here.read_bytes() == there.read_bytes()


def test_no_results_go_where_no_plain_file_can_be(tmp_path: Path) -> None:
    with pytest.raises(InputError) as caught:
        file.check_place(tmp_path, [])
    (problem,) = caught.value.problems
    assert (problem.file, problem.what) == (str(tmp_path), "is no plain file")


def test_three_problems_are_told_and_how_many_more_there_are() -> None:
    wrong = [Problem(file="a.toml", what=f"{n} is wrong", remedy="mend it") for n in range(5)]
    told = invalid("a.toml", wrong)["problem"].split("; ")
    assert len([each for each in told if "is wrong" in each]) == 3
    assert told[-1] == "and 2 more: see keelwatt pick"
    assert "more" not in invalid("a.toml", wrong[:3])["problem"]
