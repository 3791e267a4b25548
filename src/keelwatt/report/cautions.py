"""What to be careful about with a kit, in plain words. Common practice; local rules come first."""

from collections.abc import Iterator, Mapping
from typing import NamedTuple

import numpy as np

from keelwatt import words
from keelwatt.boat.load_case import LoadCase
from keelwatt.explain.advise import Advice
from keelwatt.files.catalog.parts import Controller
from keelwatt.limits import LIMITS
from keelwatt.physics.bank import bank_voltage_v, slow_charger
from keelwatt.physics.battery import LEAD_ACID
from keelwatt.physics.chopper import SMALL_BOX_M, box_area_m2, box_rise_k
from keelwatt.physics.drag import TOWED_SPAN, TowedLine, within_towed_speeds
from keelwatt.physics.protection import licensed_person_advised
from keelwatt.physics.rungs import froude_number
from keelwatt.physics.shapes import (
    LEAST_SLENDERNESS,
    MOST_TRUSTED_FROUDE,
    within_thin_ship_theory,
)
from keelwatt.proof.model import Assessment, Chosen
from keelwatt.units import shown

COLD_WATER_C = 15.0
"""Below this, falling in is dangerous at once. Common practice."""


class Caution(NamedTuple):
    """A danger: its name, and what to do about it."""

    name: str
    text: str


def reservations(advice: Advice) -> Iterator[str]:
    """What would make somebody buy otherwise, each in a line or two."""
    case, craft = advice.case, advice.outing.craft
    if not _trusted(case):
        ratio = craft.waterline_length_m / craft.waterline_beam_m
        yield (
            f"speed and hours are rough. This hull is {ratio:.1f} times as long as wide, at "
            f"Froude number {_froude(case):.2f}; the theory holds from {LEAST_SLENDERNESS:g} "
            f"times, up to {MOST_TRUSTED_FROUDE:g}."
        )
    for asked, _ in _never_towed(case):
        yield f"speed and hours are rough: {asked} lies outside the speeds the boat was towed at."
    for default in advice.defaults_that_bind:
        limit = LIMITS[default]
        yield (
            f"{words.in_a_sentence(default)} decided this by its default. Set your own: "
            f"{limit.key} under [limits]."
        )


def warnings(case: LoadCase) -> Iterator[str]:
    """Where the physics is used beyond what it is trusted for."""
    craft = case.outing.craft
    yield from too_shallow(case)
    if not _trusted(case):
        yield (
            "Wave resistance is computed by thin-ship theory, trusted for hulls at least "
            f"{LEAST_SLENDERNESS:g} times as long as wide (yours: "
            f"{craft.waterline_length_m / craft.waterline_beam_m:.1f}) up to a Froude number of "
            f"{MOST_TRUSTED_FROUDE:g} (yours: {_froude(case):.2f}). Take speeds and hours with "
            "caution, and measure on the water."
        )
    for asked, line in _never_towed(case):
        slow, fast = words.speed(line.slowest_m_s), words.speed(line.fastest_m_s)
        least, most = TOWED_SPAN
        yield (
            f"The boat was towed at {slow} to {fast}; a line through that serves from {least:g} of "
            f"the one to {most:g} of the other, and {asked} lies outside. Tow it at such a speed "
            "too, or take speeds and hours with caution."
        )
    for leg, speed in zip(case.outing.legs, case.water_speeds_m_s, strict=True):
        if speed == 0.0 and leg.speed_m_s + leg.current_m_s < 0.0:
            yield (
                f"On {leg.name!r} the stream alone carries you faster than you ask; "
                "the leg counts as needing no thrust through the water."
            )


def awash(case: LoadCase) -> Iterator[str]:
    """That depth and builder's plate cannot both be right."""
    craft = case.outing.craft
    if craft.depth_m is not None and (case.freeboard_m or 0.0) <= 0.0:
        draft = shown.end(float(case.draft_m(case.heaviest_kg)))
        yield (
            f"Loaded to its plate the boat floats {draft} deep, and its depth is "
            f"{shown.end(craft.depth_m)}: measure depth from the keel to the lowest edge, and "
            "look payload_limit up."
        )


def too_shallow(case: LoadCase) -> Iterator[str]:
    """Legs that no motor drives so fast over their ground, even without a kit."""
    limits_m_s = case.shallow_limit_m_s(case.legs.depth_m[:, 0], case.bare_kg)
    for leg, speed, limit in zip(
        case.outing.legs, case.water_speeds_m_s.tolist(), limits_m_s.tolist(), strict=True
    ):
        if leg.depth_m and leg.driven and speed > limit:
            yield (
                f"In {shown.small(leg.depth_m)} of water this boat goes no faster than "
                f"{words.safely(limit, 'm/s', up=False)}, whatever drives it; {leg.name!r} asks "
                f"for {words.speed(speed)} through the water. Ask for less, or go where it is "
                "deeper."
            )


def _asked_m_s(case: LoadCase) -> Mapping[str, float]:
    """Speeds asked of hull and water, on shallow legs those in deep water that drag as much."""
    deep_m_s = case.deep_speeds_m_s(case.water_speeds_m_s, case.bare_kg)
    legs = zip(case.outing.legs, deep_m_s.tolist(), strict=True)
    asked = {repr(leg.name): speed for leg, speed in legs if leg.driven}
    top_m_s = case.outing.limits.top_speed_m_s
    return asked | ({"the top speed": top_m_s} if top_m_s else {})


