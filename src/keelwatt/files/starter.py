"""A starter folder: a commented outing and a copy of the catalog."""

import shutil
from importlib.resources import files
from pathlib import Path

from keelwatt.errors import InputError
from keelwatt.files.catalog.shipped import shipped_catalog
from keelwatt.files.outing.comments import commented
from keelwatt.files.whole import beside
from keelwatt.units.writing import us_quantities

YOURS = ("batteries", "motors", "controllers", "chargers")
"""What one shops for; the rest of a catalog is small parts, typical until others are put in."""


def make_starter(folder: Path, name: str, text: str, *, bare: bool = False) -> Path:
    """Make ``folder`` whole or not at all; one that is there already is left alone.
    ``name``, ``text``: the file to put beside the catalog; ``bare``: no part in the files of
    ``YOURS``.
    InputError: if the folder is there, or cannot be made."""
    refuse_taken(folder)
    try:
        folder.parent.mkdir(parents=True, exist_ok=True)
        with beside(folder) as made:
            whole = made / "whole"
            shutil.copytree(
                shipped_catalog(), whole / "catalog", ignore=shutil.ignore_patterns("[!a-z]*")
            )
            for file in (whole / "catalog" / f"{stem}.csv" for stem in YOURS if bare):
                header, *_ = file.read_text(encoding="utf-8").splitlines()
                file.write_text(f"{header}\n", encoding="utf-8")
            (whole / name).write_text(text, encoding="utf-8")
            whole.rename(folder)
    except OSError as error:
        what = f"cannot be made: {error.strerror or error}"
        raise InputError.at(folder, what, "give a folder you may write to") from None
    return folder


def starter_outing(*, us: bool = False) -> str:
    """The outing to begin from, with the model's comments."""
    return commented(template(us=us))


def template(*, us: bool = False) -> str:
    """The outing to begin from, without comments; ``us``: in units of the United States."""
    text = (files("keelwatt.files") / "starter.toml").read_text(encoding="utf-8")
    return us_quantities(text) if us else text


def refuse_taken(folder: Path) -> None:
    """InputError if there is something of that name."""
    if folder.exists():
        raise InputError.at(folder, "is there already; nothing was changed", "give a new name")
