"""A craft's drag factor from a log of what it drew: the model run forward, and fitted."""
