"""The boat drawn to scale, with no text over another or over the edge."""

from dataclasses import replace
from math import radians, tan
from types import SimpleNamespace
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings

from drawings.boats import (
    POSSIBLE,
    about,
    advised,
    crowded,
    cut_off,
    laden,
    named,
    parsed,
    rings,
    texts,
    with_kit,
)
from keelwatt.drawings import boat_key
from keelwatt.drawings.boat import from_above, from_the_side
from keelwatt.drawings.scene import MOST_LOADS, Scene, tilt
from keelwatt.drawings.svg import Drawing
from keelwatt.drawings.symbols import CENTRE
from keelwatt.explain.advise import Advice
from keelwatt.explain.balance import balance
from keelwatt.files.kit import Kit, grams
from keelwatt.files.outing import Outing, Place

ROUNDED = 0.02
"""Two decimals are written."""

HOSTILE = (
    "<script>alert(1)</script>",
    "\"double\" & 'single' \\ ]]> <!--",
    "Lorem ipsum dolor sit amet " * 8,
    "\u05e9\u05e7\u05d9\u05ea \u05d4\u05e1\u05d5\u05dc\u05dc\u05d5\u05ea \u0645\u062d\u0631\u0643",
    "\u96fb\u6c60\u7bb1" * 30,
)


def drawings(advice: Advice) -> tuple[Drawing, Drawing]:
    return from_above(advice), from_the_side(advice)


@pytest.mark.parametrize("name", POSSIBLE)
def test_compartments_and_bank_are_to_scale(name: str) -> None:
    advice = advised(name)
    assert advice.proof is not None
    outing, kit = advice.outing, advice.proof.assessment.kit
    plan = from_above(advice)
    boxes = {box.name: (box, *named(plan, box.name)[0]) for box in outing.craft.compartments}
    motor_x, motor_y, _, _ = named(plan, "motor")[0]
    mount = next(mount for mount in outing.craft.mounts if mount.name == kit.mount)
    first, x, y, _, _ = boxes[kit.compartment]
    scale = (x - motor_x) / (first.x_m - mount.x_m)
    assert scale > 20
    for box, at_x, at_y, width, height in boxes.values():
        assert at_x - x == pytest.approx(scale * (box.x_m - first.x_m), abs=5 * ROUNDED)
        assert at_y - y == pytest.approx(scale * (box.y_m - first.y_m), abs=ROUNDED)
        assert width == pytest.approx(scale * box.length_m, abs=ROUNDED)
        assert height == pytest.approx(scale * box.width_m, abs=ROUNDED)
    assert motor_y - y == pytest.approx(scale * (mount.y_m - first.y_m), abs=ROUNDED)
    block = balance(advice.case, advice.proof).block
    assert block is not None
    bank_x, bank_y, wide, high = named(plan, "bank")[0]
    assert (bank_x, bank_y) == pytest.approx((x, y), abs=ROUNDED)
    assert (wide, high) == pytest.approx(tuple(scale * s for s in block.size[:2]), abs=ROUNDED)


@pytest.mark.parametrize("name", POSSIBLE)
def test_the_hull_is_the_one_resistance_is_computed_with(name: str) -> None:
    advice = advised(name)
    craft = advice.outing.craft
    plan = parsed(from_above(advice))
    outline = next(node for node in plan.iter() if node.get("class") == "hull").attrib["points"]
    corners = [tuple(map(float, pair.split(","))) for pair in outline.split()]
    left, right = min(x for x, _ in corners), max(x for x, _ in corners)
    scale = (right - left) / craft.waterline_length_m
    for x, y in corners:
        share = abs(2 * (x - (left + right) / 2) / (right - left))
        half = craft.waterline_beam_m / 2 * (1 - share**craft.waterplane_fineness)
        assert abs(y) == pytest.approx(scale * half, abs=5 * ROUNDED)


