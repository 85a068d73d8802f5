"""What answers the rows of salinity, density, specific gravity, hydrometers and refraction.

Four rows of the TEOS-10 check cast and two of heat ask the library beneath us for something no function here wraps:
that the library installed is the one the others were computed with.
"""

import gsw
from tests.published.oracles import density_millero_poisson1981

from pratique.science.chemistry.density import density_kg_per_m3
from pratique.science.chemistry.hydrometer import salinity_from_hydrometer
from pratique.science.chemistry.refraction import refractive_index_quan1995
from pratique.science.chemistry.salinity import (
    conductivity_from_practical_salinity,
    conductivity_percent_per_k,
    practical_salinity_from_conductivity,
    reference_salinity_g_per_kg,
)
from pratique.science.chemistry.specific_gravity import salinity_from_specific_gravity, specific_gravity

# The conductivity that ratios are told against (Culkin & Smith 1980), mS/cm at salinity 35, t68 = 15 °C.
STANDARD_MS_PER_CM = 42.9140


def celsius_90(row):
    """Return the temperature in °C, ITS-90, of a row that gives it on either scale."""
    return row["t68_C"] / 1.00024 if "t68_C" in row else row["t90_C"]


def salinity_of_ratio(row):
    """Return the practical salinity of a conductivity ratio."""
    conductivity = row["R"] * STANDARD_MS_PER_CM
    return practical_salinity_from_conductivity(conductivity, celsius_90(row), pressure_dbar=row["p_dbar"])


def conductivity(row):
    """Return mS/cm of seawater."""
    return conductivity_from_practical_salinity(row["SP"], celsius_90(row))


def salinity_of_conductivity(row):
    """Return the practical salinity of a raw conductivity."""
    return practical_salinity_from_conductivity(row["C_mScm"], celsius_90(row))


def hydrometer(row):
    """Return the salinity of water in which a glass hydrometer floats, marked for one temperature alone."""
    return salinity_from_hydrometer(
        row["reading"],
        calibrated_at_c=row["tcal_C"],
        reference_c=row["tcal_C"],
        sample_c=row["t_C"],
        glass_expansion_per_k=row["gamma"],
    )


ROWS = {
    "PSS78-": salinity_of_ratio,
    "COND-": conductivity,
    "COND-6": salinity_of_conductivity,
    "COND-7": salinity_of_conductivity,
    "COND-8": lambda row: conductivity_percent_per_k(row["SP"], row["t90_C"]),
    "TEOS-1": lambda row: reference_salinity_g_per_kg(row["SP"]),
    "TEOS-2": lambda row: float(gsw.SA_from_SP(row["SP"], row["p_dbar"], row["lon"], row["lat"])),
    "TEOS-3": lambda row: float(gsw.CT_from_t(row["SA"], row["t90_C"], row["p_dbar"])),
    "TEOS-4": conductivity,
    "TEOS-5": lambda row: float(gsw.rho(row["SA"], row["CT_C"], row["p_dbar"])),
    "TEOS-6": lambda row: float(gsw.O2sol(row["SA"], row["CT_C"], row["p_dbar"], row["lon"], row["lat"])),
    "EOS80-": lambda row: density_millero_poisson1981(row["SP"], celsius_90(row)),
    "RHO-": lambda row: density_kg_per_m3(row["SP"], row["t90_C"]),
    "SG-": lambda row: specific_gravity(row["SP"], temperature_c=row["t90_C"], reference_c=row["tref_C"]),
    "SGINV-": lambda row: salinity_from_specific_gravity(
        row["SG"], temperature_c=row["t90_C"], reference_c=row["tref_C"]
    ),
    "HYD-": hydrometer,
    "RI-": lambda row: refractive_index_quan1995(row["S"], row["t_C"], row["lambda_nm"]),
    "FRZ-1": lambda row: float(gsw.t_freezing(row["SA"], row["p"], row["sat"])),
    "CP-1": lambda row: float(gsw.cp_t_exact(row["SA"], row["t90_C"], row["p"])),
}
