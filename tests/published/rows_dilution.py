"""Rows on dilution and mixing: closed forms of mass balance, which need no other source."""

from collections.abc import Callable, Mapping

from pratique.science.chemistry.dilution import (
    after_change,
    after_flow,
    after_n_changes,
    change_fraction_to_reach,
    changes_between,
    volumes_to_reach,
)
from pratique.science.chemistry.level_over_time import Routine, sawtooth
from pratique.science.chemistry.mixing import after_evaporation
from pratique.science.chemistry.ph_after_dosing import limewater_meq_per_l
from pratique.science.chemistry.reagents import grams_to_raise, salt
from pratique.units import to_canonical

type Inputs = Mapping[str, float]


def _decay(row: Inputs) -> float:
    routine = Routine(production=row["P"], exchange=row["q"], incoming=row["Cin"], loss=row["k"])
    return routine.level_after(row["t"], start=row["C0"])


def _bicarbonate_a_day(row: Inputs) -> float:
    meq_per_l = to_canonical(row["rate"], "dKH", "meq/L")
    return grams_to_raise(salt("NaHCO3"), "alkalinity", raise_by=meq_per_l, volume_l=row["V_L"])


def _limewater(row: Inputs) -> float:
    added = limewater_meq_per_l(row["v"], net_volume_l=row["V"], strength_meq_per_l=row["c_meqL"])
    return to_canonical(added, "meq/L", "dKH")


ROWS: dict[str, Callable[[Inputs], float]] = {
    "DIL-1": lambda row: after_change(row["C0"], row["f"], row["Cin"]),
    "DIL-2": lambda row: after_change(row["C0"], row["f"], row["Cin"]),
    "DIL-3": lambda row: after_n_changes(1.0, row["f"], changes=int(row["n"])),
    "DIL-4": lambda row: after_flow(1.0, row["q"]),
    "DIL-5": lambda row: changes_between(row["C0"], row["Ct"], fraction=row["f"]),
    "DIL-6": lambda row: volumes_to_reach(row["C0"], row["Ct"]),
    "DIL-7": lambda row: sawtooth(row["rise_per_period"], row["f"], incoming=row["Cin"]).peak,
    "DIL-8": lambda row: sawtooth(row["rise_per_period"], row["f"], incoming=row["Cin"]).trough,
    "DIL-9": lambda row: after_evaporation(row["S"], volume_l=row["V_L"], evaporated_l=row["evap_L"]),
    "DIL-10": lambda row: change_fraction_to_reach(row["S0"], row["S1"]),
    "DIL-11": lambda row: change_fraction_to_reach(row["S0"], row["S1"], incoming=row["Sin"]),
    "DIL-12": _bicarbonate_a_day,
    "DIL-13": _decay,
    "DIL-14": _limewater,
}
