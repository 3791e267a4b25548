"""What people read in a terminal, from 40 columns up."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from keelwatt.advise import Advice
from keelwatt.cautions import cautions, warnings
from keelwatt.choose.sums import Measure
from keelwatt.facts import Facts
from keelwatt.present import words
from keelwatt.prove import Limit, Proof
from keelwatt.shopping import Line, arrangement, shopping_list

NARROW = 70
"""Below this width a table becomes a list."""


@dataclass(frozen=True)
class Column:
    """A heading; whether its cells are numbers, set to the right, or words never broken."""

    title: str
    number: bool = False
    whole: bool = False


class Screen:
    """Prints blocks to a console, each in the shape its width allows."""

    def __init__(self, console: Console) -> None:
        self.console = console

    @classmethod
    def open(cls, *, no_color: bool = False, stderr: bool = False) -> "Screen":
        """A screen on the process's own output."""
        return cls(Console(stderr=stderr, no_color=no_color or None, highlight=False, emoji=False))

    @property
    def narrow(self) -> bool:
        return self.console.width < NARROW

    def heading(self, text: str) -> None:
        self.console.print()
        self.console.print(Text(text, style="bold"))

    def say(self, text: str, style: str = "") -> None:
        self.console.print(Text(text, style=style))

    def items(self, texts: Iterable[str]) -> None:
        grid = Table.grid(padding=(0, 1))
        grid.add_column()
        grid.add_column(overflow="fold")
        for text in texts:
            grid.add_row("-", Text(text))
        self.console.print(grid)

    def table(
        self, columns: Sequence[Column], rows: Sequence[Sequence[str]], *, total: bool = False
    ) -> None:
        """A table; on a narrow screen each row becomes its first cell and the others below it."""
        if self.narrow:
            self._list(columns, rows)
            return
        table = Table(box=None, padding=(0, 2, 0, 0), pad_edge=False, header_style="dim")
        for column in columns:
            table.add_column(
                column.title,
                justify="right" if column.number else "left",
                no_wrap=column.number or column.whole,
                overflow="fold",
            )
        for row in rows[:-1] if total else rows:
            table.add_row(*(Text(cell) for cell in row))
        if total:
            table.add_row(*(Text(cell, style="bold") for cell in rows[-1]))
        self.console.print(table)

    def _list(self, columns: Sequence[Column], rows: Sequence[Sequence[str]]) -> None:
        for row in rows:
            self.say(row[0], style="bold")
            cells = zip(columns[1:], row[1:], strict=True)
            told = ", ".join(f"{c.title.lower()} {cell}".strip() for c, cell in cells if cell)
            self.console.print(Padding(Text(told), (0, 0, 0, 2)))


def pick(screen: Screen, advice: Advice, *, left_out: bool = False) -> None:
    """The answer to the main job, or what stands in its way."""
    screen.say(advice.outing.title, style="bold")
    if advice.proof is None:
        _nothing(screen, advice)
    else:
        _kit(screen, advice, advice.proof)
    if left_out:
        _left_out(screen, advice)


def _kit(screen: Screen, advice: Advice, proof: Proof) -> None:
    assessment = proof.assessment
    totals, currency = assessment.totals, advice.outing.currency
    facts = Facts(advice.outing)
    chosen = proof.chosen
    best = words.MEASURES[advice.by]
    proved = (
        f"The {best} that meets every limit, proved best"
        if advice.status == "best"
        else f"A kit that meets every limit; time ran out before it was proved the {best}"
    )
    screen.say(
        f"{proved}: {words.money(totals.price_cents)} {currency} to buy, "
        f"{words.kilograms(totals.mass_g)} to carry."
    )
    screen.heading("What to buy")
    lines = shopping_list(assessment.kit, chosen, advice.outing.parts)
    rows = [_shopping_row(line, arrangement(assessment.kit)) for line in lines]
    rows.append(["Together", "", words.money(totals.price_cents), words.kilograms(totals.mass_g)])
    screen.table(
        [
            Column("Part"),
            Column("Where"),
            Column(currency, number=True),
            Column("Mass", number=True),
        ],
        rows,
        total=True,
    )
    ids = dict.fromkeys(line.part for line in lines)
    screen.say(f"In the catalog: {', '.join(ids)}.", style="dim")
    if advice.by == "season":
        screen.say(f"Spread over each part's life: {words.money(totals.season_cents)} a season.")
    _legs(screen, proof)
    _limits(screen, assessment.limits, advice)
    notes = tuple(warnings(facts))
    if notes:
        screen.heading("Take this answer with care")
        screen.items(notes)
    screen.heading("Be careful")
    screen.items(cautions(facts, chosen))


def _shopping_row(line: Line, layout: str) -> list[str]:
    layout = f", {layout}" if line.kind == "battery" and layout else ""
    quantity = "" if line.quantity == "1 x" else f"{line.quantity} "
    price = "yours" if line.owned else words.money(line.price_cents)
    mass = words.kilograms(line.mass_g) if line.mass_g else "ashore"
    return [f"{quantity}{line.name}{layout}", line.where, price, mass]


