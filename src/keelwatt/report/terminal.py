"""The answer to the main job, and a kit's proof, in a terminal."""

from collections.abc import Iterable, Iterator

from keelwatt import words
from keelwatt.boat.facts import Facts
from keelwatt.explain.advise import Advice
from keelwatt.prove import Limit, Proof
from keelwatt.report.cautions import cautions, warnings
from keelwatt.report.explanations import nothing, what_it_costs, what_was_left_out
from keelwatt.report.screen import Column, Screen
from keelwatt.wiring.shopping import Line, arrangement, shopping_list

LEG_COLUMNS = (
    Column("Leg"),
    *(
        Column(title, number=True)
        for title in ("Speed", "Time", "Thrust", "Current", "Charge", "Left")
    ),
)


def pick(screen: Screen, advice: Advice, *, left_out: bool = False) -> None:
    """The answer to the main job, or what stands in its way."""
    screen.say(advice.outing.title, style="bold")
    if advice.proof is None:
        nothing(screen, advice)
    else:
        _kit(screen, advice, advice.proof)
    if left_out:
        what_was_left_out(screen, advice)


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
    rows = [shopping_row(line, arrangement(assessment.kit)) for line in lines]
    rows.append(["Together", "", words.money(totals.price_cents), words.kilograms(totals.mass_g)])
    screen.table(
        shopping_columns(currency),
        rows,
        total=True,
    )
    ids = dict.fromkeys(line.part for line in lines)
    screen.say(f"In the catalog: {', '.join(ids)}.", style="dim")
    if advice.by == "season":
        screen.say(f"Spread over each part's life: {words.money(totals.season_cents)} a season.")
    _legs(screen, proof)
    _limits(screen, assessment.limits, advice)
    what_it_costs(screen, advice)
    notes = tuple(warnings(facts))
    if notes:
        screen.heading("Take this answer with care")
        screen.items(notes)
    screen.heading("Be careful")
    screen.items(cautions(facts, chosen))


def shopping_columns(currency: str) -> list[Column]:
    return [
        Column("Part"),
        Column("Where"),
        Column(currency, number=True),
        Column("Mass", number=True),
    ]


def shopping_row(line: Line, layout: str) -> list[str]:
    """Part, where it goes, price, mass; ``layout``: how batteries are joined."""
    layout = f", {layout}" if line.kind == "battery" and layout else ""
    quantity = "" if line.quantity == "1 x" else f"{line.quantity} "
    price = "yours" if line.owned else words.money(line.price_cents)
    mass = words.kilograms(line.mass_g) if line.mass_g else "ashore"
    return [f"{quantity}{line.name}{layout}", line.where, price, mass]


def _legs(screen: Screen, proof: Proof) -> None:
    screen.heading("The day")
    screen.table(LEG_COLUMNS, leg_rows(proof))
    for sentence in day_told(proof):
        screen.say(sentence)


def leg_rows(proof: Proof) -> list[list[str]]:
    """The legs under ``LEG_COLUMNS``."""
    ends = {end.name: end for end in proof.leg_ends}
    return [
        [
            leg.name,
            words.speed(leg.speed_m_s),
            words.duration(leg.hours),
            f"{leg.thrust_n:.0f} N",
            f"{words.number(leg.battery_a)} A",
            f"{words.number(leg.charge_ah)} Ah",
            f"{words.number(ends[leg.name].left_ah)} Ah",
        ]
        for leg in proof.assessment.legs
    ]


def day_told(proof: Proof) -> Iterator[str]:
    """What is left after the last leg, and for how much longer it would do."""
    assessment = proof.assessment
    parts = [f"Left on returning: {proof.minutes[-1].left_ah:.0f} of {proof.full_ah:.0f} Ah"]
    parts.append(f"{proof.keep_ah:.0f} must stay in")
    if assessment.device_ah:
        parts.append(f"devices take {words.number(assessment.device_ah)}")
    yield "; ".join(parts) + "."
    times = assessment.hours_at_limit
    if times != float("inf"):
        yield f"The bank would serve {times:.2f} times these hours."


def _limits(screen: Screen, limits: Iterable[Limit], advice: Advice | None) -> None:
    limits = tuple(limits)
    binding = advice.binding if advice else frozenset()
    for kind, title in (("wish", "Your wishes"), ("rule", "Rules, kept whatever you wish")):
        screen.heading(title)
        rows = [
            [
                words.LABELS[limit.name],
                words.needs(limit),
                words.has(limit),
                words.room(limit),
                remark(limit, limit.name in binding),
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
        better = "lighter" if advice.by == "mass" else "cheaper"
        screen.say(f"binds: without this limit alone a {better} kit would do.")


def remark(limit: Limit, binds: bool) -> str:
    """ "binds, tight" beside a limit, or that it is broken."""
    if not limit.holds:
        return "BROKEN"
    return ", ".join(word for word, is_so in (("binds", binds), ("tight", limit.tight)) if is_so)


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
            f"{words.LABELS[limit.name]} ({limit.name}): {words.needs(limit)} asked, "
            f"{words.has(limit)} found"
        )
    yield from proof.failures