@pytest.mark.parametrize("name", POSSIBLE)
def test_heights_are_to_scale_from_the_side(name: str) -> None:
    advice = advised(name)
    assert advice.proof is not None
    load_case, proof = advice.case, advice.proof
    afloat = balance(load_case, proof)
    assert afloat.block is not None
    drawn = from_the_side(advice)
    (_, along_y, wide, high), (_, across_y, deep, tall) = named(drawn, "bank")
    assert high / wide == pytest.approx(afloat.block.size[2] / afloat.block.size[0], rel=0.01)
    assert tall / deep == pytest.approx(afloat.block.size[2] / afloat.block.size[1], rel=0.01)
    scale = wide / afloat.block.size[0]
    _, motor_y, _, _ = named(drawn, "motor")[0]
    rise_m = proof.chosen.mount.z_m - proof.chosen.compartment.z_m
    assert along_y - motor_y == pytest.approx(scale * rise_m, abs=2 * ROUNDED)
    _, box_y, _, box_high = named(drawn, proof.chosen.compartment.name)[0]
    room_m = load_case.outing.policy.clearance_m
    assert box_y + box_high / 2 - (along_y + high / 2) == pytest.approx(scale * room_m, abs=0.1)
    assert across_y > along_y
    lift_m = proof.chosen.mount.z_m - afloat.buoyancy.z_m
    lift_y = rings(drawn, CENTRE / 2 - 1)[0][1]
    assert lift_y - motor_y == pytest.approx(scale * lift_m, abs=2 * ROUNDED)
    assert len(rings(drawn, CENTRE / 2 - 1)) == len(("along", "across", "key"))


@pytest.mark.parametrize("name", POSSIBLE)
def test_no_text_is_over_another_or_over_the_edge(name: str) -> None:
    for drawing in drawings(advised(name)):
        assert texts(drawing)
        assert not [text.words for text in texts(drawing) if "…" in text.words]
        assert crowded(drawing) == []
        assert cut_off(drawing) == []


@given(laden())
@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_any_boat_can_be_drawn(outing_and_kit: tuple[Outing, Kit]) -> None:
    for drawing in drawings(with_kit(*outing_and_kit)):
        assert crowded(drawing) == []
        assert cut_off(drawing) == []


def test_loads_in_one_place_are_told_apart() -> None:
    advice = advised(POSSIBLE[0])
    load = advice.outing.aboard[0]
    many = tuple(
        load.model_copy(update={"name": f"load {n}", "mass_kg": 1.0 + n}) for n in range(20)
    )
    crowd = about(advice.outing.model_copy(update={"aboard": many}), advice.proof)
    for drawing in drawings(crowd):
        assert crowded(drawing) == []
    words = [text.words for text in texts(from_above(crowd))]
    assert {str(n) for n in range(1, MOST_LOADS + 1)} <= set(words)
    assert "load 19" in words
    assert "load 0" not in words
    lighter = sum(grams(one.mass_kg) for one in many[:8]) // 1000
    assert words[words.index("8 lighter loads, together") + 1] == f"{lighter}.0 kg"


@pytest.mark.parametrize("hostile", HOSTILE)
def test_hostile_names_are_text(hostile: str) -> None:
    advice = advised(POSSIBLE[0])
    assert advice.proof is not None
    outing = advice.outing
    box = next(b for b in outing.craft.compartments if b == advice.proof.chosen.compartment)
    bad_box = box.model_copy(update={"name": hostile})
    boxes = tuple(bad_box if b == box else b for b in outing.craft.compartments)
    loads = (outing.aboard[0].model_copy(update={"name": hostile}), *outing.aboard[1:])
    craft = outing.craft.model_copy(update={"compartments": boxes})
    chosen = replace(advice.proof.chosen, compartment=bad_box)
    renamed = outing.model_copy(update={"craft": craft, "aboard": loads})
    bad = about(renamed, replace(advice.proof, chosen=chosen))
    for drawing in drawings(bad):
        assert "<script" not in drawing.__html__()
        assert named(drawing, hostile)
        assert crowded(drawing) == []
        assert cut_off(drawing) == []


def test_what_is_read_out_names_places_and_numbers() -> None:
    """The stern sinks by half the waterline times the tangent of the trim."""
    advice = advised("reservoir-sampling")
    plan, side = drawings(advice)
    assert advice.proof is not None
    (trim,) = (one for one in advice.proof.assessment.limits if one.name == "trim")
    sunk_cm = 50 * advice.outing.craft.waterline_length_m * tan(radians(trim.has))
    assert "The bank stands in tank well, the motor hangs at stern." in plan.described
    told = f"Trim: stern {sunk_cm:.1f} cm deeper ({trim.has:.2f} deg). Heel: level."
    assert told in side.described


