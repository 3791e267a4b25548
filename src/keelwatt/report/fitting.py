"""How battery and motor are fastened: pulls and moments in sentences."""

from collections.abc import Iterator

from keelwatt.explain.fitting import Fitting
from keelwatt.proof.model import Chosen
from keelwatt.report.blocks import Blocks, Heading, items
from keelwatt.units import shown


def fitting(fit: Fitting, chosen: Chosen) -> Blocks:
    """What holds each battery and the motor, and what a motor at the side does to the boat."""
    yield Heading("Fastening battery and motor")
    yield items(_told(fit, chosen))


def _told(fit: Fitting, chosen: Chosen) -> Iterator[str]:
    mount = chosen.mount
    mass = shown.mass(1000 * chosen.battery.mass_kg)
    yield (
        f"Battery ({mass} each): fasten each one so that a pull of "
        f"{shown.force(fit.hold_down_n)} in any direction, held for a minute, moves it at most "
        f"{shown.tiny(shown.INCH_M)}. The rule: 90 lbf (400 N) or twice its weight, whichever is "
        "less (33 CFR 183.420(a))."
    )
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
