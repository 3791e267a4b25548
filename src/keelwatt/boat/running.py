"""Powertrains in boats on the legs of a day: how fast they go, how long they last."""

from dataclasses import dataclass, field, fields, replace
from functools import cached_property

import numpy as np

from keelwatt.boat.arrays import Bools, Floats, Ints, Record
from keelwatt.boat.bank import Bank
from keelwatt.boat.drive import Drive
from keelwatt.boat.legs import Legs, over, through_m_s
from keelwatt.boat.load_case import LoadCase
from keelwatt.boat.powertrain import OperatingPoint, Powertrain, Pull, Settled
from keelwatt.boat.resistance import DEEP, Resistance
from keelwatt.boat.search import crossing, last_met
from keelwatt.files.catalog.parts import Battery, Controller, Motor
from keelwatt.files.kit import Kit, just_above, just_below
from keelwatt.physics import propeller

NO_A = 1e-9
"""Current that stands for none where it divides."""

CLOSE_M_S = 1e-8
"""So far below where a motor is just within reach it surely is."""

HALVINGS = 26
"""From the speed of a motor without load down to less than 1e-7 m/s, on the safe side."""

STUCK = -1.0
"""The greatest speed of what cannot even stay where it is."""


AT_REST = OperatingPoint(np.zeros(1), np.zeros(1), np.zeros(1), np.ones(1, dtype=bool))
"""What is asked of a motor that is off."""