def _never_towed(case: LoadCase) -> Iterator[tuple[str, TowedLine]]:
    """What is asked outside the speeds that a towed line serves for, and the line."""
    if line := case.towed_line:
        for name, speed in _asked_m_s(case).items():
            if speed > 0.0 and not within_towed_speeds(speed_m_s=speed, line=line):
                yield name, line


def _froude(case: LoadCase) -> float:
    speeds = np.array([0.0, *_asked_m_s(case).values()])
    length_m = case.outing.craft.waterline_length_m
    return float(froude_number(speed_m_s=speeds, length_m=length_m).max())


def _trusted(case: LoadCase) -> bool:
    """Whether waves come by a theory that holds for this boat, or by the boat itself."""
    craft = case.outing.craft
    size = {"length_m": craft.waterline_length_m, "beam_m": craft.waterline_beam_m}
    return bool(craft.towed or within_thin_ship_theory(froude=_froude(case), **size))


def cautions(case: LoadCase, assessment: Assessment, chosen: Chosen) -> Iterator[Caution]:
    """The usual dangers of this very kit."""
    kit, chemistry = assessment.kit, chosen.battery.chemistry
    yield Caution(
        "short circuit",
        "Short circuit: a battery can give thousands of amperes and melt a spanner. Fit the fuse "
        "within 7 in (178 mm) of the battery, cover the terminals, connect the battery last.",
    )
    if chemistry in LEAD_ACID:
        sealed = "" if chemistry == "flooded" else " even though it is sealed"
        yield Caution(
            "hydrogen",
            f"Lead-acid gives off hydrogen when charged{sealed}: charge ashore in the open air, no "
            "sparks, eye protection; it holds acid and goes bad if left discharged.",
        )
    else:
        yield Caution(
            "charging",
            "Lithium: use only a charger made for this chemistry, never charge below freezing, "
            "keep the battery's protective electronics, do not charge unattended or where people "
            "sleep.",
        )
    rated_ah, charger = kit.parallel * chosen.battery.capacity_ah, chosen.charger
    if charger and slow_charger(
        chemistry=chemistry, charger_a=charger.current_a, capacity_ah=rated_ah
    ):
        yield Caution(
            "slow charger",
            f"A {charger.current_a:g} A charger is slow for {rated_ah:g} Ah of lead-acid, which "
            f"lasts longer charged at a tenth of that or more: {rated_ah / 10:g} A.",
        )
    charging_v = bank_voltage_v(
        chemistry=chemistry,
        nominal_voltage_v=kit.series * chosen.battery.voltage_v,
        state="charging",
    )
    if licensed_person_advised(charging_voltage_v=charging_v):
        yield Caution(
            "high voltage",
            f"{charging_v:.1f} V on the charger is above 50 V, no longer an extra-low voltage "
            "(ISO 13297; ISO 16315 applies): have a licensed person wire it.",
        )
    if chosen.controller and case.outing.craft.control_box is None:
        yield Caution("hot control", _closed_box(case, assessment, chosen, chosen.controller))
    yield Caution(
        "loose battery",
        "Fasten the battery so that it stays put if the boat heels or turns over; "
        "keep water off every connection.",
    )
    if case.outing.water.temperature_c < COLD_WATER_C:
        water = shown.temperature(case.outing.water.temperature_c)
        yield Caution(
            "cold water",
            f"Cold water ({water}): falling in takes your "
            "breath and your strength within minutes. Dress for the water, not the air, and do "
            "not go alone.",
        )
    yield Caution(
        "drowning",
        "Wear a life jacket, carry paddles or oars and a way to call for help; motors fail.",
    )
    yield Caution(
        "law",
        "Keep within the builder's capacity plate. A motor may change what the law asks: "
        "registration, insurance, lights, age. Ask your local authority.",
    )
    yield Caution(
        "local codes",
        "Conductor and fuse sizes follow US rules written for inboard petrol boats (33 CFR 183), "
        "good practice here. Where local codes or a licensed electrician say otherwise, follow "
        "them.",
    )


def _closed_box(case: LoadCase, assessment: Assessment, chosen: Chosen, control: Controller) -> str:
    """How warm a separate control would grow in a common box."""
    length_m, width_m, height_m = SMALL_BOX_M
    watts = assessment.hardest_w(chosen.battery)
    area_m2 = box_area_m2(length_m=length_m, width_m=width_m, height_m=height_m)
    rise_k = box_rise_k(power_w=watts, efficiency=control.efficiency, area_m2=area_m2)
    place_c, most_c = case.outing.policy.place_temperature_c, control.max_temperature_c
    sides = " x ".join(shown.small(side) for side in SMALL_BOX_M)
    warm = place_c + float(rise_k)
    remedy = "" if warm <= most_c else " Leave it open, or take a larger box."
    return (
        f"The speed control wants air round it. On the hardest leg ({watts:.0f} W) a closed box of "
        f"{sides} holds it at {shown.temperature(warm)}, {shown.degrees(float(rise_k))} above the "
        f"air; it stands {shown.temperature(most_c)}.{remedy} Give your box as control_box under "
        "[craft], and this is a rule."
    )
