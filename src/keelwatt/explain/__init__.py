"""Why this kit, why none, and how far from another: exact readings of the ledger of all kits."""

from keelwatt.explain.lifting import Shut, binding, least, limit_names, shut_out, without

__all__ = ["Shut", "binding", "least", "limit_names", "shut_out", "without"]
