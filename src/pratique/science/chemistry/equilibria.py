"""The constants of seawater's acids and minerals, each by one published equation, in mol/kg of solution.

pH scale: total, unless the name ends in `_free`. Every equation takes a `Water`, which holds the powers and logarithms
they share. Not here: what is done with them (`carbonate`), and conversion between scales (`ph_scales`).
"""

from typing import NamedTuple

import numpy as np

from pratique.science.chemistry.domain import Number, require_within
from pratique.science.chemistry.elementwise import LN10, exp, log, sqrt, ten_to
from pratique.science.chemistry.validity import Validity

# Beyond these the polynomials run away from anything measured, and an answer would be nonsense.
SALINITY_BOUNDS_PSU = (1.0, 50.0)
TEMPERATURE_BOUNDS_C = (0.0, 45.0)

# Weiss states 0 to 40; the spans of Dickson, Millero and Takahashi are recalled.
SALINITY_VALIDITY = (
    Validity("Salinity", 19.0, 43.0, "", "carbonic acid: Lueker et al. 2000"),
    Validity("Salinity", 0.0, 40.0, "", "solubility of carbon dioxide: Weiss 1974"),
    Validity("Salinity", 5.0, 45.0, "", "boric and sulphuric acid: Dickson 1990"),
    Validity("Salinity", 5.0, 44.0, "", "aragonite and calcite: Mucci 1983"),
)
TEMPERATURE_VALIDITY = (
    Validity("Temperature", 2.0, 35.0, "°C", "carbonic acid: Lueker et al. 2000"),
    Validity("Temperature", -1.0, 40.0, "°C", "solubility of carbon dioxide: Weiss 1974"),
    Validity("Temperature", 0.0, 45.0, "°C", "boric and sulphuric acid: Dickson 1990"),
    Validity("Temperature", 5.0, 40.0, "°C", "aragonite and calcite: Mucci 1983"),
)


class Water(NamedTuple):
    """Salinity and temperature with what every equation makes of them: powers, logarithms and ionic strength."""

    salinity: Number
    root_salinity: Number
    salinity_to_1_5: Number
    kelvin: Number
    per_kelvin: Number
    log_kelvin: Number
    ionic_strength: Number
    root_ionic_strength: Number
    to_solution: Number


def water(salinity_psu: Number, temperature_c: Number) -> Water:
    """Return what the equations share for practical salinity 1 to 50 and 0 to 45 °C; DomainError outside."""
    require_bounds("Salinity", salinity_psu, SALINITY_BOUNDS_PSU)
    require_bounds("Temperature", temperature_c, TEMPERATURE_BOUNDS_C, "°C")
    root = sqrt(salinity_psu)
    kelvin = temperature_c + 273.15
    to_solution = 1.0 - 0.001005 * salinity_psu
    ionic = 0.019924 * salinity_psu / to_solution
    return Water(
        salinity=salinity_psu,
        root_salinity=root,
        salinity_to_1_5=salinity_psu * root,
        kelvin=kelvin,
        per_kelvin=1.0 / kelvin,
        log_kelvin=log(kelvin),
        ionic_strength=ionic,
        root_ionic_strength=sqrt(ionic),
        to_solution=to_solution,
    )


def k0_weiss1974(at: Water) -> Number:
    """Return the solubility of carbon dioxide in mol/(kg atm), -1 to 40 °C and S 0 to 40.

    Source: Weiss 1974, Mar. Chem. 2:203, as in Dickson, Sabine & Christian 2007, ch. 5.
    """
    hundredths = 0.01 * at.kelvin
    by_salinity = 0.023517 + hundredths * (-0.023656 + 0.0047036 * hundredths)
    # ln(T/100) = ln T - ln 100
    return exp(-60.2409 + 9345.17 * at.per_kelvin + 23.3585 * (at.log_kelvin - 2.0 * LN10) + at.salinity * by_salinity)


