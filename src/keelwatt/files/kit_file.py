"""Reading a kit from JSON: what ``pick --json`` prints, or its ``kit`` alone."""

import json
from collections.abc import Iterable, Iterator
from difflib import get_close_matches
from pathlib import Path
from typing import Annotated, Any

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from keelwatt.errors import InputError, Problem
from keelwatt.files.catalog.reader import Catalog
from keelwatt.files.kit import Kit
from keelwatt.files.opened import contents
from keelwatt.files.outing import Outing


class _Strict(BaseModel):
    model_config = ConfigDict(extra="forbid", strict=True, allow_inf_nan=False)


class _Bank(_Strict):
    id: str
    series: Annotated[int, Field(ge=1, le=16)] = 1
    parallel: Annotated[int, Field(ge=1, le=64)] = 1
    compartment: str
    box: str | None = None


class _Motor(_Strict):
    id: str
    mount: str


class _Cable(_Strict):
    id: str
    run_m: Annotated[float | None, Field(gt=0, le=1000)] = None


class _KitFile(_Strict):
    battery: _Bank
    motor: _Motor
    controller: str | None = None
    cable: _Cable
    fuse: str
    connector: str
    charger: str | None = None


def read_kit(path: Path, catalog: Catalog, outing: Outing) -> Kit:
    """The kit in a file, its run taken from the outing where the file gives none.
    InputError: with every problem of the file."""
    text = contents(path, absent="give the path of a kit file")
    try:
        data: Any = json.loads(text.decode("utf-8-sig"))
    except (ValueError, RecursionError) as error:
        row = error.lineno if isinstance(error, json.JSONDecodeError) else None
        remedy = "save one with `keelwatt pick OUTING --json > kit.json`"
        raise InputError.at(path, "is not JSON", remedy, row=row) from None
    if isinstance(data, dict) and "kit" in data:
        data = data["kit"]
    if data is None:
        what, remedy = "holds no kit: nothing met the limits", "give a file with a kit in it"
        raise InputError.at(path, what, remedy, key="kit")
    try:
        kit = _kit(_KitFile.model_validate(data), outing)
    except ValidationError as error:
        raise InputError(_schema_problems(str(path), error)) from None
    if unknown := tuple(_unknown(str(path), kit, catalog, outing)):
        raise InputError(unknown)
    return kit


def _kit(written: _KitFile, outing: Outing) -> Kit:
    craft, bank, motor = outing.craft, written.battery, written.motor
    box = next((each for each in craft.compartments if each.name == bank.compartment), None)
    mount = next((each for each in craft.mounts if each.name == motor.mount), None)
    run_m = written.cable.run_m
    if run_m is None:
        controlled = written.controller is not None
        run_m = craft.run_m(box, mount, controlled=controlled) if box and mount else 1.0
    return Kit(
        battery=bank.id,
        series=bank.series,
        parallel=bank.parallel,
        compartment=bank.compartment,
        motor=motor.id,
        mount=motor.mount,
        controller=written.controller,
        cable=written.cable.id,
        run_m=run_m,
        fuse=written.fuse,
        connector=written.connector,
        charger=written.charger,
        box=bank.box,
    )


def _schema_problems(file: str, error: ValidationError) -> Iterator[Problem]:
    for found in error.errors(include_url=False):
        key = ".".join(str(part) for part in found["loc"]) or None
        value = None if found["type"] == "missing" else repr(found["input"])
        stray = found["type"] == "extra_forbidden"
        remedy = "leave it out" if stray else "see `keelwatt prove --help`"
        yield Problem(file=file, key=key, value=value, what=found["msg"].lower(), remedy=remedy)


def _unknown(file: str, kit: Kit, catalog: Catalog, outing: Outing) -> Iterator[Problem]:
    """Every id and place of the kit that does not exist."""
    craft = outing.craft
    wanted: tuple[tuple[str, str | None, Iterable[str]], ...] = (
        ("battery.id", kit.battery, catalog.ids("batteries")),
        ("battery.box", kit.box, (b.id for b in catalog.boxes if b.holds == "battery")),
        ("battery.compartment", kit.compartment, (each.name for each in craft.compartments)),
        ("motor.id", kit.motor, catalog.ids("motors")),
        ("motor.mount", kit.mount, (each.name for each in craft.mounts)),
        ("controller", kit.controller, catalog.ids("controllers")),
        ("cable.id", kit.cable, catalog.ids("cables")),
        ("fuse", kit.fuse, catalog.ids("fuses")),
        ("connector", kit.connector, catalog.ids("connectors")),
        ("charger", kit.charger, catalog.ids("chargers")),
    )
    for key, value, names in wanted:
        if value is None or value in (known := tuple(names)):
            continue
        close = get_close_matches(value, known, n=1)
        remedy = f"did you mean {close[0]}?" if close else f"choose from {', '.join(known[:8])}"
        what = "is neither in the catalog nor the craft"
        yield Problem(file=file, key=key, value=value, what=what, remedy=remedy)
