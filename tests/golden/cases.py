"""Every command line whose screens, data or files are kept."""

from typing import Any

from golden.kept import ROOT, Case

EXPECTED = "tests/golden/expected"
EXAMPLES = sorted(path.name for path in (ROOT / "examples").iterdir() if path.is_dir())
IMPOSSIBLE = "reservoir-winter-impossible"
POSSIBLE = [name for name in EXAMPLES if name != IMPOSSIBLE]
FOLDER = "examples/reservoir-sampling"
OUTING, KIT, LOG = f"{FOLDER}/outing.toml", f"{FOLDER}/kit.json", f"{FOLDER}/log.csv"
WINTER = f"examples/{IMPOSSIBLE}/outing.toml"
KITS_COMPARED = f"best {KIT} 2xflooded-12v-50ah+motor-12v-130n-stepped"
ENTER = "\n" * 60
BAD = "given/bad.toml --catalog given/bad-catalog"


def data(name: str, arguments: str, status: int = 0, **more: Any) -> Case:
    """A command with ``--json``; ``name`` is its folder and file."""
    kept = {"stdout": f"{EXPECTED}/{name}.json", **more.pop("kept", {})}
    return Case(f"{arguments} --json", kept, status, **more)


def screen(file: str, arguments: str, status: int = 0, **more: Any) -> Case:
    return Case(arguments, {"stdout": file}, status, **more)


def ended(name: str) -> int:
    return 4 if name == IMPOSSIBLE else 0


SCREENS = [
    *(
        screen(f"examples/{name}/expected.txt", f"pick examples/{name}/outing.toml", ended(name))
        for name in EXAMPLES
    ),
    *(
        screen(
            f"{EXPECTED}/full/{name}.txt", f"pick examples/{name}/outing.toml --full", ended(name)
        )
        for name in EXAMPLES
    ),
    screen(f"{EXPECTED}/first/whatif.txt", f"whatif {OUTING} --set hours=+2h"),
    screen(f"{EXPECTED}/first/stretch.txt", f"stretch {OUTING} --over hours"),
    screen(f"{EXPECTED}/full/whatif.txt", f"whatif {OUTING} --set hours=+2h --full"),
    screen(f"{EXPECTED}/first/worth.txt", f"worth {OUTING} chopper-12-24v-50a"),
    screen(f"{EXPECTED}/full/worth.txt", f"worth {OUTING} chopper-12-24v-50a --full"),
    screen(f"{EXPECTED}/first/compare.txt", f"compare {OUTING} {KITS_COMPARED}"),
    screen(f"{EXPECTED}/full/compare.txt", f"compare {OUTING} {KITS_COMPARED} --full"),
    screen(f"{EXPECTED}/full/us.txt", f"pick {OUTING} --units us --full --sheet"),
    screen(f"{FOLDER}/odds.txt", f"odds {OUTING} --kit {KIT}"),
    screen(f"{FOLDER}/sure.txt", f"pick {OUTING} --sure 85% --full", begins="How sure is it?"),
    screen(f"{FOLDER}/tune.txt", f"tune {OUTING} {LOG} --kit {KIT}"),
]

SHEETS = [
    *(
        screen(
            f"{EXPECTED}/sheet/{name}.txt",
            f"pick examples/{name}/outing.toml --sheet",
            begins="What to cut",
        )
        for name in POSSIBLE
    ),
    Case(
        f"pick {OUTING} --sheet --feet --shopping list.csv",
        {
            "stdout": f"{EXPECTED}/sheet/{FOLDER.rpartition('/')[2]}-feet.txt",
            "list.csv": f"{EXPECTED}/shopping/{FOLDER.rpartition('/')[2]}-feet.csv",
        },
        begins="What to cut",
        aside="Shopping list: list.csv\n",
    ),
]

PICK = [
    *(
        data(
            f"pick/{name}",
            f"pick examples/{name}/outing.toml --shopping list.csv",
            kept={"list.csv": f"{EXPECTED}/shopping/{name}.csv"},
            aside="Shopping list: list.csv\n",
        )
        for name in POSSIBLE
    ),
    data(
        "pick/impossible",
        f"pick {WINTER} --sheet --shopping list.csv",
        4,
        aside="No kit, so no shopping list: list.csv is not written.\n",
    ),
    data("pick/sheet", f"pick {OUTING} --sheet"),
    data("pick/top", f"pick {OUTING} --top 3 --by season"),
    data("pick/sure", f"pick {OUTING} --sure 85%"),
    data("pick/sure-of-what", f"pick {OUTING} --sure often", 3),
    data("pick/invalid", f"pick {BAD}", 3),
    data("pick/no-place", f"pick {OUTING} --shopping none/list.csv --page catalog", 3),
    data("pick/apply", f"pick {WINTER} --apply 2"),
    data("pick/apply-none-such", f"pick {WINTER} --apply 9", 3),
    data("pick/apply-not-needed", f"pick {OUTING} --apply 1", 3),
]

