"""The state of carbon dioxide in seawater at a known concentration of hydrogen ions: every species, Ω and buffer.

Everything inside is in mol/kg and on the total scale; what is handed out is in µmol/kg and µatm. Phosphate, silicate
and ammonia are left out: at a keeper's levels they weigh less than a µmol/kg. Not here: which two readings are known
(`carbonate_pairs`).
"""

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from pratique.science.chemistry import equilibria as eq
from pratique.science.chemistry.domain import Number
from pratique.science.chemistry.elementwise import LN10, log, log10
from pratique.science.chemistry.ph_scales import VALIDITY as NBS_VALIDITY
from pratique.science.chemistry.ph_scales import fh_takahashi1982, sws_over_free
from pratique.science.chemistry.validity import Validity

VALIDITY: tuple[Validity, ...] = (*eq.SALINITY_VALIDITY, *eq.TEMPERATURE_VALIDITY, *NBS_VALIDITY)


@dataclass(frozen=True, slots=True)
class CarbonateState[N: Number]:
    """Everything about carbon dioxide in one water, or in many at once.

    `revelle_factor` is the buffer: by how many per cent pCO2 rises when inorganic carbon rises by one at the same
    alkalinity. `extrapolated` names each published range that the water leaves.
    """

    alkalinity_umol_per_kg: N
    dic_umol_per_kg: N
    ph_total: N
    ph_nbs: N
    ph_free: N
    pco2_uatm: N
    co2_umol_per_kg: N
    bicarbonate_umol_per_kg: N
    carbonate_umol_per_kg: N
    omega_aragonite: N
    omega_calcite: N
    revelle_factor: N
    salinity_psu: N
    temperature_c: N
    calcium_umol_per_kg: N
    extrapolated: tuple[Validity, ...]


class Constants(NamedTuple):
    """What salinity and temperature alone decide: constants and totals in mol/kg, factors between pH scales."""

    water: eq.Water
    co2_per_uatm: Number
    k1: Number
    k1_k2: Number
    kb: Number
    kw: Number
    ks: Number
    kf: Number
    borate: Number
    sulphate: Number
    fluoride: Number
    total_by_free: Number
    total_minus_nbs: Number


def constants(salinity_psu: Number, temperature_c: Number) -> Constants:
    """Return the constants at practical salinity 1 to 50 and 0 to 45 °C; DomainError outside."""
    at = eq.water(salinity_psu, temperature_c)
    sulphate = eq.total_sulphate_morris1966(at)
    ks_free = eq.ks_free_dickson1990(at)
    by_free = 1.0 + sulphate / ks_free
    total_by_sws = by_free / sws_over_free(at, by_free)
    k1 = eq.k1_lueker2000(at)
    return Constants(
        water=at,
        co2_per_uatm=1e-6 * eq.k0_weiss1974(at) * eq.fugacity_factor_weiss1974(at),
        k1=k1,
        k1_k2=k1 * eq.k2_lueker2000(at),
        kb=eq.kb_dickson1990(at),
        kw=eq.kw_sws_millero1995(at) * total_by_sws,
        ks=ks_free + sulphate,
        kf=eq.kf_perez1987(at),
        borate=eq.total_borate_uppstrom1974(at),
        sulphate=sulphate,
        fluoride=eq.total_fluoride_riley1965(at),
        total_by_free=by_free,
        total_minus_nbs=log10(fh_takahashi1982(at) / total_by_sws),
    )


def other_alkalinity(hydrogen: Number, at: Constants) -> tuple[Number, Number]:
    """Return the alkalinity that is not carbonate, and how it changes per unit of the logarithm of hydrogen."""
    with_boron = at.kb + hydrogen
    borate = at.borate * at.kb / with_boron
    hydroxide = at.kw / hydrogen
    free = hydrogen / at.total_by_free
    with_sulphate, with_fluoride = at.ks + hydrogen, at.kf + hydrogen
    bisulphate = at.sulphate * hydrogen / with_sulphate
    fluoride = at.fluoride * hydrogen / with_fluoride
    acid_slope = free + bisulphate * at.ks / with_sulphate + fluoride * at.kf / with_fluoride
    value = borate + hydroxide - free - bisulphate - fluoride
    return value, -(borate * hydrogen / with_boron + hydroxide + acid_slope)


