"""A way out on its way into the outing, in a terminal."""

from keelwatt import words
from keelwatt.edit.apply import Applied
from keelwatt.report.screen import Screen

STYLES = {"+": "green", "-": "red"}


def difference(screen: Screen, result: Applied) -> None:
    """The lines that change."""
    screen.say(result.advice.outing.title, style="bold")
    for line in result.difference.splitlines():
        screen.say(line, style=STYLES.get(line[:1], ""))


def done(screen: Screen, result: Applied, backup: str) -> None:
    """What was written, and what to do next."""
    assert result.advice.proof is not None
    totals, outing = result.advice.proof.assessment.totals, result.advice.outing
    screen.say("")
    screen.say(f"Written to {outing.file}; what it said before is in {backup}.")
    screen.say(
        f"Now there is a kit: {words.money(totals.price_cents)} {outing.currency} to buy, "
        f"{words.kilograms(totals.mass_g)} to carry. See it with"
    )
    screen.say(f"  keelwatt pick {outing.file}")


def refused(screen: Screen) -> None:
    screen.say("Nothing was written.")
