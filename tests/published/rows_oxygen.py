"""Rows on oxygen: saturation by three forms, what fish take, what nitrification takes.

O2-1 is a published anchor (Garcia & Gordon 1992), O2-BK-* are handbook table values from memory; the O2-mgL-* rows show
agreement with gsw, the rest is arithmetic on published relations.
"""

from collections.abc import Callable, Mapping

from tests.published.oracles import (
    oxygen_benson1984_mg_per_l,
    oxygen_garcia1992_mmol_per_m3,
    oxygen_garcia1992_umol_per_kg,
)

from pratique.science.chemistry.nitrification import (
    alkalinity_fall_dkh,
    calcium_carbonate_per_nitrogen_g_per_g,
    oxygen_per_nitrogen_g_per_g,
)
from pratique.science.chemistry.oxygen import saturation_mg_per_l, saturation_umol_per_kg
from pratique.science.chemistry.oxygen_demand import resting_demand_clarke1999_mg_per_h

type Inputs = Mapping[str, float]


def _at(saturation: Callable[[float, float], float]) -> Callable[[Inputs], float]:
    return lambda row: saturation(row["S"], row["t_C"])


def _fish_mg_per_kg_h(row: Inputs) -> float:
    of_one = resting_demand_clarke1999_mg_per_h(row["M_g"], row["t_C"], exponent=row["b"])
    return 1000.0 * of_one / row["M_g"]


ROWS: dict[str, Callable[[Inputs], float]] = {
    "O2-1": _at(oxygen_garcia1992_mmol_per_m3),
    "O2-2": _at(oxygen_garcia1992_umol_per_kg),
    "O2-3": lambda row: saturation_umol_per_kg(row["SP"], row["pt_C"]),
    "O2-mgL": lambda row: saturation_mg_per_l(row["SP"], row["t_C"]),
    "O2-BK": _at(oxygen_benson1984_mg_per_l),
    "FISH": _fish_mg_per_kg_h,
    "NITR-1": lambda _: oxygen_per_nitrogen_g_per_g(),
    "NITR-2": lambda _: calcium_carbonate_per_nitrogen_g_per_g(),
    "NITR-3": lambda _: alkalinity_fall_dkh(1.0),
}