STUDIES = [
    data("whatif/longer", f"whatif {OUTING} --set hours=+2h --set budget=900"),
    data("whatif/impossible", f"whatif {OUTING} --set budget=10", 4),
    data("whatif/possible-again", f"whatif {WINTER} --set budget=1150 --set hours=3h"),
    data("whatif/invalid", f"whatif {OUTING} --set colour=red --set hours=+2kg", 3),
    data("stretch/hours", f"stretch {OUTING} --over hours"),
    data("stretch/speed", f"stretch {OUTING} --over speed"),
    data("stretch/reserve", f"stretch {OUTING} --over reserve --from 20% --to 60%"),
    data("stretch/impossible", f"stretch {OUTING} --over budget --from 1 --to 2", 4),
    data("stretch/invalid", f"stretch {OUTING} --over budget --from 9h --to none", 3),
    data("tradeoff/top", f"tradeoff {OUTING} --top 3"),
    data("tradeoff/within", f"tradeoff {OUTING} --by mass --within 5%"),
    data("tradeoff/impossible", f"tradeoff {WINTER}", 4),
    data("tradeoff/invalid", f"tradeoff {OUTING} --within close", 3),
    data("why/chosen", f"why {OUTING} flooded-12v-50ah"),
    data("why/dearer", f"why {OUTING} lfp-12v-100ah"),
    data("why/shut-out", f"why {OUTING} motor-48v-480n-chopper"),
    data("why/impossible", f"why {WINTER} lfp-12v-100ah", 4),
    data("why/unknown", f"why {OUTING} lfp-12v-100a", 3),
    data("worth/chosen", f"worth {OUTING} chopper-12-24v-50a"),
    data("worth/in-a-kit", f"worth {OUTING} lfp-12v-100ah --kit {KIT} --by mass"),
    data("worth/shut-out", f"worth {OUTING} motor-48v-480n-chopper"),
    data("worth/impossible", f"worth {WINTER} lfp-12v-100ah", 4),
    data("worth/unknown", f"worth {OUTING} lfp-12v-100a --kit none.json", 3),
    data("compare/three", f"compare {OUTING} {KITS_COMPARED}"),
    data("compare/none-meets", f"compare {WINTER} 1xlfp-12v-100ah agm-12v-100ah", 4),
    data(
        "compare/invalid",
        f"compare {OUTING} lfp-12v-100a none.json fuse-blade-40a+fuse-bolt-40a",
        3,
    ),
    data(
        "batch/examples",
        f"batch {' '.join(f'examples/{name}/outing.toml' for name in EXAMPLES)}"
        " --out rows.csv --workers 1",
        kept={"rows.csv": f"{EXPECTED}/batch/examples.csv"},
        aside="".join(f"{done} of 5 done\n" for done in range(6)),
    ),
    data(
        "batch/one-invalid",
        f"batch {OUTING} given/bad.toml --out rows.csv --workers 1",
        3,
        aside="".join(f"{done} of 2 done\n" for done in range(3)),
    ),
    data("batch/no-place", f"batch {OUTING} --out none/rows.csv --workers 1", 3),
]

KITS = [
    data("prove/holds", f"prove {OUTING} --kit {KIT}"),
    data("prove/fails", f"prove {OUTING} --kit given/weak-kit.json", 4),
    data("prove/unknown-parts", f"prove {OUTING} --kit given/unknown-kit.json", 3),
    data("prove/no-kit", f"prove {OUTING} --kit {OUTING}", 3),
    data("odds/chosen", f"odds {OUTING} --kit {KIT}"),
    data("odds/weak", f"odds {OUTING} --kit given/weak-kit.json --days 500 --seed 7"),
    data("odds/no-days", f"odds {OUTING} --kit {KIT} --days 0", 3),
    data("tune/log", f"tune {OUTING} {LOG} --kit {KIT}"),
    data("tune/written", f"tune {OUTING} {LOG} --kit {KIT} --write"),
    data("tune/one-trip", f"tune {OUTING} given/one-trip.csv --kit {KIT}"),
    data("tune/bad-log", f"tune {OUTING} given/bad-log.csv --kit {KIT}", 3),
    data("tune/short-log", f"tune {OUTING} given/short-log.csv --kit {KIT}", 3),
]

FILES = [
    data("catalog-check/shipped", "catalog check"),
    data("catalog-check/odd", "catalog check --catalog given/odd-catalog"),
    data("catalog-check/invalid", "catalog check --catalog given/bad-catalog", 3),
    data("catalog-list/all", "catalog list"),
    data(
        "catalog-add/motor",
        "catalog add motor --catalog given/odd-catalog",
        typed="us\nTransom motor 55\n12 V\n55\n50\n\n\n36\n\n$219.99\n\n",
        kept={
            "stderr": f"{EXPECTED}/catalog-add/questions.txt",
            "given/odd-catalog/motors.csv": f"{EXPECTED}/catalog-add/motors.csv",
        },
    ),
    data("catalog-list/two-kinds", "catalog list fuses motors --catalog given/odd-catalog"),
    data("catalog-add/missing", "catalog add motor --catalog none", 3),
    data("catalog-list/missing", "catalog list --catalog none", 3),
    data("start/made", "start boat", kept={"boat/outing.toml": f"{EXPECTED}/start/made.toml"}),
    data(
        "start/asked",
        "start boat --ask",
        typed=ENTER,
        kept={
            "stderr": f"{EXPECTED}/start/questions.txt",
            "boat/outing.toml": f"{EXPECTED}/start/asked.toml",
        },
    ),
    data("start/taken", "start examples", 3),
]

CASES = [*SCREENS, *SHEETS, *PICK, *STUDIES, *KITS, *FILES]
