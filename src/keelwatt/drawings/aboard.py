"""What is aboard as one eye sees it: compartments, bank, cable, motor, loads, centre of mass."""

from collections.abc import Iterator

from markupsafe import Markup

from keelwatt.drawings import symbols
from keelwatt.drawings.marks import Box, Mark
from keelwatt.drawings.scene import Scene, Thing
from keelwatt.drawings.svg import element, points
from keelwatt.drawings.views import Eye

CABLE = "5 3"
"""Dashes of the cable."""

SPOT = 9.0
HEAD_WIDTH, HEAD_HEIGHT = 11.0, 8.0
BLADE = 4.0
"""Units of what is drawn by a sign: mounts and controllers, a motor's head, a blade's edge."""


def shapes(scene: Scene, eye: Eye) -> Iterator[Markup]:
    """Everything aboard, the lower things first; free places are not seen from astern."""
    for thing in _shown(scene.compartments, eye):
        class_ = "accent" if thing.chosen else "line"
        yield symbols.rectangle(eye.box(thing.at, thing.size_m), class_, thing.name)
    block = scene.balance.block
    if block:
        cells = (block.rows, block.columns, 1)
        yield symbols.batteries(
            _bank(scene, eye),
            right=cells[eye.right],
            down=cells[eye.down],
            units=scene.proof.assessment.kit.units,
        )
    corners = [eye.point(at.x_m, at.y_m, at.z_m) for at in scene.cable]
    yield element(
        "polyline", points=points(corners), stroke_dasharray=CABLE, **symbols.drawn_as("accent")
    )
    for thing in _shown(scene.mounts, eye):
        yield symbols.cross(_spot(eye.box(thing.at)))
    for thing in scene.controllers:
        yield symbols.solid(_spot(eye.box(thing.at)), "controller")
    blade, top = _blade(scene, eye), eye.box(scene.shaft_top)
    yield symbols.stroke((top.x, top.y), (blade.x, blade.y), "accent")
    yield symbols.rectangle(blade, "soft-fill", round_=True)
    yield symbols.rectangle(blade, "accent", "propeller", round_=True)
    yield symbols.solid(_head(scene, eye), "motor")
    for load in scene.case.outing.aboard:
        at = eye.box(load)
        yield symbols.dot(at.x, at.y)
    mass, lift = eye.box(scene.balance.mass), eye.box(scene.balance.buoyancy)
    if eye.down == 2:
        yield symbols.centre_of_buoyancy(lift.x, lift.y)
    yield symbols.centre_of_mass(mass.x, mass.y)


def marks(scene: Scene, eye: Eye) -> Iterator[Mark]:
    """Numbers on the loads, letters beside compartments, mounts and controller."""
    for thing in scene.loads:
        yield Mark(thing.sign, eye.box(thing.at))
    for thing in _shown(scene.compartments, eye):
        yield Mark(thing.sign, eye.box(thing.at, thing.size_m), outside=True)
    for thing in _shown(scene.mounts, eye):
        spot = _head(scene, eye) if thing.chosen else _spot(eye.box(thing.at))
        yield Mark(thing.sign, spot, outside=True)
    for thing in scene.controllers:
        yield Mark(thing.sign, _spot(eye.box(thing.at)), outside=True)


def kept_clear(scene: Scene, eye: Eye) -> Iterator[Box]:
    """What no mark may hide."""
    mass, lift = eye.box(scene.balance.mass), eye.box(scene.balance.buoyancy)
    yield Box(mass.x, mass.y, symbols.CENTRE, symbols.CENTRE)
    if eye.down == 2:
        yield Box(lift.x, lift.y, symbols.CENTRE, symbols.CENTRE)
    yield from (_head(scene, eye), _blade(scene, eye), _bank(scene, eye))
    yield from (_spot(eye.box(thing.at)) for thing in _shown(scene.mounts, eye))
    yield from (_spot(eye.box(thing.at)) for thing in scene.controllers)


def extent(scene: Scene, eye: Eye) -> Iterator[Box]:
    yield from kept_clear(scene, eye)
    for corner in scene.corners:
        yield Box(*eye.point(*corner), 5.0, 5.0)


def _shown(things: tuple[Thing, ...], eye: Eye) -> tuple[Thing, ...]:
    return things if eye.right == 0 else tuple(thing for thing in things if thing.chosen)


def _bank(scene: Scene, eye: Eye) -> Box:
    block = scene.balance.block
    return eye.box(scene.proof.chosen.compartment, block.size if block else (0.0, 0.0, 0.0))


def _blade(scene: Scene, eye: Eye) -> Box:
    at, across = eye.box(scene.propeller), eye.scale * scene.proof.chosen.motor.propeller_m
    return Box(at.x, at.y, BLADE if eye.right == 0 else across, across)


def _head(scene: Scene, eye: Eye) -> Box:
    at = eye.box(scene.proof.chosen.mount)
    return Box(at.x, at.y, HEAD_WIDTH, HEAD_HEIGHT)


def _spot(at: Box) -> Box:
    return Box(at.x, at.y, SPOT, SPOT)
