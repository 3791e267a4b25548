"""Every number a user may write has bounds, and a problem that names them."""

from collections.abc import Iterator
from itertools import chain

import annotated_types
import pytest
from pydantic import BaseModel
from pydantic.fields import FieldInfo

from keelwatt.errors import InputError
from keelwatt.files.catalog.parts import FILES
from keelwatt.files.fields import written
from keelwatt.files.log.model import LogRow
from keelwatt.files.outing import outing_from_text
from keelwatt.files.outing.convert import UNWRITTEN, _model_in
from keelwatt.files.outing.model import Outing
from keelwatt.units import FACTORS, UnitError, money_cents, quantity
from keelwatt.units.quantities import LEAST
from samples import small_outing_text


def _models(model: type[BaseModel]) -> Iterator[type[BaseModel]]:
    yield model
    for info in model.model_fields.values():
        if inner := _model_in(info.annotation):
            yield from _models(inner)


def _bare_numbers() -> Iterator[tuple[str, FieldInfo]]:
    """Fields whose numbers have no unit: those with one are bounded by their kind."""
    for model in chain(_models(Outing), *map(_models, FILES.values()), _models(LogRow)):
        for name, info in model.model_fields.items():
            number = info.annotation in (int, float, int | None, float | None)
            if number and (model, name) not in UNWRITTEN and written(name, info).kind is None:
                yield f"{model.__name__}.{name}", info


@pytest.mark.parametrize(("name", "info"), dict(_bare_numbers()).items())
def test_a_number_without_a_unit_has_bounds_of_its_own(name: str, info: FieldInfo) -> None:
    if name.endswith("system_v"):  # one of four
        return
    assert any(isinstance(each, annotated_types.Le | annotated_types.Lt) for each in info.metadata)
    assert any(isinstance(each, annotated_types.Ge | annotated_types.Gt) for each in info.metadata)


MOST = {
    "length": 1e6, "mass": 1e6, "speed": 1e3, "duration": 1e4, "force": 1e5, "power": 1e6,
    "energy": 1e7, "current": 1e6, "voltage": 1e4, "capacity": 1e5, "angle": 1e3,
    "temperature": 1e4, "area": 1e3, "mass_per_length": 1e3, "moment": 1e6, "share": 1e3,
    "years": 1e3,
}  # fmt: skip
"""Chosen; to be moved only on purpose: what is told of each is what is held."""


@pytest.mark.parametrize("kind", FACTORS)
def test_a_quantity_is_bounded_by_its_kind(kind: str) -> None:
    most, unit = MOST[kind], next(iter(FACTORS[kind]))  # type: ignore[index]
    assert quantity(f"{most:f} {unit}", kind) == most  # type: ignore[arg-type]
    for text in (f"{2 * most:f} {unit}", f"-{2 * most:f} {unit}", f"1e300 {unit}"):
        with pytest.raises(UnitError, match=f"is beyond {most:,.0f}"):
            quantity(text, kind)  # type: ignore[arg-type]
    with pytest.raises(UnitError, match="is too small"):
        quantity(f"{LEAST / 2!r} {unit}", kind)  # type: ignore[arg-type]


def test_money_is_bounded() -> None:
    assert money_cents("10,000,000,000.00") == 1e12
    for text in ("1e18", "10,000,000,000.01", "1e300"):
        with pytest.raises(UnitError, match="is beyond 10,000,000,000"):
            money_cents(text)


@pytest.mark.parametrize(
    ("old", "new", "what"),
    [
        ("budget = 1200", "budget = 1e18", "is beyond 10,000,000,000"),
        ('"4.8 m"', '"1e300 m"', "is beyond 1,000,000 m"),
        ('"0.3 m"', '"-1e300 m"', "is beyond 1,000,000 m"),
        ('"82 kg"', '"1e10 kg"', "is beyond 1,000,000 kg"),
        ("= 20\n", f"= 1{'0' * 30}\n", "is above 10000"),
        ("= 20\n", f"= 1{'0' * 5000}\n", "number of a thousand digits"),
        ('"20 %"', f"0x{'f' * 5000}", "number of a thousand digits"),
        ('hours = "2 h"', 'hours = "1e300 h"', "is beyond 10,000 h"),
        ('"5 km/h"\ndistance', '"1e-8 km/h"\ndistance', "at that speed is beyond 10,000 h"),
        ('"5 km/h"\ndistance', '"-5 km/h"\ndistance', "is below 0"),
        ("own = []", f"own = {'[' * 5000}{']' * 5000}", "is nested too deeply"),
    ],
)
def test_absurd_numbers_in_an_outing_are_problems(old: str, new: str, what: str) -> None:
    text = small_outing_text()
    assert old in text
    with pytest.raises(InputError) as caught:
        outing_from_text(text.replace(old, new, 1), "outing.toml")
    (problem,) = caught.value.problems
    assert what in problem.what
    assert problem.remedy
