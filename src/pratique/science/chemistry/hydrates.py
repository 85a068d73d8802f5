"""Salts sold with different amounts of water in them, by formula in Hill order: what a label may say.

Common practice, no source: what is on sale to keepers and schools. A salt that is not here is taken as written, up to
`MOST_WATERS`: those of aluminium sulphate.
"""

from collections.abc import Mapping
from types import MappingProxyType

MOST_WATERS = 18
COMMON_WATERS: Mapping[str, tuple[float, ...]] = MappingProxyType(
    {
        "CaCl2": (0, 1, 2, 4, 6),
        "Cl2Mg": (0, 6),
        "MgO4S": (0, 1, 3, 7),
        "CuO4S": (0, 1, 5),
        "Cl2Cu": (0, 2),
        "Cl2Sr": (0, 6),
        "N2O6Sr": (0, 4),
        "CaN2O6": (0, 4),
        "MgN2O6": (0, 6),
        "CaO4S": (0, 0.5, 2),
        "CNa2O3": (0, 1, 10),
        "Na2O3Si": (0, 5, 9),
        "B4Na2O7": (0, 5, 10),
        "HNa2O4P": (0, 2, 7, 12),
        "H2NaO4P": (0, 1, 2),
        "Na3O4P": (0, 12),
        "FeO4S": (0, 1, 7),
        "Cl3Fe": (0, 6),
        "MnO4S": (0, 1, 4),
        "Cl2Mn": (0, 4),
        "O4SZn": (0, 1, 7),
        "BaCl2": (0, 2),
        "Na2O3S2": (0, 5),
        "BrNa": (0, 2),
    }
)
