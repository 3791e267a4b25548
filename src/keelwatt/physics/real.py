"""The one type of physical arguments and results."""

import numpy as np
from numpy.typing import NDArray

Real = float | NDArray[np.float64]
"""A float, or an array; arrays broadcast against each other, and floats in give a float out."""

Truth = np.bool_ | NDArray[np.bool_]
"""What a predicate of :data:`Real` arguments returns, of their broadcast shape."""
