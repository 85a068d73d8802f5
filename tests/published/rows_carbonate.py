"""What answers the rows of the carbonate system, its constants and scales, alkalinity, and the ions."""

import math

from tests.published import oracles

from pratique.science.chemistry import alkalinity, equilibria, ions, nutrient_acids
from pratique.science.chemistry.carbonate_pairs import (
    state_from_alkalinity_dic,
    state_from_alkalinity_pco2,
    state_from_alkalinity_ph,
)
from pratique.science.chemistry.density import density_kg_per_m3
from pratique.science.chemistry.ph_after_dosing import state_after_alkalinity
from pratique.science.chemistry.ph_scales import ph_on_scale


def water(row):
    """Return the row's salinity and temperature by our names."""
    return {"salinity_psu": row["S"], "temperature_c": row["t_C"]}


def ln_of(constant):
    """Return what answers a row with the natural logarithm of a constant."""
    return lambda row: math.log(constant(equilibria.water(row["S"], row["t_C"])))


def umol_of(total):
    """Return what answers a row with a total in µmol/kg; it depends on salinity alone."""
    return lambda row: 1e6 * total(equilibria.water(row["S"], 25.0))


def solved(field):
    """Return what answers a row with a field of the state from alkalinity and inorganic carbon."""
    return lambda row: getattr(state_from_alkalinity_dic(row["TA"], row["DIC"], **water(row)), field)


def from_total(scale):
    """Return what answers a row with a pH on another scale."""
    return lambda row: ph_on_scale(row["pH_total"], "total", scale, **water(row))


def alkalinity_umol_per_kg(row, name="alk_dKH"):
    """Return the row's dKH in µmol/kg."""
    density = density_kg_per_m3(row["S"], row["t_C"])
    return alkalinity.alkalinity_as(row[name], "dKH", "µmol/kg", density_kg_per_m3=density)


def reef(field):
    """Return what answers a row with a field of a reef tank's state."""
    return lambda row: getattr(
        state_from_alkalinity_ph(
            alkalinity_umol_per_kg(row),
            row["pH_total"],
            ph_scale="total",
            calcium_mg_per_l=row["Ca_mgL"],
            **water(row),
        ),
        field,
    )


def ph_under_air(row):
    """Return the total-scale pH of water at rest with air."""
    return state_from_alkalinity_pco2(alkalinity_umol_per_kg(row), row["pCO2_uatm"], **water(row)).ph_total


def ph_change(reagent):
    """Return what answers a row with the change of pH by 1 dKH."""

    def change(row):
        before = state_from_alkalinity_ph(
            alkalinity_umol_per_kg(row, "alk0_dKH"), row["pH_total0"], ph_scale="total", **water(row)
        )
        after = state_after_alkalinity(before, added_meq_per_l=1.0 / alkalinity.DKH_PER_MEQ, reagent=reagent)
        return after.ph_total - before.ph_total

    return change


def always(value):
    """Return what answers a row without inputs."""
    return lambda _row: value


def ion_named(row):
    """Return the ion of a row such as `ION-Na`."""
    return row["id"].partition("-")[2]


def ion(row):
    """Return mg/kg of an ion; the row of all boron is in mg/L."""
    if ion_named(row) == "B":
        return oracles.boron_mg_per_kg(row["SP"]) * density_kg_per_m3(row["SP"], row["t_C"]) / 1000.0
    return ions.ion_mg_per_kg(ion_named(row), row["SP"])


ROWS = {
    "DSC07-lnK0": ln_of(equilibria.k0_weiss1974),
    "DSC07-lnK1": ln_of(equilibria.k1_lueker2000),
    "DSC07-lnK2": ln_of(equilibria.k2_lueker2000),
    "DSC07-lnKB": ln_of(equilibria.kb_dickson1990),
    "DSC07-lnKW": ln_of(oracles.kw_dickson2007),
    "DSC07-lnKHSO4_free": ln_of(equilibria.ks_free_dickson1990),
    "DSC07-lnKF": ln_of(equilibria.kf_perez1987),
    "DSC07-lnKspA": ln_of(equilibria.ksp_aragonite_mucci1983),
    "DSC07-lnKspC": ln_of(equilibria.ksp_calcite_mucci1983),
    "DSC07-lnKP1": ln_of(nutrient_acids.kp1_millero1995),
    "DSC07-lnKP2": ln_of(nutrient_acids.kp2_millero1995),
    "DSC07-lnKP3": ln_of(nutrient_acids.kp3_millero1995),
    "DSC07-lnKSi": ln_of(nutrient_acids.ksi_millero1995),
    "TOT-total_borate": umol_of(equilibria.total_borate_uppstrom1974),
    "TOT-borate-lee": umol_of(oracles.total_borate_lee2010),
    "TOT-total_sulfate": umol_of(equilibria.total_sulphate_morris1966),
    "TOT-total_fluoride": umol_of(equilibria.total_fluoride_riley1965),
    "TOT-total_calcium": umol_of(equilibria.total_calcium_riley1967),
    "CO2-pH_total": solved("ph_total"),
    "CO2-pCO2": solved("pco2_uatm"),
    "CO2-carbonate": solved("carbonate_umol_per_kg"),
    "CO2-bicarbonate": solved("bicarbonate_umol_per_kg"),
    "CO2-aqueous_CO2": solved("co2_umol_per_kg"),
    "CO2-saturation_aragonite": solved("omega_aragonite"),
    "CO2-saturation_calcite": solved("omega_calcite"),
    "SCALE-pH_nbs": from_total("nbs"),
    "SCALE-pH_free": from_total("free"),
    "SCALE-pH_sws": from_total("sws"),
    "REEF-om": reef("omega_aragonite"),
    "REEF-pc": reef("pco2_uatm"),
    "EQPH-": ph_under_air,
    "DOSEPH-NaHCO3": ph_change("bicarbonate"),
    "DOSEPH-Na2CO3": ph_change("carbonate"),
    "DOSEPH-hydroxide": ph_change("hydroxide"),
    "ALK-1": always(alkalinity.alkalinity_as(1.0, "meq/L", "dKH")),
    "ALK-2": always(alkalinity.DKH_PER_MEQ_EXACT),
    "ALK-3": always(alkalinity.CACO3_MG_PER_MEQ_EXACT),
    "ALK-4": always(alkalinity.CACO3_MG_PER_DKH_EXACT),
    "ALK-5": alkalinity_umol_per_kg,
    "ION-": ion,
    "IONMOL-": lambda row: ions.ion_mmol_per_kg(ion_named(row), row["SP"]),
    "IONL-": lambda row: ions.ion_mg_per_l(ion_named(row), row["SP"], row["t_C"]),
    "CAALK-1": always(ions.CALCIUM_MG_PER_MEQ),
    "CAALK-2": always(ions.CALCIUM_MG_PER_L_PER_DKH),
    "CAALK-3": always(ions.CALCIUM_MG_PER_MEQ / alkalinity.DKH_PER_MEQ_EXACT),
}