def k1_lueker2000(at: Water) -> Number:
    """Return the first constant of carbonic acid, S 19 to 43 and 2 to 35 °C.

    Source: Lueker, Dickson & Keeling 2000, Mar. Chem. 70:105.
    """
    pk = 3633.86 * at.per_kelvin - 61.2172 + 9.67770 * at.log_kelvin
    return ten_to(at.salinity * (0.011555 - 0.0001152 * at.salinity) - pk)


def k2_lueker2000(at: Water) -> Number:
    """Return the second constant of carbonic acid, S 19 to 43 and 2 to 35 °C.

    Source: Lueker, Dickson & Keeling 2000, Mar. Chem. 70:105.
    """
    pk = 471.78 * at.per_kelvin + 25.9290 - 3.16967 * at.log_kelvin
    return ten_to(at.salinity * (0.01781 - 0.0001122 * at.salinity) - pk)


def kb_dickson1990(at: Water) -> Number:
    """Return the constant of boric acid, S 5 to 45 and 0 to 45 °C.

    Source: Dickson 1990, Deep-Sea Res. 37:755.
    """
    s, root, to_1_5 = at.salinity, at.root_salinity, at.salinity_to_1_5
    by_kelvin = -8966.90 - 2890.53 * root - 77.942 * s + 1.728 * to_1_5 - 0.0996 * s * s
    by_log = -24.4344 - 25.085 * root - 0.2474 * s
    rest = 148.0248 + 137.1942 * root + 1.62142 * s
    return exp(by_kelvin * at.per_kelvin + rest + by_log * at.log_kelvin + 0.053105 * root * at.kelvin)


def kw_sws_millero1995(at: Water) -> Number:
    """Return the ion product of water in (mol/kg)² on the seawater scale, S 0 to 45 and 0 to 45 °C (span recalled).

    Source: Millero 1995, Geochim. Cosmochim. Acta 59:661.
    """
    by_root = 118.67 * at.per_kelvin - 5.977 + 1.0495 * at.log_kelvin
    by_kelvin = -13847.26 * at.per_kelvin - 23.6521 * at.log_kelvin
    return exp(by_kelvin + by_root * at.root_salinity - 0.01615 * at.salinity + 148.9802)


def ks_free_dickson1990(at: Water) -> Number:
    """Return the constant of bisulphate on the free scale, S 5 to 45 and 0 to 45 °C.

    Source: Dickson 1990, J. Chem. Thermodyn. 22:113.
    """
    ionic, root, inverse, log_t = at.ionic_strength, at.root_ionic_strength, at.per_kelvin, at.log_kelvin
    by_root = -13856.0 * inverse + 324.57 - 47.986 * log_t
    by_ionic = 35474.0 * inverse - 771.54 + 114.723 * log_t
    higher = inverse * ionic * (1776.0 * ionic - 2698.0 * root)
    fresh = -4276.1 * inverse + 141.328 - 23.093 * log_t
    return exp(fresh + by_root * root + by_ionic * ionic + higher) * at.to_solution


def kf_perez1987(at: Water) -> Number:
    """Return the constant of hydrogen fluoride, S 10 to 40 and 9 to 33 °C.

    Source: Perez & Fraga 1987, Mar. Chem. 21:161.
    """
    return exp(874.0 * at.per_kelvin - 9.68 + 0.111 * at.root_salinity)


def kf_free_dickson1979(at: Water) -> Number:
    """Return the constant of hydrogen fluoride on the free scale, for conversion between scales.

    Source: Dickson & Riley 1979, Mar. Chem. 7:89 (recalled; agrees with PyCO2SYS).
    """
    return exp(1590.2 * at.per_kelvin - 12.641 + 1.525 * at.root_ionic_strength) * at.to_solution


def ksp_aragonite_mucci1983(at: Water) -> Number:
    """Return the solubility product of aragonite in (mol/kg)², S 5 to 44 and 5 to 40 °C.

    Source: Mucci 1983, Am. J. Sci. 283:780.
    """
    by_root = -0.068393 + 0.0017276 * at.kelvin + 88.135 * at.per_kelvin
    fresh = -171.945 - 0.077993 * at.kelvin + 2903.293 * at.per_kelvin + (71.595 / LN10) * at.log_kelvin
    return ten_to(fresh + by_root * at.root_salinity - 0.10018 * at.salinity + 0.0059415 * at.salinity_to_1_5)


