"""Lithium cells discharged in PyBaMM, a general simulation of cells, not a dependency of ours.

Computed with PyBaMM 26.10.1.1: model DFN, isothermal but for BOXED_AH, from full by a constant
current of 1/20, 1/5 or 1/2 of the set's nominal capacity to its lower voltage. Sets:

- BPX lfp, the example lfp_18650_cell of BPX 1.1.1 (the Faraday Institution's form for cells), of
  an lfp cell of 2 Ah taken apart in 2022; the energies that slow it in the cold stand in it
  without a source, lfp's diffusion with 80 kJ/mol.
- Prada2013, an lfp cell (J. Electrochem. Soc. 160, A616), the graphite's voltage borrowed from
  Chen2020. Its diffusion and conductivity know no temperature: it says nothing of the cold.
- OKane2022 (Phys. Chem. Chem. Phys. 24, 7909), ORegan2022 (Electrochimica Acta 425, 140700) and
  Ecker2015 (J. Electrochem. Soc. 162, A1836): cells with nickel, their kinetics, diffusion and
  electrolyte slower in the cold.
"""

import numpy as np

RATES_H = (20.0, 5.0, 2.0)

PRADA_AH = (2.2845, 2.2285, 2.1190)
"""Prada2013 at 25 degC and RATES_H, to 2.0 V."""

# By temperature [degC]: at RATES_H, lfp to 2.0 V, nmc to 2.5 V.
CELLS_AH = {
    "lfp": {
        "BPX lfp": {
            25: (2.0753, 2.0613, 2.0339),
            10: (2.0708, 2.0314, 1.8186),
            0: (2.0530, 1.6793, 1.1146),
            -10: (1.7039, 0.8522, 0.4505),
        },
    },
    "nmc": {
        "OKane2022": {
            25: (5.0996, 5.0716, 5.0245),
            10: (5.0910, 5.0447, 4.9678),
            0: (5.0810, 5.0149, 4.9014),
            -10: (5.0654, 4.9671, 4.7819),
        },
        "ORegan2022": {
            25: (5.0102, 4.9327, 4.8334),
            10: (4.9951, 4.8958, 4.7571),
            0: (4.9805, 4.8640, 4.4942),
            -10: (4.9611, 4.8245, 3.8319),
        },
        "Ecker2015": {
            25: (0.1710, 0.1708, 0.1705),
            10: (0.1709, 0.1706, 0.1700),
            0: (0.1708, 0.1703, 0.1694),
            -10: (0.1707, 0.1697, 0.1672),
        },
    },
}

BOXED_AH = {
    10: (2.0714, 2.0530, 2.0335),
    0: (2.0632, 1.9789, 2.0153),
    -10: (1.7879, 1.4074, 1.7218),
}
"""BPX lfp as CELLS_AH has it, but warming itself: lumped, 2.43 W/m2K at a cell's surface.

That is 12.8 V, 50 Ah of 100 cells of 43.1 cm2 in a box of 198 x 166 x 171 mm (invented), which
loses 5.5 W/m2K (from memory) to a place as cold as the battery was.
"""

VOLTS = {"lfp": (3.205, 3.148), "nmc": (3.443, 3.373)}
"""At 25 degC, C/5 and C/2, 80 % of the nominal capacity drawn: BPX lfp, OKane2022."""

VOLTS_LATE = {"lfp": (3.152, 3.088), "nmc": (3.300, 3.213)}
"""The same with 90 % drawn."""

CELL_V = {"lfp": 3.2, "nmc": 3.7}


def kept_in_the_cold(
    chemistry: str, temperature_c: int
) -> np.ndarray[tuple[int, int], np.dtype[np.float64]]:
    """Share of the capacity at 25 degC by set and rate."""
    return np.array(
        [np.divide(cell[temperature_c], cell[25]) for cell in CELLS_AH[chemistry].values()]
    )


def kept_boxed(temperature_c: int) -> np.ndarray[tuple[int, int], np.dtype[np.float64]]:
    return np.array([np.divide(BOXED_AH[temperature_c], CELLS_AH["lfp"]["BPX lfp"][25])])


def kept_at_a_rate(chemistry: str) -> np.ndarray[tuple[int, int], np.dtype[np.float64]]:
    """Share of the capacity at C/20 by set and rate, 25 degC."""
    cells = [cell[25] for cell in CELLS_AH[chemistry].values()]
    if chemistry == "lfp":
        cells.append(PRADA_AH)
    return np.array([np.divide(cell, cell[0]) for cell in cells])
