"""keelwatt: the electric motor, battery and wiring for a small craft, chosen and proved."""

__version__ = "0.1.0"