@dataclass(frozen=True)
class Running(Record):
    """Boats of shape (n,), each with its powertrain, all that follows of that shape.
    ``back``: what a thrust loads the motor with, of itself; more where it pulls astern.
    ``settled``: what every step settles at on the legs, see :meth:`repeatedly`."""

    case: LoadCase = field(metadata={"for_all": True})
    legs: Legs
    train: Powertrain
    water: Resistance
    back: float = field(default=1.0, metadata={"for_all": True})
    settled: Settled | None = None

    @classmethod
    def of_kit(
        cls,
        case: LoadCase,
        kit: Kit,
        parts: tuple[Battery, Motor, Controller | None],
        displacement_kg: float,
    ) -> "Running":
        """One kit, its boat's resistance on the wave integral itself."""
        battery, motor, controller = parts
        share, limits = case.usable_share(battery.chemistry), case.outing.limits
        bank = Bank.of_parts(battery, kit.series, kit.parallel, share)
        drive = Drive.of_parts(case, motor, controller, case.outing.craft.mount(kit.mount))
        train = Powertrain(bank, drive, limits.voltage_drop)
        fastest = max(float(train.idle_m_s), limits.top_speed_m_s or 0.0)
        fastest = max(fastest, float(case.water_speeds_m_s.max()))
        return cls(case, case.legs, train, Resistance.exact(case, displacement_kg, fastest))

    def at(
        self,
        ground_m_s: Floats,
        headwind_m_s: Floats,
        stream_m_s: Floats,
        depth_m: Floats = DEEP,
        *,
        reach_only: bool = False,
        on_legs: bool = False,
    ) -> OperatingPoint:
        """In any wind and stream; shapes broadcast, the boats' entries on the last axis.
        ``reach_only`` spares the search for the mean current of steps in turn, and ``on_legs`` most
        of it where it is known what every step settles at there."""
        through = through_m_s(ground_m_s, stream_m_s) * np.ones(self.water.column.shape)
        drift = ground_m_s - through
        point = self.train.point(self._pull_n(through, drift, headwind_m_s, depth_m), through)
        stepped = ~self.train.drive.chopper
        if reach_only or not stepped.any():
            return point
        rows, boats = self._stepped if stepped.ndim else (np.arange(through.shape[-1]), self)
        unclipped = bool((ground_m_s + stream_m_s >= 0.0).all())
        drift, headwind = (
            np.broadcast_to(each, through.shape)[..., rows] for each in (drift, headwind_m_s)
        )

        def pull_n(through_m_s: Floats) -> Floats:
            return boats._pull_n(through_m_s, drift, headwind, depth_m)

        def pull_of(some: Ints) -> Pull:
            those, winds = boats.of(some), (drift[..., some], headwind[..., some], depth_m)
            return lambda through_m_s: those._pull_n(through_m_s, *winds)

        still_n = np.asarray(self.back * self.case.air_n(drift, headwind))
        every = boats.settled if on_legs and unclipped else None
        mean_a = boats.train.stepped_a(pull_n, through[..., rows], still_n, every, pull_of)
        battery_a = point.battery_a.copy()
        battery_a[..., rows] = np.where(np.isnan(mean_a), battery_a[..., rows], mean_a)
        return replace(point, battery_a=battery_a)

    @cached_property
    def _stepped(self) -> tuple[Ints, "Running"]:
        """Which boats are driven by steps, and these alone."""
        boats = self.water.column.size
        rows = np.flatnonzero(~self.train.drive.chopper & np.ones(boats, dtype=bool))
        return rows, self.of(rows)

    def _pull_n(
        self, through_m_s: Floats, drift_m_s: Floats, headwind_m_s: Floats, depth_m: Floats
    ) -> Floats:
        """Thrust asked for at speeds through water that itself goes over ground."""
        air_n = self.case.air_n(through_m_s + drift_m_s, headwind_m_s)
        water, density_kg_m3 = self.water, self.case.density_kg_m3
        motor_n = self.train.drive.drag_n(through_m_s, water.draft_m[water.column], density_kg_m3)
        return np.asarray(self.back * (water.water_n(through_m_s, depth_m) + motor_n + air_n))

    def on_legs(self, ground_m_s: Floats, *, reach_only: bool = False) -> OperatingPoint:
        """At speeds over ground of shape (legs, n); nothing is asked of a motor that is off."""
        legs = self.legs
        winds = legs.headwind_m_s, legs.stream_m_s, legs.depth_m
        point = self.at(ground_m_s, *winds, reach_only=reach_only, on_legs=True)
        if self._astern.any():
            back = self._held_astern(reach_only)
            point = _where(self._astern & (back.effort > point.effort), back, point)
        return point if legs.driven.all() else _where(legs.driven, point, AT_REST)

    def repeatedly(self) -> "Running":
        """The same, what every step settles at worked out once: for many speeds of the legs."""
        stepped, few = self._stepped
        if not stepped.size:
            return self

        def pull_of(rows: Ints) -> Pull:
            return few.of(rows)._leg_pull_n

        like = np.zeros((len(self.legs.ground_m_s), stepped.size))
        settled = few.train.every_step(few._leg_pull_n, like, pull_of)
        return replace(self, settled=settled.among(stepped, self.water.column.size))

    def _leg_pull_n(self, through_m_s: Floats) -> Floats:
        legs = self.legs
        return self._pull_n(through_m_s, -legs.stream_m_s, legs.headwind_m_s, legs.depth_m)

    @property
    def _astern(self) -> Bools:
        """Legs whose place is held against what comes from behind."""
        legs = self.legs
        return legs.held & ((legs.headwind_m_s < 0.0) | (legs.stream_m_s < 0.0))

    def _held_astern(self, reach_only: bool) -> OperatingPoint:
        """Every leg's place held against what comes from behind.
        What comes from ahead at the same time is given no credit: the safe side."""
        legs = self.legs
        wind, stream = (np.maximum(0.0, -each) for each in (legs.headwind_m_s, legs.stream_m_s))
        still = np.zeros((len(legs.ground_m_s), 1))
        pulling = replace(self, back=1.0 / propeller.ASTERN_SHARE)
        return pulling.at(still, wind, stream, legs.depth_m, reach_only=reach_only)

    def in_calm(self, speed_m_s: Floats) -> OperatingPoint:
        """Whether a speed through calm water is within reach; the current is left out."""
        still = np.zeros(1)
        return self.at(speed_m_s, still, still, reach_only=True)

    def reached_m_s(self) -> Floats:
        """The greatest speed through calm water at full setting, shape (n,); STUCK where not 0."""
        return np.asarray(self._reached_m_s(np.zeros((1, 1)), np.zeros((1, 1)), DEEP)[0])

    def legs_reached_m_s(self) -> Floats:
        """The greatest speed over ground on each leg, shape (legs, n); STUCK where not even 0."""
        legs = self.legs
        water = legs.stream_m_s, legs.depth_m
        reached = self._reached_m_s(legs.headwind_m_s, *water, cool=True)
        if self._astern.any():
            point = self._held_astern(True)
            held = point.feasible & self._cool(point)
            reached = np.where(self._astern & ~held, STUCK, reached)
        return np.where(legs.driven, reached, np.maximum(reached, 0.0))

    def reached_share(self) -> Floats:
        """The same of all legs together, as a share of the wished speeds, shape (n,)."""
        speeds, wanted = self.legs_reached_m_s(), self.case.ground_speeds_m_s[:, None]
        share = np.divide(speeds, wanted, out=np.full(speeds.shape, np.inf), where=wanted > 0.0)
        return np.asarray(np.where(speeds < 0.0, STUCK, share).min(axis=0))

    def _reached_m_s(
        self, headwind_m_s: Floats, stream_m_s: Floats, depth_m: Floats, *, cool: bool = False
    ) -> Floats:
        """``cool``: with a separate control no warmer than it stands, as on a leg it must be."""
        fastest = self.train.idle_m_s
        bad = np.maximum(0.0, fastest - stream_m_s * np.ones(self.water.column.shape))

        def run(ground_m_s: Floats) -> OperatingPoint:
            return self.at(ground_m_s, headwind_m_s, stream_m_s, depth_m, reach_only=True)

        def feasible(ground_m_s: Floats) -> Bools:
            point = run(ground_m_s)
            return point.feasible & self._cool(point) if cool else point.feasible

        def beyond(ground_m_s: Floats) -> Floats:
            point, train = run(ground_m_s), self.train
            most_a = train.rated_a
            if cool:
                most_a = np.minimum(most_a, train.stands_a(self.place_c))
            most_a = np.maximum(most_a, NO_A)  # a control too warm already stands none
            drawn = np.where(train.drive.chopper, point.battery_a / most_a, 0.0)
            return np.asarray(np.maximum(point.effort, drawn) - 1.0)

        still = np.zeros(bad.shape)
        reached = np.maximum(0.0, crossing(beyond, still, bad) - CLOSE_M_S)
        able = feasible(still)
        if not (feasible(reached) | ~able).all():
            reached = last_met(feasible, still, bad, HALVINGS)
        return np.where(able, reached, STUCK)

    def used_ah(self, battery_a: Floats, duration_h: Floats) -> Floats:
        bank, legs = self.train.bank, self.legs
        device_a = bank.device_a(legs.device_w)
        return bank.charge_used_ah(battery_a, duration_h, device_a, legs.device_h)

    def hours_at(self, ground_m_s: Floats) -> tuple[Floats, Floats]:
        """(hours of the day, hours served) with each leg at another speed, shape (legs, n)."""
        return self.hours_of(ground_m_s, self.on_legs(ground_m_s))

    def hours_of(self, ground_m_s: Floats, point: OperatingPoint) -> tuple[Floats, Floats]:
        """The same, of what is known to be drawn there."""
        duration_h = self.legs.hours_at(ground_m_s)
        day_h = duration_h.sum(axis=0)
        used_ah = self.used_ah(point.battery_a, duration_h)
        return day_h, day_h * over(self.train.bank.usable_ah, used_ah)

    def serves(self, ground_m_s: Floats) -> Bools:
        """Whether legs at other speeds, shape (legs, n), are within reach and the charge lasts."""
        point = self.on_legs(ground_m_s)
        day_h, served_h = self.hours_of(ground_m_s, point)
        able = (point.feasible & self._cool(point)).all(axis=0)
        return np.asarray(able & (served_h >= just_below(day_h)))

    @property
    def place_c(self) -> float:
        return self.case.outing.policy.place_temperature_c

    def _cool(self, point: OperatingPoint) -> Bools:
        return self.train.cool(point.battery_a, self.place_c)

    @cached_property
    def _reaching(self) -> OperatingPoint:
        return self.on_legs(self.legs.ground_m_s, reach_only=True)

    @cached_property
    def _as_wished(self) -> OperatingPoint:
        chopped = self.train.drive.chopper.all()
        return self._reaching if chopped else self.on_legs(self.legs.ground_m_s)

    @cached_property
    def wished_ah(self) -> Floats:
        return self.used_ah(self._as_wished.battery_a, self.legs.duration_h)

    def lasts(self, used_ah: Floats) -> Bools:
        return np.asarray(used_ah <= just_above(self.train.bank.usable_ah))

    def served_h(self, used_ah: Floats) -> Floats:
        """How long the bank would serve a day that takes this charge."""
        return self.case.outing_hours * over(self.train.bank.usable_ah, used_ah)

    def met(self, demand: str) -> Bools:
        if demand == "hours":
            return self.lasts(self.wished_ah)
        if demand == "leg_speed":
            return np.asarray(self._reaching.feasible.all(axis=0))
        if demand == "control_heat":
            return np.asarray(self._cool(self._as_wished).all(axis=0))
        top_m_s = self.case.outing.limits.top_speed_m_s
        if top_m_s is None:
            return np.ones(self.water.column.shape, dtype=bool)
        return self.in_calm(np.array([top_m_s])).feasible

    def has(self) -> dict[str, Floats]:
        """What of each demand these pairs have: hours; efforts, 1 being full throttle; degC."""
        legs, top_m_s = self._as_wished, self.case.outing.limits.top_speed_m_s
        used_ah = self.used_ah(legs.battery_a, self.legs.duration_h)
        still = np.zeros(used_ah.shape)
        return {
            "leg_speed": legs.effort.max(axis=0),
            "top_speed": still if top_m_s is None else self.in_calm(np.array([top_m_s])).effort,
            "hours": self.served_h(used_ah),
            "control_heat": self.train.control_c(legs.battery_a, self.place_c).max(axis=0),
        }


def _where(legs: Bools, point: OperatingPoint, other: OperatingPoint) -> OperatingPoint:
    """One on some legs, shape (legs, 1), the other on the rest."""
    names = [each.name for each in fields(OperatingPoint)]
    return OperatingPoint(
        *(np.where(legs, getattr(point, name), getattr(other, name)) for name in names)
    )
