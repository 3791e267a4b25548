"""The log of an outing: what was measured on the water, or put back by the charger after it."""

from keelwatt.triplog.model import LogRow
from keelwatt.triplog.reader import TripLog, read_log

__all__ = ["LogRow", "TripLog", "read_log"]
