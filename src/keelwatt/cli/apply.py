"""keelwatt pick --apply"""

from pathlib import Path
from typing import TYPE_CHECKING

from keelwatt.cli.common import IMPOSSIBLE, OK, confirmed, open_screen, print_json

if TYPE_CHECKING:
    from keelwatt.explain.advise import Advice


def apply(
    outing: Path, text: str, advice: "Advice", number: int, *, as_json: bool, no_color: bool
) -> int:
    """Show the difference, ask if somebody is there to answer, write, say what was done."""
    from keelwatt.edit.apply import apply_way
    from keelwatt.edit.rewrite import rewrite
    from keelwatt.report import whatif_data
    from keelwatt.report.applied import difference, done, refused

    result = apply_way(text, advice, number)
    screen = open_screen(no_color)
    if not as_json:
        difference(screen, result)
    agreed = confirmed(as_json)
    backup = str(rewrite(outing, result.edited.text, text)) if agreed else None
    if as_json:
        print_json(whatif_data.applied(result, backup))
    elif backup is None:
        refused(screen)
    else:
        done(screen, result, backup)
    return OK if agreed else IMPOSSIBLE