def _legs(screen: Screen, proof: Proof) -> None:
    assessment = proof.assessment
    screen.heading("The day")
    ends = {end.name: end for end in proof.leg_ends}
    rows = [
        [
            leg.name,
            words.speed(leg.speed_m_s),
            words.duration(leg.hours),
            f"{leg.thrust_n:.0f} N",
            f"{words.number(leg.battery_a)} A",
            f"{words.number(leg.charge_ah)} Ah",
            f"{words.number(ends[leg.name].left_ah)} Ah",
        ]
        for leg in assessment.legs
    ]
    screen.table(
        [
            Column("Leg"),
            *(
                Column(title, number=True)
                for title in ("Speed", "Time", "Thrust", "Current", "Charge", "Left")
            ),
        ],
        rows,
    )
    parts = [f"Left on returning: {proof.minutes[-1].left_ah:.0f} of {proof.full_ah:.0f} Ah"]
    parts.append(f"{proof.keep_ah:.0f} must stay in")
    if assessment.device_ah:
        parts.append(f"devices take {words.number(assessment.device_ah)}")
    screen.say("; ".join(parts) + ".")
    times = assessment.hours_at_limit
    if times != float("inf"):
        screen.say(f"The bank would serve {times:.2f} times these hours.")


def _limits(screen: Screen, limits: Iterable[Limit], advice: Advice | None) -> None:
    limits = tuple(limits)
    binding = advice.binding if advice else frozenset()
    for kind, title in (("wish", "Your wishes"), ("rule", "Rules, kept whatever you wish")):
        screen.heading(title)
        rows = [
            [
                words.LIMITS[limit.name],
                words.needs(limit),
                words.has(limit),
                words.room(limit),
                _remark(limit, limit.name in binding),
            ]
            for limit in limits
            if limit.kind == kind and (limit.name != "parts" or not limit.holds)
        ]
        screen.table(
            [
                Column("Limit", whole=True),
                Column("Asked", number=True),
                Column("This kit", number=True),
                Column("Room", number=True),
                Column(""),
            ],
            rows,
        )
    if advice and binding:
        measure: Measure = advice.by
        better = "lighter" if measure == "mass" else "cheaper"
        screen.say(f"binds: without this limit alone a {better} kit would do.")


def _remark(limit: Limit, binds: bool) -> str:
    if not limit.holds:
        return "BROKEN"
    return ", ".join(word for word, is_so in (("binds", binds), ("tight", limit.tight)) if is_so)


def _nothing(screen: Screen, advice: Advice) -> None:
    if advice.status == "unproved":
        screen.say(
            "Time ran out before a kit was found. Run again with more seconds: --seconds 60."
        )
        return
    screen.say("No kit in the catalog meets every limit. This is proved, not guessed.")
    alone = [shut for shut in advice.shut_out if shut.alone]
    opens = [shut for shut in advice.shut_out if shut.opens]
    if alone:
        screen.heading("These limits alone shut everything out")
        screen.items(f"{words.LIMITS[s.name]} ({s.name})" for s in alone)
    wishes = [shut for shut in opens if shut.wish]
    if wishes:
        screen.heading("Giving up one of these alone lets a kit in")
        screen.items(
            f"{words.LIMITS[s.name]} ({s.name}): then from {_measured(s.least, advice)}"
            for s in wishes
        )
    elif not alone:
        screen.say("No single limit is to blame: two or more of them shut everything out together.")
    if advice.empty:
        screen.heading("Before any limit was weighed")
        screen.items(advice.empty)
    if not wishes:
        screen.say(
            "Loosen several wishes in the outing (hours, speed, budget, lift) or add parts to the "
            "catalog, then run pick again; --left-out lists what was left out and why."
        )


def _measured(value: int | None, advice: Advice) -> str:
    if value is None:
        return ""
    if advice.by == "mass":
        return words.kilograms(value)
    return f"{words.money(value if advice.by == 'cost' else value / 100)} {advice.outing.currency}"


def _left_out(screen: Screen, advice: Advice) -> None:
    screen.heading("Left out before the choice")
    excluded = advice.excluded[advice.excluded["wholly"]]
    if excluded.empty:
        screen.say("Nothing: every part of the catalog could be used somehow.")
        return
    screen.table(
        [
            Column("Part"),
            Column("Rule"),
            Column("Has", number=True),
            Column("Bound", number=True),
            Column("Where"),
        ],
        [
            [
                str(row["part"]),
                words.LIMITS[str(row["rule"])],
                words.quantity(float(row["value"]), str(row["unit"])),
                words.quantity(float(row["bound"]), str(row["unit"])),
                str(row["where"]),
            ]
            for row in excluded.to_dict("records")
        ],
    )


def prove(screen: Screen, proof: Proof, title: str) -> None:
    """A kit held against an outing."""
    screen.say(title, style="bold")
    if proof.holds:
        screen.say("This kit keeps every limit, and the day simulated minute by minute agrees.")
    else:
        screen.say("This kit does NOT meet the outing:")
        screen.items(_broken(proof))
    _legs(screen, proof)
    _limits(screen, proof.assessment.limits, None)


def _broken(proof: Proof) -> Iterator[str]:
    for limit in proof.assessment.broken:
        yield (
            f"{words.LIMITS[limit.name]} ({limit.name}): {words.needs(limit)} asked, "
            f"{words.has(limit)} found"
        )
    yield from proof.failures
