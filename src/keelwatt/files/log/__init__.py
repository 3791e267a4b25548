"""The log of an outing: what was measured on the water, or put back by the charger after it."""

from keelwatt.files.log.model import LogRow
from keelwatt.files.log.reader import TripLog, read_log

__all__ = ["LogRow", "TripLog", "read_log"]
