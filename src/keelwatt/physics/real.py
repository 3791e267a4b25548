"""The types of physical arguments and results."""

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
Ints = NDArray[np.int64]

Real = float | Floats
"""A float, or an array; arrays broadcast against each other, and floats in give a float out."""

Truth = np.bool_ | Bools
"""What a predicate of :data:`Real` arguments returns, of their broadcast shape."""
