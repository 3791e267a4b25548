"""What the commands may be asked with; options that always go together are one class."""

from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

if TYPE_CHECKING:
    from keelwatt.files.catalog.reader import Catalog


class By(StrEnum):
    cost = "cost"
    mass = "mass"
    season = "season"


class System(StrEnum):
    us = "us"
    metric = "metric"
    mixed = "mixed"


class Solver(StrEnum):
    highs = "highs"
    cbc = "cbc"


OutingFile = Annotated[Path, typer.Argument(metavar="OUTING", help="The outing file (TOML).")]
CatalogFolder = Annotated[
    Path | None,
    typer.Option(
        "--catalog",
        metavar="DIR",
        help="Folder of catalog files; else the folder catalog beside the outing, "
        "else ./catalog, else the packaged one.",
    ),
]
SecondsOption = Annotated[
    float | None,
    typer.Option("--seconds", metavar="SECONDS", min=0.001, help="Stop a solve after this long."),
]
KitFile = Annotated[
    Path, typer.Option("--kit", metavar="KIT.json", help="What `keelwatt pick --json` printed.")
]


@dataclass(frozen=True)
class Shelf:
    """Where the parts are."""

    catalog: CatalogFolder = None

    @property
    def typed(self) -> dict[str, str]:
        """Options to be repeated in a command that follows this one."""
        return {"--catalog": str(self.catalog)} if self.catalog else {}

    def read(self, outing: Path | None = None) -> "Catalog":
        """The catalog asked for, else the one beside the outing, here, or packaged."""
        from keelwatt.files.catalog.reader import read_catalog
        from keelwatt.files.catalog.shipped import shipped_catalog

        homes = [Path()] if outing is None else [outing.parent, Path()]
        near = (home / "catalog" for home in homes if (home / "catalog").is_dir())
        return read_catalog(self.catalog or next(near, None) or shipped_catalog())


@dataclass(frozen=True)
class Choosing(Shelf):
    """What is chosen from, by what, and how it is proved."""

    by: Annotated[
        By | None, typer.Option("--by", help="What to make least; else what the outing wishes.")
    ] = None
    solver: Annotated[Solver, typer.Option("--solver", help="Which solver proves the answer.")] = (
        Solver.highs
    )

    @property
    def typed(self) -> dict[str, str]:
        return super().typed | ({"--by": self.by.value} if self.by else {})

    @property
    def wishes(self) -> dict[str, Any]:
        """As the core takes them."""
        return {"by": self.by.value if self.by else None, "solver": self.solver.value}


@dataclass(frozen=True)
class Timed(Choosing):
    seconds: SecondsOption = None

    @property
    def wishes(self) -> dict[str, Any]:
        return super().wishes | {"seconds": self.seconds}


@dataclass(frozen=True)
class PageFile:
    """An HTML file beside what is printed."""

    page: Annotated[
        Path | None,
        typer.Option(
            "--page",
            metavar="FILE.html",
            help="Also write the answer as one HTML file to read, print or send.",
        ),
    ] = None
    again: Annotated[bool, typer.Option("--again", help="Write over files of an earlier run.")] = (
        False
    )


@dataclass(frozen=True)
class Form:
    """How the answer is shown."""

    units: Annotated[
        System | None,
        typer.Option("--units", help="Units to write in; else as you typed in the outing."),
    ] = None
    full: Annotated[bool, typer.Option("--full", help="Everything, not the first screen only.")] = (
        False
    )
    as_json: Annotated[bool, typer.Option("--json", help="Print data instead of text.")] = False
    no_color: Annotated[bool, typer.Option("--no-color", help="Plain text without colours.")] = (
        False
    )

    @property
    def typed(self) -> dict[str, str]:
        return {"--units": self.units.value} if self.units else {}
