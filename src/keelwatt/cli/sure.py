"""pick --sure: the best kit whose day goes as planned with a chance."""

from typing import TYPE_CHECKING, Annotated, Any

import typer

if TYPE_CHECKING:
    from keelwatt.chance.sure import Sure
    from keelwatt.explain.advise import Advice
    from keelwatt.files.catalog.reader import Catalog
    from keelwatt.files.outing import Outing
    from keelwatt.report.screen import Screen

SureOption = Annotated[
    str | None,
    typer.Option(
        "--sure", metavar="95%", help="The best kit whose day goes as planned with this chance."
    ),
]


def chance_of(text: str | None, way_out: int | None) -> float | None:
    """The chance asked for, if any."""
    if text is None:
        return None
    from keelwatt.chance.sure import chance_asked

    return chance_asked(text, applying=way_out is not None)


def advised(
    outing: "Outing", catalog: "Catalog", share: float | None, **wishes: Any
) -> "tuple[Advice, Sure | None]":
    """The answer, and what it was chosen over if a chance was asked for."""
    if share is None:
        from keelwatt.explain.advise import advise

        return advise(outing, catalog, **wishes), None
    from keelwatt.chance.sure import sure

    certain = sure(outing, catalog, share, **wishes)
    return certain.advice, certain


def sure_data(certain: "Sure | None") -> dict[str, Any]:
    """What JSON holds besides."""
    if certain is None:
        return {}
    from keelwatt.report import odds_data

    return odds_data.sure(certain)


def show(screen: "Screen", advice: "Advice", certain: "Sure | None", *, left_out: bool) -> None:
    """The answer, and how sure it is if that was asked."""
    if certain:
        from keelwatt.report import sure

        sure.pick(screen, certain, left_out=left_out)
    else:
        from keelwatt.report import terminal

        terminal.pick(screen, advice, left_out=left_out)
