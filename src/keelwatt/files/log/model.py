"""A row of a log, after conversion, and what its values owe one another."""

from collections.abc import Iterator
from typing import Annotated, Literal

from pydantic import Field

from keelwatt.files.catalog.checks import Finding, findings
from keelwatt.files.fields import Frozen, Written, assumed


class LogRow(Frozen):
    """A steady minute under way, measured; or a whole trip at about one speed."""

    speed_m_s: Annotated[float, Written(unit="km/h"), Field(ge=0, le=7)]
    """Over ground."""
    current_a: Annotated[float | None, Written(unit="A"), Field(ge=0, le=1000)] = None
    """At the battery."""
    voltage_v: Annotated[float | None, Written(unit="V"), Field(gt=0, le=100)] = assumed(
        None, "the bank's nominal voltage"
    )
    """At the battery."""
    headwind_m_s: Annotated[float, Written(unit="m/s"), Field(ge=-25, le=25)] = 0.0
    """+ against you."""
    stream_m_s: Annotated[float | None, Written(unit="km/h"), Field(ge=-3, le=3)] = assumed(
        None, "0 km/h, or found where the row has a run"
    )
    """+ against you."""
    throttle: Annotated[float | None, Written(kind="share", unit="%"), Field(ge=0, le=1)] = None
    """Share of full; 0 is off."""
    step: Annotated[int | None, Field(ge=0, le=100)] = None
    """The setting of a stepped motor, in place of throttle; 0 is off."""
    run: str | None = None
    """A name: rows of one run share an unknown stream, which is found."""
    heading: Literal["out", "back"] | None = None
    """Rows out meet the run's stream, rows back have it behind them."""
    devices: bool = True
    """Whether the outing's devices were on."""
    duration_h: Annotated[float | None, Written("hours", unit="h"), Field(gt=0, le=100)] = None
    """Of a whole trip, in place of current."""
    charged_ah: Annotated[float | None, Written(unit="Ah"), Field(gt=0, le=10_000)] = None
    """What the charger put back after a whole trip."""
    charge_efficiency: Annotated[
        float | None, Written(kind="share", unit="%"), Field(ge=0.3, le=1)
    ] = assumed(None, "90 % for lead-acid, 98 % for lithium", "from memory")
    """How much of that counts."""
    note: str | None = None
    """The time, the place: nothing is made of it."""

    @property
    def whole_trip(self) -> bool:
        return self.current_a is None

    @property
    def motor_off(self) -> bool:
        return self.throttle == 0 or self.step == 0


@findings.register
def _log(row: LogRow) -> Iterator[Finding]:
    totals = (row.duration_h, row.charged_ah)
    if row.current_a is None and None in totals:
        what = "is empty, and the row is no whole trip either"
        remedy = "write the current at the battery, or both hours and charged for a whole trip"
        yield Finding("current_a", what, remedy)
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
        what = "is given for a row of a run, whose stream is found from going out and back"
        remedy = "leave it empty, or leave run and heading empty"
        yield Finding("stream_m_s", what, remedy)
