"""The command as a user runs it: a process of its own, forked from one that has imported it all.

Importing is half of a short command's time, so a server imports once for each worker of the suite
and forks for every call. What a process reads before it imports anything (encodings, locale) cannot
be given to a fork: ``fresh`` starts a new interpreter.
"""

import atexit
import json
import os
import subprocess
import sys
import tempfile
from collections.abc import Mapping
from functools import cache
from pathlib import Path

ROOT = Path(__file__).parents[1]
RUN = "from keelwatt.cli import main; main()"
EARLY = {"LC_ALL", "LANG", "PYTHONIOENCODING", "PYTHONUTF8", "TERM", "PYTHONPATH"}
"""Read by an interpreter, or a library, as it starts."""

SERVER = """
import atexit, importlib, json, os, pkgutil, sys, traceback
import keelwatt.cli, pandas, pulp, jinja2, rich.console, rich.table, rich.progress
for module in pkgutil.walk_packages(keelwatt.__path__, "keelwatt."):
    if not module.name.endswith("__main__"):
        importlib.import_module(module.name)
for line in sys.stdin:
    asked = json.loads(line)
    child = os.fork()
    if not child:
        for number, (path, flags) in enumerate(asked["streams"]):
            opened = os.open(path, flags)
            os.dup2(opened, number)
            os.close(opened)
        sys.stdin, sys.stdout, sys.stderr = (
            open(number, mode, encoding="utf-8", errors=errors, closefd=False)
            for number, mode, errors in ((0, "r", "surrogateescape"), (1, "w", "strict"),
                                         (2, "w", "backslashreplace"))
        )
        os.chdir(asked["cwd"])
        os.environ.clear()
        os.environ.update(asked["env"])
        sys.argv = ["keelwatt", *asked["arguments"]]
        try:
            exec(asked["script"], {"__name__": "__main__"})
            status = 0
        except SystemExit as end:
            status = end.code if isinstance(end.code, int) else int(end.code is not None)
        except BaseException:
            traceback.print_exc()
            status = 1
        atexit._run_exitfuncs()
        sys.stdout.flush()
        sys.stderr.flush()
        # An interpreter taken down orderly copies every page it shares with the server.
        os._exit(status)
    print(os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]), flush=True)
"""


def keelwatt(
    *arguments: str,
    cwd: Path = ROOT,
    typed: bytes = b"",
    before: str = "",
    fresh: bool = False,
    env: Mapping[str, str] | None = None,
    **environment: str,
) -> subprocess.CompletedProcess[str]:
    """How ``keelwatt ARGUMENTS`` ends and what it says, in 80 columns unless ``COLUMNS`` is given.

    ``typed``: on its stdin; ``before``: Python run first.
    """
    asked_for = {**(env or {}), **environment}
    env = {**os.environ, "COLUMNS": "80", **asked_for}
    script = f"{before}\n{RUN}"
    if fresh or EARLY & asked_for.keys():
        command = [sys.executable, "-c", script, *arguments]
        ran = subprocess.run(
            command, cwd=cwd, env=env, input=typed, capture_output=True, check=False
        )
        return subprocess.CompletedProcess(
            command, ran.returncode, ran.stdout.decode(), ran.stderr.decode()
        )
    with tempfile.TemporaryDirectory() as folder:
        streams = [Path(folder) / name for name in ("stdin", "stdout", "stderr")]
        streams[0].write_bytes(typed)
        flags = (os.O_RDONLY, *(os.O_WRONLY | os.O_CREAT | os.O_APPEND,) * 2)
        asked = {
            "arguments": arguments,
            "cwd": str(cwd),
            "env": env,
            "script": script,
            "streams": [(str(path), flag) for path, flag in zip(streams, flags, strict=True)],
        }
        status = _asked(json.dumps(asked))
        out, err = (path.read_bytes().decode() for path in streams[1:])
    return subprocess.CompletedProcess(list(arguments), status, out, err)


def _asked(line: str) -> int:
    server = _server()
    assert server.stdin and server.stdout
    print(line, file=server.stdin, flush=True)
    return int(server.stdout.readline())


@cache
def _server() -> subprocess.Popen[str]:
    server = subprocess.Popen(
        [sys.executable, "-c", SERVER], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    )
    atexit.register(server.kill)
    return server
