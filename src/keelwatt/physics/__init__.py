"""Formulas, keyword-only; arithmetic and numpy only.
Unless said otherwise an argument is a float or an array, arrays broadcast against each other, a
result has their shape, and the ending of a name is its unit; without one it is a share. Speeds are
through the water; they, sizes, masses, thrusts, currents and powers are not negative, and what
divides is above 0."""
