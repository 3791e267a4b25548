"""Craft and drive as one model: thrust, shaft, motor, bank, charge."""
