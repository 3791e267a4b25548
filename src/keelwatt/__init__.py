"""keelwatt: the electric motor, battery and wiring for a small craft, chosen and proved.

>>> import keelwatt as kw
>>> kw.__version__
'0.1.0'
"""

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from keelwatt.api import (
        batch,
        odds,
        pick,
        prove,
        read_catalog,
        read_outing,
        stretch,
        tradeoff,
        tune,
        whatif,
        why,
        worth,
    )

__version__ = "0.1.0"

__all__ = [
    "batch",
    "odds",
    "pick",
    "prove",
    "read_catalog",
    "read_outing",
    "stretch",
    "tradeoff",
    "tune",
    "whatif",
    "why",
    "worth",
]


def __getattr__(name: str) -> Any:
    """A public name, loaded when first asked for: a command loads only what it needs."""
    if name not in __all__:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module("keelwatt.api"), name)


def __dir__() -> list[str]:
    return sorted(__all__)
