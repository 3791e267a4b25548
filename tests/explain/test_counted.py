"""Kits asked for with so many of their battery."""

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import numpy as np

from keelwatt.explain.compare import _counted, _having
from oracle.one_of_each import KIT


def test_a_number_before_a_part_is_how_many_batteries_a_kit_has() -> None:
    assert _counted("2 x agm", {}) == (2, "agm")
    assert _counted("2xagm", {"2xagm": "batteries"}) == (0, "2xagm")
    kits = [KIT, replace(KIT, series=2), replace(KIT, parallel=2), replace(KIT, battery="other")]
    block: Any = SimpleNamespace(kit=kits.__getitem__)
    fits = _having({"battery": 2})(block, np.arange(4))
    assert fits.tolist() == [False, True, True, True]
