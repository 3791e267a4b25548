"""How battery and motor are fastened: pulls and moments in sentences."""

from collections import Counter
from collections.abc import Iterator

from keelwatt.explain.fitting import Fitting
from keelwatt.files.catalog.parts import Enclosure
from keelwatt.physics.battery import LEAD_ACID
from keelwatt.physics.protection import FUSE_WITHIN_M
from keelwatt.proof.model import Chosen
from keelwatt.report.blocks import Blocks, Heading, items
from keelwatt.units import shown
from keelwatt.wiring import Netlist


def fitting(fit: Fitting, chosen: Chosen, net: Netlist) -> Blocks:
    """What holds each battery and the motor, and what a motor at the side does to the boat."""
    yield Heading("Fastening battery and motor")
    yield items(_told(fit, chosen, net))


def _boxes(chosen: Chosen, net: Netlist) -> Iterator[str]:
    """What stands in a box, or what does a box's work."""
    if box := chosen.box:
        ends = Counter(end.item for c in net.conductors for end in (c.start, c.end))
        most = max(ends[name] for string in net.strings for name in string)
        size = " x ".join(shown.tiny(side_m) for side_m in box.outer_m)
        vents = " Keep its vents open: hydrogen." if chosen.battery.chemistry in LEAD_ACID else ""
        yield (
            f"Battery box ({box.name}, {size} outside): one for each battery, its strap over it to "
            "an anchor that stands the pull above, its lid on the posts. "
            f"{_openings(most, box.outlets)} Fuses outside, within "
            f"{shown.tiny(FUSE_WITHIN_M)} of cable from the post.{vents} Lift the battery "
            "out of it to carry the two: the heaviest piece counts each by itself."
        )
    else:
        yield (
            "No battery box: screw a tray under each battery, strap it down, and put a cover on "
            "each post, so that nothing of metal can touch it (33 CFR 183.420(b))."
        )
    if got := chosen.control_box:
        openings = f" {_openings(4, got.part.outlets)}" if isinstance(got.part, Enclosure) else ""
        yield (
            f"Speed control in a closed box ({got.told}): screw it to the side that stays driest, "
            f"plus and minus in and out.{openings}"
        )


def _openings(cables: int, outlets: int) -> str:
    more = cables - outlets
    drill = f"drill {more} more, " if more > 0 else ""
    openings = "1 opening" if outlets == 1 else f"{outlets} openings"
    return f"It has {openings} for {cables} cables: {drill}a grommet in each."


def _told(fit: Fitting, chosen: Chosen, net: Netlist) -> Iterator[str]:
    mount = chosen.mount
    mass = shown.mass(1000 * chosen.battery.mass_kg)
    yield (
        f"Battery ({mass} each): fasten each one so that a pull of "
        f"{shown.force(fit.hold_down_n)} in any direction, held for a minute, moves it at most "
        f"{shown.tiny(shown.INCH_M)}. The rule: 90 lbf (400 N) or twice its weight, whichever is "
        "less (33 CFR 183.420(a))."
    )
    yield from _boxes(chosen, net)
    holds = (
        "Ask its maker whether it holds that; write what it holds as holds under [[craft.mount]]."
        if mount.holds_n_m is None
        else f"It holds {shown.si(mount.holds_n_m, 'N m')}."
    )
    yield (
        f"Mount ({mount.name}): a moment of {shown.si(fit.mount_moment_n_m, 'N m')}, "
        f"{shown.force(fit.clamp_force_n)} on each of two pads {shown.tiny(fit.pad_spacing_m)} "
        f"apart. {holds} Counted at full throttle, tethered, on a full bank, the whole claimed "
        "thrust, the shaft not slid up."
    )
    if mount.y_m:
        side = "starboard" if mount.y_m > 0 else "port"
        angle = f"{fit.steering_deg:.0f} deg"
        steer = (
            f"turn it {angle} off the centreline and it pushes through midship"
            if mount.turns
            else f"hold against that with the rudder, about {angle}"
        )
        yield (
            f"Motor to {side}: on the hardest leg its {shown.force(fit.thrust_n)} turn the boat "
            f"with {shown.si(fit.yaw_moment_n_m, 'N m')}; {steer}."
        )
