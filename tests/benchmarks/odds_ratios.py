"""What chance costs against a pick: ``python tests/benchmarks/odds_ratios.py [--runs 5]``.

Processor time of whole processes, the least of a few runs taken in turn, and of the steps inside
one process; each against one ``pick`` of the same outing.
"""

import argparse
import json
import os
import resource
import subprocess
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path
from time import process_time

ROOT = Path(__file__).parents[2]
OUTING = ROOT / "examples" / "reservoir-sampling" / "outing.toml"
KEELWATT = [sys.executable, "-c", "from keelwatt.cli import main; main()"]
DAYS = 10_000


def process_s(*arguments: str) -> float:
    """Processor time of one command."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run(
        [*KEELWATT, *arguments],
        cwd=ROOT,
        stdout=subprocess.DEVNULL,
        check=True,
    )
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def steps_s(runs: int) -> dict[str, float]:
    """Processor time of the steps of ``odds`` and of ``pick --sure``, everything imported."""
    from keelwatt.chance.margins import margins
    from keelwatt.chance.odds import Boat, simulate
    from keelwatt.chance.shares import shares
    from keelwatt.chance.spreads import Spreads
    from keelwatt.chance.sure import sure
    from keelwatt.explain.advise import decide
    from keelwatt.files.catalog.reader import read_catalog
    from keelwatt.files.catalog.shipped import shipped_catalog
    from keelwatt.files.outing import read_outing
    from keelwatt.proof import Assessor

    outing, catalog = read_outing(OUTING), read_catalog(shipped_catalog())
    advice = decide(outing, catalog)
    assert advice.proof is not None
    kit, spreads = advice.proof.assessment.kit, Spreads(outing)
    boat = Boat(Assessor(advice.outing, catalog), kit)
    simulate(boat, spreads, 100, 1)
    tasks: dict[str, Callable[[], object]] = {
        f"{DAYS} days": lambda: simulate(boat, spreads, DAYS, 1),
        "variance shares": lambda: shares(boat, spreads, 1),
        "what it stands": lambda: margins(boat),
        "choice with --sure 95%": lambda: sure(outing, catalog, 0.95),
    }
    return {name: min(_timed(task) for _ in range(runs)) for name, task in tasks.items()}


def _timed(task: Callable[[], object]) -> float:
    start = process_time()
    task()
    return process_time() - start


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--runs", type=int, default=5)
    runs = parser.parse_args().runs
    os.environ["OPENBLAS_NUM_THREADS"] = "1"
    with tempfile.TemporaryDirectory() as folder:
        kit = Path(folder) / "kit.json"
        picked = subprocess.run(
            [*KEELWATT, "pick", str(OUTING), "--json"],
            cwd=ROOT,
            capture_output=True,
            text=True,
            check=True,
        )
        kit.write_text(json.dumps(json.loads(picked.stdout)["kit"]), encoding="utf-8")
        commands = {
            "pick": ("pick", str(OUTING)),
            "odds": ("odds", str(OUTING), "--kit", str(kit)),
            "pick --sure 95%": ("pick", str(OUTING), "--sure", "95%"),
        }
        taken: dict[str, list[float]] = {name: [] for name in commands}
        for _ in range(runs):
            for name, arguments in commands.items():
                taken[name].append(process_s(*arguments))
    least = {name: min(times) for name, times in taken.items()}
    for name, seconds in (least | steps_s(runs)).items():
        print(f"{name:24} {seconds:7.3f} s   {seconds / least['pick']:6.3f} of a pick")


if __name__ == "__main__":
    main()
