"""An outing's text changed, its comments kept: one setting, a way out, a what-if."""
