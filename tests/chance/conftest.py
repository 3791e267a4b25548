"""What the tests of single unknowns share."""

import pytest

from keelwatt.chance import spreads


@pytest.fixture
def sure_thrust(monkeypatch: pytest.MonkeyPatch) -> None:
    """A measured thrust is known to the last newton, so that nothing but what is named is open."""
    monkeypatch.setattr(spreads, "MEASURED_THRUST", 0.0)
