"""An outing on its way to be written."""

from keelwatt import words
from keelwatt.edit.apply import Applied
from keelwatt.edit.whatif import WhatIf
from keelwatt.report.blocks import Blocks, Say
from keelwatt.report.kits import to_pay_and_carry

STYLES = {"+": "green", "-": "red"}


def difference(result: Applied) -> Blocks:
    """The lines that change."""
    yield Say(result.advice.outing.title, style="bold")
    yield from changed_lines(result.difference)


def done(result: Applied, backup: str) -> Blocks:
    """What was written, and what to do next."""
    kit = f"Now there is a kit: {to_pay_and_carry(result.advice)}. See it with"
    yield from written(result.advice.outing.file, backup, kit)


def made(result: WhatIf, backup: str) -> Blocks:
    """What was written, and how to see the kit that goes with it."""
    yield from written(result.after.outing.file, backup, "See the kit with")


def changed_lines(difference: str) -> Blocks:
    """A unified difference."""
    for line in difference.splitlines():
        yield Say(line, style=STYLES.get(line[:1], ""))


def written(file: str, backup: str, next_: str) -> Blocks:
    """Where it is, where what was there is, and what to do next."""
    yield Say("")
    yield Say(f"Written to {file}; the old text is in {backup}.")
    yield Say(next_)
    yield Say(f"  {words.command('pick', file)}", paste=True)
