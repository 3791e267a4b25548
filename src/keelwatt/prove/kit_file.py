"""Reading a kit from JSON: what ``pick --json`` prints, or its ``kit`` alone."""

import json
from collections.abc import Iterator
from difflib import get_close_matches
from pathlib import Path
from typing import Annotated, Any

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from keelwatt.errors import InputError, Problem
from keelwatt.files.kit import Kit
from keelwatt.prove import Assessor
from keelwatt.prove.craft import Craft


class _Strict(BaseModel):
    model_config = ConfigDict(extra="forbid", strict=True)


class _Bank(_Strict):
    id: str
    series: Annotated[int, Field(ge=1)] = 1
    parallel: Annotated[int, Field(ge=1)] = 1
    compartment: str


class _Motor(_Strict):
    id: str
    mount: str


class _Cable(_Strict):
    id: str
    run_m: Annotated[float | None, Field(gt=0)] = None


class _KitFile(_Strict):
    battery: _Bank
    motor: _Motor
    controller: str | None = None
    cable: _Cable
    fuse: str
    connector: str
    charger: str | None = None


def read_kit(path: Path, assessor: Assessor) -> Kit:
    """The kit in a file, its run taken from the outing where the file gives none.

    Raises
    ------
    InputError
        With every problem of the file.
    """
    file = str(path)
    try:
        data: Any = json.loads(path.read_text(encoding="utf-8-sig"))
    except OSError as error:
        what = f"cannot be read: {error.strerror or error}"
        raise InputError([_problem(file, what, "give the path of a kit file")]) from None
    except (UnicodeDecodeError, json.JSONDecodeError) as error:
        row = error.lineno if isinstance(error, json.JSONDecodeError) else None
        remedy = "save one with `keelwatt pick OUTING --json > kit.json`"
        raise InputError([_problem(file, "is not JSON", remedy, row=row)]) from None
    if isinstance(data, dict) and "kit" in data:
        data = data["kit"]
    if data is None:
        what, remedy = "holds no kit: nothing met the limits", "give a file with a kit in it"
        raise InputError([_problem(file, what, remedy, key="kit")])
    try:
        written = _KitFile.model_validate(data)
    except ValidationError as error:
        raise InputError(_schema_problems(file, error)) from None
    kit = _kit(written, assessor.craft)
    unknown = assessor.unknown_names(kit)
    if unknown:
        raise InputError(_unknown(file, unknown))
    return kit


def _kit(written: _KitFile, craft: Craft) -> Kit:
    places = craft.outing.craft
    box = next((c for c in places.compartments if c.name == written.battery.compartment), None)
    mount = next((m for m in places.mounts if m.name == written.motor.mount), None)
    run_m = written.cable.run_m
    if run_m is None:
        run_m = craft.run_m(box, mount) if box and mount else 1.0
    return Kit(
        battery=written.battery.id,
        series=written.battery.series,
        parallel=written.battery.parallel,
        compartment=written.battery.compartment,
        motor=written.motor.id,
        mount=written.motor.mount,
        controller=written.controller,
        cable=written.cable.id,
        run_m=run_m,
        fuse=written.fuse,
        connector=written.connector,
        charger=written.charger,
    )


def _problem(
    file: str,
    what: str,
    remedy: str,
    *,
    row: int | None = None,
    key: str | None = None,
    value: str | None = None,
) -> Problem:
    return Problem(file, row, None, key, value, what, remedy)


def _schema_problems(file: str, error: ValidationError) -> Iterator[Problem]:
    for found in error.errors(include_url=False):
        key = ".".join(str(part) for part in found["loc"]) or None
        value = None if found["type"] == "missing" else repr(found["input"])
        remedy = (
            "leave it out" if found["type"] == "extra_forbidden" else "see `keelwatt prove --help`"
        )
        yield _problem(file, found["msg"].lower(), remedy, key=key, value=value)


def _unknown(file: str, unknown: tuple[tuple[str, str, tuple[str, ...]], ...]) -> Iterator[Problem]:
    for key, value, there_is in unknown:
        close = get_close_matches(value, there_is, n=1)
        remedy = f"did you mean {close[0]}?" if close else f"choose from {', '.join(there_is[:8])}"
        yield _problem(
            file, "is neither in the catalog nor the craft", remedy, key=key, value=value
        )
