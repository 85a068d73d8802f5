"""Rows on ammonia: the printed table, documented examples, each author's pK, the rigorous route.

NH3-BB* and NH3-CW* are published anchors. The NH3-PK* rows say which of them rest on memory, and NH3-REF*
show agreement with the library PyCO2SYS, not truth.
"""

from collections.abc import Callable, Mapping

from tests.published.oracles import pk_ammonium_bell2008, pk_ammonium_clegg1995_free, pk_ammonium_hampson1977

from pratique.science.chemistry.ammonia import pk_ammonium_khoo1977, un_ionised_fraction_khoo1977
from pratique.science.chemistry.ammonia_constants import pk_ammonium_clegg1995, pk_ammonium_clegg1995_molal
from pratique.science.chemistry.ammonia_rigorous import un_ionised_fraction_clegg1995

type Inputs = Mapping[str, float]


def _table(row: Inputs) -> float:
    return 100.0 * un_ionised_fraction_khoo1977(row["pH"], row["t_C"], row["S"])


def _fraction(pk: Callable[[float, float], float], ph_name: str) -> Callable[[Inputs], float]:
    return lambda row: 1.0 / (1.0 + 10.0 ** (pk(row["S"], row["t_C"]) - row[ph_name]))


def _pk(pk: Callable[[float, float], float]) -> Callable[[Inputs], float]:
    return lambda row: pk(row["S"], row["t_C"])


def _rigorous(row: Inputs) -> float:
    return 100.0 * un_ionised_fraction_clegg1995(row["pH_nbs"], salinity_psu=row["S"], temperature_c=row["t_C"])


def _hampson(row: Inputs) -> float:
    return pk_ammonium_hampson1977(row["S"], row["t_C"], pressure_atm=row["P_atm"])


ROWS: dict[str, Callable[[Inputs], float]] = {
    "NH3-BB": _table,
    "NH3-CWT": _fraction(pk_ammonium_clegg1995_molal, "pH_total"),
    "NH3-CWF": _fraction(pk_ammonium_clegg1995_free, "pH_free"),
    "NH3-PK1": _pk(pk_ammonium_bell2008),
    "NH3-PK2": _pk(pk_ammonium_khoo1977),
    "NH3-PK3": _pk(pk_ammonium_clegg1995_molal),
    "NH3-PK4": _pk(pk_ammonium_clegg1995),
    "NH3-PK5": _pk(pk_ammonium_clegg1995_free),
    "NH3-PK6": _pk(pk_ammonium_khoo1977),
    "NH3-PK7": _hampson,
    "NH3-REF": _rigorous,
}