@pytest.mark.parametrize("name", POSSIBLE)
def test_the_end_that_floats_deeper_is_drawn_lower(name: str) -> None:
    """Turned about midship at the water; SVG turns to the right, where the bow is."""
    advice = advised(name)
    assert advice.proof is not None
    afloat, scene = balance(advice.case, advice.proof), Scene.of(advice)
    drawn = from_the_side(advice)
    turns = [
        float(node.attrib["transform"].split("(")[1].split()[0])
        for node in parsed(drawn).iter()
        if node.get("transform", "").startswith("rotate")
    ]
    tilts = [
        (afloat.trim_deg, afloat.mass.x_m, scene.trim_drawn.steeper),
        (afloat.heel_deg, afloat.mass.y_m, scene.heel_drawn.steeper),
    ]
    slopes = [steeper * tan(radians(deg)) * (1 if at > 0 else -1) for deg, at, steeper in tilts]
    shown = [slope for slope in slopes if slope]
    assert [tan(radians(turn)) for turn in turns] == pytest.approx(shown, abs=1e-4)
    lower = "bow down" if afloat.mass.x_m > 0 else "stern down"
    words = [text.words for text in texts(drawn)]
    assert (lower in words) is (afloat.trim_deg >= 0.005)
    assert words.count("water") == 2


@pytest.mark.parametrize(("deg", "told"), [(0.0049, "starboard"), (0.0051, "starboard down")])
def test_level_is_what_two_decimals_tell_as_nothing(deg: float, told: str) -> None:
    scene: Any = SimpleNamespace(
        balance=SimpleNamespace(heel_deg=deg, mass=Place(x_m=0.0, y_m=0.01, z_m=0.2))
    )
    assert boat_key.sides(scene, ("port", "", "starboard")) == ("port", "", told)


@pytest.mark.parametrize(
    ("deg", "towards", "draft_m", "slope", "steeper"),
    [
        (1.0, 1.0, 0.5, 0.08728, 5),
        (1.0, -1.0, 0.10, -0.03491, 2),
        (3.0, 1.0, 0.02, 0.05241, 1),
        (90.0, 1.0, 0.1, 0.5, 1),
        (0.0, 1.0, 0.1, 0.0, 5),
    ],
)
def test_a_tilt_is_drawn_steeper_as_far_as_the_keel_stays_wet(
    deg: float, towards: float, draft_m: float, slope: float, steeper: int
) -> None:
    """Half a waterline of 2 m at 1 degree: 3.49 cm, of 8 cm that 10 cm of draught leave."""
    drawn = tilt(deg, towards, half_m=2.0, draft_m=draft_m)
    assert drawn.slope == pytest.approx(slope, abs=1e-5)
    assert drawn.steeper == steeper


def test_a_hull_is_drawn_to_its_depth() -> None:
    """The harbour dinghy's is given; without it the sides are dotted, and the key says so."""
    advice = advised("harbour-dinghy")
    depth_m = advice.outing.craft.depth_m
    assert depth_m is not None and advice.proof is not None
    drawn = from_the_side(advice)
    side = next(
        node
        for node in parsed(drawn).iter()
        if node.get("class") == "hull" and node.tag.endswith("polygon")
    )
    y = [float(pair.split(",")[1]) for pair in side.attrib["points"].split()]
    _, _, _, high = named(drawn, advice.proof.chosen.compartment.name)[0]
    scale = high / advice.proof.chosen.compartment.height_m
    assert max(y) - min(y) == pytest.approx(scale * depth_m, abs=ROUNDED)
    words = [text.words for text in texts(drawn)]
    freeboard_m = depth_m - balance(advice.case, advice.proof).draft_m
    assert words[words.index("freeboard, upright") + 1] == f"{100 * freeboard_m:.0f} cm"
    craft = advice.outing.craft.model_copy(update={"depth_m": None})
    bare = about(advice.outing.model_copy(update={"craft": craft}), advice.proof)
    told = [text.words for text in texts(from_the_side(bare))]
    assert "sides above the water: height not given" in told
    assert "freeboard, upright" not in told


def test_without_a_kit_there_is_nothing_to_draw() -> None:
    with pytest.raises(ValueError, match="no boat to draw"):
        from_above(replace(advised(POSSIBLE[0]), proof=None))


def test_a_bank_in_boxes_is_drawn_with_their_outsides() -> None:
    """Two of 345 x 220 x 265 mm side by side; with 1.05 kg each 38.9 kg together."""
    advice = advised("reservoir-sampling")
    block = advice.balance.block
    assert block
    assert sorted(block.unit) == [0.22, 0.265, 0.345]
    assert advice.proof
    (told,) = [thing.told for thing in Scene.of(advice).compartments if thing.chosen]
    assert told == "bank in boxes, 38.9 kg"
    strapped = replace(
        advice, proof=with_kit(advice.outing, replace(advice.proof.assessment.kit, box=None)).proof
    )
    (told,) = [thing.told for thing in Scene.of(strapped).compartments if thing.chosen]
    assert told == "bank, 37.5 kg"
