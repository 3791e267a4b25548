"""Every type of drive that an outing allows, as columns."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from keelwatt.boat.arrays import Bools, Floats, Ints, alike
from keelwatt.boat.drive import OPEN, Drive, step_ohm, warming
from keelwatt.boat.turned import Turned, across_kg_m, mount_moment_n_m
from keelwatt.files.catalog.parts import Motor
from keelwatt.files.kit import (
    grams,
    just_below,
    season_units,
    to_buy,
)
from keelwatt.kits.account import FILTERS
from keelwatt.kits.allowed import Columns, Offer, whole
from keelwatt.kits.shelf import worthwhile
from keelwatt.limits import enters
from keelwatt.physics import protection
from keelwatt.physics.bank import State, bank_voltage_v
from keelwatt.physics.metric import conductor_ohm_m, contacts_ohm


@dataclass(frozen=True)
class DriveTypes(Offer):
    """A drive type is a motor with its control on a kind of mount, in the catalog's order."""

    @cached_property
    def drive_types(self) -> Ints:
        """(motor, controller or -1 for the motor's own control) of every type, shape (n, 2)."""
        return self._drive_types[:, :2]

    @cached_property
    def driver(self) -> Ints:
        """Number of each drive type's motor with its control, in the catalog's order.

        Alike for every mount, so that equal kits come in the order of their mounts.
        """
        return alike(*self.drive_types.T)[1]

    @cached_property
    def driven_alike(self) -> Ints:
        """Number of each drive type's motor on its kind of mount, chopped or by its own steps."""
        motor, _, kind = self._drive_types.T
        return alike(motor, kind, self.drive["chopper"])[1]

    @cached_property
    def _mount_kinds(self) -> tuple[Floats, Bools]:
        """(height above the keel and moment held, each two once; which mount is of which kind)."""
        mounts = self.case.outing.craft.mounts
        each = [(m.z_m, m.held_n_m) for m in mounts]
        kinds, number = np.unique(each, axis=0, return_inverse=True)
        return kinds, np.arange(len(kinds))[:, None] == number.ravel()

    @cached_property
    def _drive_types(self) -> Ints:
        """(motor, controller, kind of mount) of every type, shape (n, 3).

        The deeper a shaft goes, the more it drags, and a mount holds so much: mounts of one height
        that hold the same make one type.
        Controllers that another beats for the same motor are left out: one beats another if it is
        no dearer, no heavier and no less efficient, stands as much heat, and is truly better in
        price or mass or comes earlier in the catalog. Every limit grows with a controller's price
        and mass and eases with its efficiency, so a beaten one is in no best kit.
        """
        hung = np.flatnonzero(self._hangs.any(axis=1)).tolist()
        found = [(m, -1) for m in hung] if None in self.controllers else []
        by_needs: dict[tuple[int, float], list[int]] = {}
        least_a = self.on_lowest[0].tolist()
        for number in hung:
            motor = self.motors[number]
            if motor.control == "stepped":
                by_needs.setdefault((motor.system_v, least_a[number]), []).append(number)
        efficiency, stands_c = np.array(
            [(c.efficiency, c.max_temperature_c) if c else (0.0, 0.0) for c in self.controllers]
        ).T
        low, high, amperes = self._controller_reach.T
        price, mass = (sums[:-1] for sums in self._controller_sums)

        def of(numbers: Ints, *virtues: Floats) -> Ints:
            """Those of the numbered controllers that none of them beats."""
            if self.every_control:
                return numbers
            each = np.column_stack([efficiency, stands_c, *virtues])[numbers]
            return numbers[worthwhile(price[numbers], mass[numbers], each)]

        worth = of(np.flatnonzero([c is not None for c in self.controllers]), -low, high, amperes)
        known = dict[bytes, list[int]]()
        for (system_v, current_a), motors in by_needs.items():
            needs = float(protection.smallest_controller_a(max_current_a=current_a))
            able = (low <= system_v) & (system_v <= high) & (amperes >= just_below(needs))
            numbers = worth[able[worth]]
            if numbers.tobytes() not in known:
                known[numbers.tobytes()] = of(numbers).tolist()
            for controller in known[numbers.tobytes()]:
                found += [(motor, controller) for motor in motors]
        drives = np.array(sorted(found), dtype=np.int64).reshape(len(found), 2)
        of_kind = self._hangs @ self._mount_kinds[1].T
        drive, kind = np.nonzero(of_kind[drives[:, 0]])
        return np.column_stack([drives[drive], kind])

    @cached_property
    def _hangs(self) -> Bools:
        """Whether a motor reaches the water from a mount that may hold it, (motors, mounts)."""
        mounts = self.case.outing.craft.mounts
        needed = np.array([just_below(mount.shaft_needed_m or 0.0) for mount in mounts])
        least, held = self.on_lowest[1], np.array([m.held_n_m for m in mounts])
        reaches = self._motors["shaft_m"][:, None] >= needed
        return np.asarray(reaches & (just_below(least)[:, None] <= held))

    @property
    def any_hangs(self) -> bool:
        return bool(self._hangs.any())

    @cached_property
    def hangs(self) -> Bools:
        """By drive type, shape (types, mounts)."""
        return np.asarray(
            self._hangs[self.drive_types[:, 0]] & self._mount_kinds[1][self._drive_types[:, 2]]
        )

    @cached_property
    def _controller_reach(self) -> Floats:
        """Lowest and highest system and current of each controller, shape (n, 3)."""
        return np.array(
            [
                (c.min_system_v, c.max_system_v, c.current_a) if c else (0.0, 0.0, 0.0)
                for c in self.controllers
            ]
        ).reshape(-1, 3)

    @cached_property
    def _controller_sums(self) -> tuple[Ints, Ints]:
        """Price to pay and mass of each controller in its box; the last stands for none."""
        parts, (box_cents, box_g) = self.case.outing.parts, self._control_box
        price = [
            to_buy(parts, c.id, 1) * c.price_cents + box_cents if c else 0 for c in self.controllers
        ]
        mass = [grams(c.mass_kg) + box_g if c else 0 for c in self.controllers]
        return whole([*price, 0]), whole([*mass, 0])

    @cached_property
    def _control_box(self) -> tuple[int, int]:
        """Cents and grams of the closed box round a controller, if there is one."""
        got = self.shelf.beside.control_box()
        return (round(got.to_pay), round(got.grams)) if got else (0, 0)

    @cached_property
    def drive(self) -> Columns:
        """The drives' columns, and what leans a boat when a motor is turned across."""
        columns, draft_m = self._drive, float(self.case.draft_m(self.case.heaviest_kg))
        drive = Drive.of_columns(columns)
        full = across_kg_m(drive, self._claimed_n, draft_m)
        turning = Turned(self.case).kg_m(drive)
        return {**columns, "turning_kg_m": turning, "full_turning_kg_m": full}

    @property
    def _drive(self) -> Columns:
        """Every drive type's column under the names of :data:`keelwatt.kits.table.DRIVE`."""
        return self._columns(self._drive_types)

    def _columns(self, types: Ints) -> Columns:
        """The columns of types (motor, controller or -1, kind of mount), of shape (n, 3)."""
        motor, controller, kind = types.T
        own = {name: of[..., motor] for name, of in self._motors.items()}
        extra_cost, controller_g = (sums[controller] for sums in self._controller_sums)
        control_g = controller_g - np.where(controller >= 0, self._control_box[1], 0)
        price = own["price_cents"] + extra_cost
        efficiency = np.array([*(c.efficiency if c else 1.0 for c in self.controllers), 1.0])
        apart = controller >= 0
        return {
            **own,
            "price_cents": price,
            "season_units": price * season_units(1),
            "mass_g": own["motor_g"] + controller_g,
            "controller_g": controller_g,
            "piece_g": np.maximum(own["motor_g"], control_g),
            "chopper": apart | own["chopper"],
            "over": apart & self.case.outing.craft.control_apart,
            "control_a": np.where(apart, self._control_a[controller], np.inf),
            "efficiency": np.where(apart, efficiency[controller], own["efficiency"]),
            "hung_m": self._mount_kinds[0][kind, 0],
            **self._warming(controller),
        }

    @cached_property
    def _motors(self) -> Columns:
        """What each motor brings into its drives, on the last axis."""
        case, motors, wishes = self.case, self.motors, self.case.outing.parts
        own = ["current_a", "no_load_a", "winding", "efficiency", "tube_m", "pod_m", "shaft_m"]
        return {
            **{name: np.array([getattr(m, name) for m in motors], dtype=float) for name in own},
            "price_cents": whole(to_buy(wishes, m.id, 1) * m.price_cents for m in motors),
            "motor_g": whole(grams(m.mass_kg) for m in motors),
            "system_v": whole(m.system_v for m in motors),
            "ends_ohm": self._plugs_ohm + np.array([_lead_ohm(m) for m in motors]),
            "claimed_n": np.array([m.thrust_n for m in motors], dtype=float),
            "thrust_n": np.array([case.thrust_n(m) for m in motors]),
            "no_thrust_speed_m_s": np.array([case.no_thrust_speed_m_s(m) for m in motors]),
            "chopper": np.array([m.control == "chopper" for m in motors], dtype=bool),
            "step_ohm": self._step_ohm,
        }

    @property
    def _plugs_ohm(self) -> float:
        return contacts_ohm(plugs=self.case.outing.policy.disconnects)

    @enters(FILTERS, "control_heat")
    def _warming(self, controller: Ints) -> Columns:
        """What tells which couples keep their control cool enough, by each drive's controller.

        The hardest leg's power only grows with displacement, so it is one more demand of the day.
        """
        each = [warming(self.case, control) for control in (*self.controllers, None)]
        k_w, most_c = np.array(each).T
        return {"warming_k_w": k_w[controller], "warmest_c": most_c[controller]}

    @property
    def _claimed_n(self) -> Floats:
        """Each drive type's thrust as the catalog has it."""
        return np.asarray(self._motors["claimed_n"][self.drive_types[:, 0]])

    @cached_property
    def _control_a(self) -> Floats:
        return np.array([*(c.current_a if c else np.inf for c in self.controllers), np.inf])

    @property
    def _step_ohm(self) -> Floats:
        """Of every motor, shape (steps, motors); where one has fewer, its switch is open."""
        each = [step_ohm(motor) for motor in self.motors]
        most = max((ohm.size for ohm in each), default=1)
        padded = [np.concatenate([np.full(most - ohm.size, OPEN), ohm]) for ohm in each]
        return np.array(padded).reshape(len(each), most).T

    @cached_property
    def _least_fresh(self) -> float:
        """The least a full battery has of its system's voltage."""
        kinds = {battery.chemistry for battery in self.batteries}
        share = {kind: voltage_share(kind, "fresh") for kind in kinds}
        ratios = (b.voltage_v * share[b.chemistry] / b.system_v for b in self.batteries)
        return min(ratios, default=1.0)

    @cached_property
    def on_lowest(self) -> tuple[Floats, Floats]:
        """What a control and a mount must stand of each motor at the least, on whatever bank."""
        fresh_v = self.alone.system_v * self._least_fresh
        moment_n_m = mount_moment_n_m(self.alone, self._motors["claimed_n"], fresh_v)
        return self.alone.rated_a(fresh_v), moment_n_m

    @cached_property
    def alone(self) -> Drive:
        """Each motor with no control but its own, on the first kind of mount."""
        motor = np.arange(len(self.motors))
        none = np.full_like(motor, -1)
        return Drive.of_columns(self._columns(np.column_stack([motor, none, 0 * motor])))


def _lead_ohm(motor: Motor) -> float:
    """Of a motor's own lead, there and back."""
    area_mm2, by_area = motor.lead
    return 2 * motor.lead_m * conductor_ohm_m(area_mm2=area_mm2, by_area=by_area)


def voltage_share(chemistry: str, state: State) -> float:
    """Of a battery's nominal voltage in some state."""
    return float(bank_voltage_v(chemistry=chemistry, nominal_voltage_v=1.0, state=state))
