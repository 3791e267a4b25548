"""The integer program: groups, sums and bounds as plain data, and the one room that solves it."""
