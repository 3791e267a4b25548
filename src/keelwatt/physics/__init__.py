"""The physics of a small craft under electric power, as plain functions of floats or arrays."""
