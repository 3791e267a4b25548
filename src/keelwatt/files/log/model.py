"""A row of a log, after conversion, and what its values owe one another."""

from collections.abc import Iterator
from typing import Annotated, Literal

from pydantic import Field

from keelwatt.files.catalog.checks import Finding
from keelwatt.files.fields import Frozen, Written


class LogRow(Frozen):
    """A steady minute under way, measured; or a whole trip at about one speed.

    ``speed_m_s`` is over ground; headwind and stream count against the craft. ``run``: rows of one
    run share an unknown stream, that the rows ``out`` meet and the rows ``back`` have behind them.
    ``current_a`` and ``voltage_v`` are at the battery. ``throttle`` is a share of full, ``step`` a
    setting of a stepped control; 0 is off. ``charged_ah`` is what the charger put back. Nothing is
    made of a ``note``.
    """

    speed_m_s: Annotated[float, Written(unit="km/h"), Field(ge=0, le=7)]
    current_a: Annotated[float | None, Written(unit="A"), Field(ge=0, le=1000)] = None
    voltage_v: Annotated[float | None, Written(unit="V"), Field(gt=0, le=100)] = None
    headwind_m_s: Annotated[float, Written(unit="m/s"), Field(ge=-25, le=25)] = 0.0
    stream_m_s: Annotated[float | None, Written(unit="km/h"), Field(ge=-3, le=3)] = None
    throttle: Annotated[float | None, Written(kind="share", unit="%"), Field(ge=0, le=1)] = None
    step: Annotated[int | None, Field(ge=0, le=100)] = None
    run: str | None = None
    heading: Literal["out", "back"] | None = None
    devices: bool = True
    duration_h: Annotated[float | None, Written("hours", unit="h"), Field(gt=0, le=100)] = None
    charged_ah: Annotated[float | None, Written(unit="Ah"), Field(gt=0, le=10_000)] = None
    charge_efficiency: Annotated[
        float | None, Written(kind="share", unit="%"), Field(ge=0.3, le=1)
    ] = None
    note: str | None = None

    @property
    def whole_trip(self) -> bool:
        return self.current_a is None

    @property
    def motor_off(self) -> bool:
        return self.throttle == 0 or self.step == 0


def findings(row: LogRow) -> Iterator[Finding]:
    """Everything to object to in a row."""
    totals = (row.duration_h, row.charged_ah)
    if row.current_a is None and None in totals:
        yield Finding(
            "current_a",
            "is empty, and the row is no whole trip either",
            "write the current at the battery, or both hours and charged for a whole trip",
        )
    if row.current_a is not None and totals != (None, None):
        yield Finding(
            "current_a",
            "is given along with hours or charged",
            "a row is either a measured moment with its current, or a whole trip with hours and "
            "charged: use two rows",
        )
    if row.charge_efficiency is not None and row.charged_ah is None:
        yield Finding(
            "charge_efficiency", "is given without charged", "write what the charger put back too"
        )
    if row.throttle is not None and row.step is not None:
        yield Finding("step", "is given along with throttle", "leave out one of the two")
    for field, value in (("throttle", row.throttle), ("step", row.step)):
        if row.whole_trip and value is not None and None not in totals:
            yield Finding(field, "is given for a whole trip", "leave it empty")
    yield from _stream(row)


def _stream(row: LogRow) -> Iterator[Finding]:
    if (row.run is None) != (row.heading is None):
        field, other = ("run", "heading") if row.heading else ("heading", "run")
        example = "a name for the run" if field == "run" else "out or back"
        yield Finding(
            field, f"is empty, and {other} is given", f"write {example}, or leave both empty"
        )
    elif row.run is not None and row.stream_m_s is not None:
        yield Finding(
            "stream_m_s",
            "is given for a row of a run, whose stream is found from going out and back",
            "leave it empty, or leave run and heading empty",
        )
