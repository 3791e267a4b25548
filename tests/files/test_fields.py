"""How fields are written: every quantity has a kind, every table of words is complete."""

from typing import get_args

import pytest
from pydantic import BaseModel

from keelwatt.files.catalog.checks import PLAUSIBLE_WH_KG
from keelwatt.files.catalog.parts import CALENDAR_YEARS, FILES, Battery, Cable, Chemistry, Motor
from keelwatt.files.fields import Measure, plain, written
from keelwatt.files.outing import (
    Compartment,
    Craft,
    Device,
    Leg,
    Limits,
    Load,
    Mount,
    Place,
    Policy,
)
from keelwatt.physics.battery import PEUKERT
from keelwatt.physics.shapes import HULL_SHAPES

MODELS: list[type[BaseModel]] = [
    *FILES.values(),
    *(Compartment, Craft, Device, Leg, Limits, Load, Mount, Place, Policy),
]
BARE_NUMBERS = {"drag_factor", "peukert"}


@pytest.mark.parametrize("model", MODELS, ids=lambda model: model.__name__)
def test_every_float_has_a_kind(model: type[BaseModel]) -> None:
    for field, info in model.model_fields.items():
        if info.annotation in (float, float | None) and field not in BARE_NUMBERS:
            assert written(field, info).kind is not None, field


@pytest.mark.parametrize(
    ("model", "field", "name", "kind"),
    [
        (Battery, "price_cents", "price", "money"),
        (Battery, "calendar_years", "calendar", "years"),
        (Battery, "rated_h", "rated", "duration"),
        (Battery, "peukert", "peukert", None),
        (Cable, "price_cents_m", "price_per_metre", "money"),
        (Cable, "mass_kg_m", "mass", "mass_per_length"),
        (Motor, "no_thrust_speed_m_s", "no_thrust_speed", "speed"),
        (Motor, "thrust_n", "thrust", "force"),
        (Motor, "efficiency", "efficiency", "share"),
        (Craft, "wind_area_m2", "wind_area", "area"),
        (Craft, "compartments", "compartment", None),
        (Leg, "duration_h", "hours", "duration"),
        (Limits, "max_trim_rad", "max_trim", "angle"),
        (Limits, "reserve", "reserve", "share"),
        (Policy, "place_temperature_c", "place_temperature", "temperature"),
    ],
)
def test_a_field_is_written_by_its_name_and_kind(
    model: type[BaseModel], field: str, name: str, kind: Measure
) -> None:
    mark = written(field, model.model_fields[field])
    assert (mark.name, mark.kind) == (name, kind)


def test_tables_of_words_are_complete() -> None:
    chemistries = set(get_args(Chemistry))
    assert set(PEUKERT) == set(CALENDAR_YEARS) == set(PLAUSIBLE_WH_KG) == chemistries
    shapes = get_args(get_args(Craft.model_fields["shape"].annotation)[0])
    assert set(shapes) == set(HULL_SHAPES)


def test_an_error_of_an_unknown_type_still_has_a_remedy() -> None:
    what, remedy = plain("some_new_type", {}, "x", None)
    assert what == "is not what belongs here"
    assert remedy