def ksp_calcite_mucci1983(at: Water) -> Number:
    """Return the solubility product of calcite in (mol/kg)², S 5 to 44 and 5 to 40 °C.

    Source: Mucci 1983, Am. J. Sci. 283:780.
    """
    by_root = -0.77712 + 0.0028426 * at.kelvin + 178.34 * at.per_kelvin
    fresh = -171.9065 - 0.077993 * at.kelvin + 2839.319 * at.per_kelvin + (71.595 / LN10) * at.log_kelvin
    return ten_to(fresh + by_root * at.root_salinity - 0.07711 * at.salinity + 0.0041249 * at.salinity_to_1_5)


def fugacity_factor_weiss1974(at: Water) -> Number:
    """Return fugacity over partial pressure of carbon dioxide in air at 1 atm.

    Source: Weiss 1974, virial coefficients, with the gas constant 83.14462618 cm³ bar/(mol K).
    """
    t = at.kelvin
    pure = -1636.75 + t * (12.0408 + t * (-0.0327957 + t * 3.16528e-5))
    with_air = 57.7 - 0.118 * t
    return exp((pure + 2.0 * with_air) * (1.01325 / 83.14462618) * at.per_kelvin)


def total_borate_uppstrom1974(at: Water) -> Number:
    """Return total borate in mol/kg, in proportion to salinity (Uppström 1974)."""
    return at.salinity * (0.000232 / (10.811 * 1.80655))


def total_sulphate_morris1966(at: Water) -> Number:
    """Return total sulphate in mol/kg, in proportion to salinity (Morris & Riley 1966)."""
    return at.salinity * (0.14 / (96.062 * 1.80655))


def total_fluoride_riley1965(at: Water) -> Number:
    """Return total fluoride in mol/kg, in proportion to salinity (Riley 1965)."""
    return at.salinity * (0.000067 / (18.998 * 1.80655))


def total_calcium_riley1967(at: Water) -> Number:
    """Return calcium in mol/kg, in proportion to salinity (Riley & Tongudai 1967)."""
    return at.salinity * (0.02128 / (40.087 * 1.80655))


def extrapolated(salinity_psu: Number, temperature_c: Number) -> tuple[Validity, ...]:
    """Return every published range that some salinity or temperature leaves."""
    if _all_within(salinity_psu, *_EVERY_SALINITY) and _all_within(temperature_c, *_EVERY_TEMPERATURE):
        return ()
    by_salinity = [span for span in SALINITY_VALIDITY if leaves(span, salinity_psu)]
    by_temperature = [span for span in TEMPERATURE_VALIDITY if leaves(span, temperature_c)]
    return (*by_salinity, *by_temperature)


def leaves(span: Validity, value: Number) -> bool:
    """Say whether any value leaves a published range, as `outside` does but quick for a single number."""
    return not _all_within(value, span.lower, span.upper)


def require_bounds(name: str, value: Number, bounds: tuple[float, float], unit: str = "") -> None:
    """Raise DomainError unless every value lies within the bounds; quick for a single number."""
    if not _all_within(value, *bounds):
        require_within(name, value, lower=bounds[0], upper=bounds[1], unit=unit)


def _all_within(value: Number, lower: float, upper: float) -> bool:
    if isinstance(value, np.ndarray):
        return not value.size or bool(value.min() >= lower and value.max() <= upper)
    return lower <= value <= upper


# The spans that lie within every relation's own: nothing to look for inside them.
_EVERY_SALINITY = (max(v.lower for v in SALINITY_VALIDITY), min(v.upper for v in SALINITY_VALIDITY))
_EVERY_TEMPERATURE = (max(v.lower for v in TEMPERATURE_VALIDITY), min(v.upper for v in TEMPERATURE_VALIDITY))