def carbon_from_alkalinity(carbonate_alkalinity: Number, hydrogen: Number, at: Constants) -> Number:
    """Return the inorganic carbon that holds this alkalinity as bicarbonate and carbonate."""
    first = at.k1 * hydrogen
    return carbonate_alkalinity * (hydrogen * hydrogen + first + at.k1_k2) / (first + 2.0 * at.k1_k2)


def carbon_from_co2(co2: Number, hydrogen: Number, at: Constants) -> Number:
    """Return the inorganic carbon that comes with this carbon dioxide."""
    return co2 * (1.0 + (at.k1 + at.k1_k2 / hydrogen) / hydrogen)


def state_at(
    hydrogen: Number, carbon: Number, at: Constants, *, temperature_c: Number, calcium: Number | None
) -> CarbonateState[Number]:
    """Return the state at this hydrogen ion concentration and inorganic carbon; calcium None is the ocean's.

    Source: the definitions in Dickson, Sabine & Christian 2007, ch. 2, with the constants of `equilibria`.
    """
    ph_total = log(hydrogen) / -LN10
    found = {
        "ph_total": ph_total,
        "ph_nbs": ph_total - at.total_minus_nbs,
        "ph_free": ph_total + log10(at.total_by_free),
        "salinity_psu": at.water.salinity,
        "temperature_c": temperature_c,
        "calcium_umol_per_kg": 1e6 * (eq.total_calcium_riley1967(at.water) if calcium is None else calcium),
    }
    found |= _species(hydrogen, carbon, at)
    ionic_product = 1e-12 * found["calcium_umol_per_kg"] * found["carbonate_umol_per_kg"]
    found["omega_aragonite"] = ionic_product / eq.ksp_aragonite_mucci1983(at.water)
    found["omega_calcite"] = ionic_product / eq.ksp_calcite_mucci1983(at.water)
    return CarbonateState(**_of_one_shape(found), extrapolated=_extrapolated(at.water.salinity, temperature_c))


def _species(hydrogen: Number, carbon: Number, at: Constants) -> dict[str, Number]:
    """Return what the carbon is made of, the alkalinity it comes with, and the buffer."""
    first = at.k1 * hydrogen
    square = hydrogen * hydrogen
    per_whole = carbon / (square + first + at.k1_k2)
    co2, bicarbonate, carbonate = square * per_whole, first * per_whole, at.k1_k2 * per_whole
    held = bicarbonate + 2.0 * carbonate
    other, other_slope = other_alkalinity(hydrogen, at)
    # The derivatives of ln CO2 and ln DIC by ln h at one alkalinity; their ratio is the Revelle factor.
    shared = -(other_slope + bicarbonate) / held
    return {
        "alkalinity_umol_per_kg": 1e6 * (held + other),
        "dic_umol_per_kg": 1e6 * carbon,
        "pco2_uatm": co2 / at.co2_per_uatm,
        "co2_umol_per_kg": 1e6 * co2,
        "bicarbonate_umol_per_kg": 1e6 * bicarbonate,
        "carbonate_umol_per_kg": 1e6 * carbonate,
        "revelle_factor": (shared + 2.0) / (shared + (2.0 * co2 + bicarbonate) / carbon),
    }


def _of_one_shape(found: dict[str, Number]) -> dict[str, Number]:
    """Return every field as an array of one shape where any is an array; numbers as they are."""
    shapes = {field.shape for field in found.values() if isinstance(field, np.ndarray)}
    if not shapes:
        return found
    shape = np.broadcast_shapes(*shapes)
    return {name: np.broadcast_to(np.asarray(field, dtype=float), shape) for name, field in found.items()}


def _extrapolated(salinity_psu: Number, temperature_c: Number) -> tuple[Validity, ...]:
    nbs = tuple(span for span in NBS_VALIDITY if eq.leaves(span, salinity_psu))
    return eq.extrapolated(salinity_psu, temperature_c) + nbs
