"""What every part has, the units its columns are written in, and how blanks are filled."""

from collections.abc import Callable, Mapping
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, BeforeValidator, Field

from keelwatt.files.catalog import shop
from keelwatt.files.fields import Frozen, Share, Written, assumed, slug
from keelwatt.units import cable_area_mm2


def _cable_size(text: str) -> str:
    cable_area_mm2(text)
    return text


def times(factor: float, field: str) -> Callable[[dict[str, Any]], float]:
    """A default that grows with another value of the row; a little where that cannot be read."""
    return lambda row: round(factor * float(row.get(field, 1.0)), 6)


def grown(factor: float, field: str, words: str, source: str) -> Any:
    """What grows with another value of the row, as a field's default."""
    return assumed(times(factor, field), f"{factor:g} {words}", source)


def looked_up(field: str, table: Mapping[str, float], source: str) -> Any:
    """What a word of the row stands for, as a field's default; 1 where it cannot be read."""
    words = ", ".join(f"{name} {value:g}" for name, value in table.items())
    return assumed(lambda row: table.get(row.get(field, ""), 1), words, source)


def unless(word: str, then: Any, otherwise: Any) -> Callable[[dict[str, Any]], Any]:
    """A default that is another where the row holds this chemistry or control."""
    return lambda row: then if word in (row.get("chemistry"), row.get("control")) else otherwise


def of_lead_acid(count: int) -> Any:
    """As many of a lead-acid battery, one of a lithium battery, as a field's default."""
    words, source = f"{count} for lead-acid, 1 for lithium", "from memory, the safe side"
    return assumed(
        lambda row: 1 if row.get("chemistry") in ("lfp", "nmc") else count, words, source
    )


Chemistry = Literal["flooded", "agm", "gel", "lfp", "nmc"]
ShopChemistry = Annotated[Chemistry, BeforeValidator(shop.chemistry)]
Volts = Annotated[float, Written(unit="V"), Field(gt=0)]
Amperes = Annotated[float, Written(unit="A"), Field(gt=0)]
Kilograms = Annotated[float, Written(unit="kg"), Field(gt=0)]
Millimetres = Annotated[float, Written(unit="mm"), Field(gt=0)]
Class = Annotated[int, Written(unit="V"), BeforeValidator(shop.system_class)]
Count = Annotated[int, Field(ge=1, le=1_000_000)]
Series = Annotated[int, Field(ge=1, le=16)]
Parallel = Annotated[int, Field(ge=1, le=64)]
Cents = Annotated[int, Field(ge=0)]
Size = Annotated[str, AfterValidator(_cable_size)]
Efficiency = Annotated[Share, Field(gt=0, le=1)]


class Row(Frozen):
    """What every part has."""

    name: Annotated[str, Field(min_length=1)]
    """As you would call it in the shop."""
    id: Annotated[str, Field(pattern=r"^[a-z0-9]+(-[a-z0-9]+)*$")] = assumed(
        lambda row: slug(row.get("name", "")),
        "made from the name",
        "lowercase, with dashes",
        unsure=True,
    )
    """lowercase-with-dashes, once in the whole catalog."""
