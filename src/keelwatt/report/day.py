"""The day leg by leg, and where the charge goes."""

from collections.abc import Callable, Iterator

from keelwatt import words
from keelwatt.proof import Proof
from keelwatt.proof.model import LegResult
from keelwatt.report.blocks import Blocks, Column, Heading, Say, numbers, table
from keelwatt.units import shown

LEG_COLUMNS = [
    Column("Leg"),
    *numbers("Speed", "Time", "Thrust", "Control", "Current", "Charge", "Left"),
]


def day(proof: Proof) -> Blocks:
    yield Heading("The day")
    yield table(LEG_COLUMNS, leg_rows(proof, words.setting_in_short))
    for sentence in (*_control_told(proof), *day_told(proof)):
        yield Say(sentence)
    yield from charge_told(proof)


def _control_told(proof: Proof) -> Iterator[str]:
    """What the short words of the control's column stand for."""
    legs = [leg for leg in proof.assessment.legs if leg.battery_a]
    if any(leg.throttle is not None for leg in legs):
        yield "Control: the throttle, a share of full."
    steps = {words.setting_in_short(leg): words.setting(leg) for leg in legs if leg.steps}
    if steps:
        yield f"Control: {', '.join(f'{short} means {long}' for short, long in steps.items())}."


def charge_told(proof: Proof) -> Blocks:
    """From what is printed on the battery to what the day may take."""
    yield Heading("Where the ampere-hours go")
    rows = [[step.capitalize(), f"{ah:.1f} Ah"] for step, ah in proof.where_the_charge_goes]
    yield table((Column("From the label to the day"), *numbers("Charge")), rows)


def leg_rows(proof: Proof, setting: Callable[[LegResult], str]) -> list[list[str]]:
    """The legs under ``LEG_COLUMNS``."""
    ends = {end.leg: end for end in proof.leg_ends}
    return [
        [
            leg.name,
            words.speed(leg.speed_m_s),
            words.duration(leg.hours),
            shown.force(leg.thrust_n),
            setting(leg),
            f"{words.number(leg.battery_a)} A",
            f"{words.number(leg.charge_ah)} Ah",
            f"{words.number(ends[leg.name].left_ah)} Ah",
        ]
        for leg in proof.assessment.legs
    ]


def day_told(proof: Proof) -> Iterator[str]:
    """What is left after the last leg, and for how much longer it would do."""
    assessment = proof.assessment
    yield f"Charge left at the end: {charge_left(proof)}."
    if assessment.device_ah:
        yield f"Devices used {words.number(assessment.device_ah)} Ah."
    times = assessment.hours_at_limit
    if times != float("inf"):
        yield f"The battery would last {times:.2f} times the planned hours."


def charge_left(proof: Proof) -> str:
    """After the last leg: "51 of 80 Ah (reserve 48 Ah)"."""
    left, keep = proof.minutes[-1].left_ah, proof.keep_ah
    return f"{left:.0f} of {proof.full_ah:.0f} Ah (reserve {keep:.0f} Ah)"
