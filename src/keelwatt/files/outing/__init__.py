"""The outing: what the user wants, read from one TOML file."""

from keelwatt.files.outing.craft import Box, Compartment, Craft, Mount, Place
from keelwatt.files.outing.model import (
    Device,
    Leg,
    Limits,
    Load,
    Odds,
    Outing,
    Parts,
    Policy,
    Water,
    Wish,
)
from keelwatt.files.outing.reader import outing_from_text, read_outing, read_text

__all__ = [
    "Box", "Compartment", "Craft", "Device", "Leg", "Limits", "Load", "Mount", "Odds", "Outing",
    "Parts", "Place", "Policy", "Water", "Wish", "outing_from_text", "read_outing", "read_text",
]  # fmt: skip
