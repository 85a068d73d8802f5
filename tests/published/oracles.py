"""Published forms that the program itself does not use; its own are held against them here.

Every one is recalled or read as its docstring says. None refuses what lies outside its range: rows stay inside.
"""

import math

from pratique.science.chemistry import equilibria, ions

_ZERO_C = 273.15
_FRESH_PK = 9.244605


def pk_ammonium_clegg1995_free(salinity_psu, temperature_c):
    """Return the pK of ammonium on the free pH scale, in mol per kg of water.

    Source: Clegg & Whitfield 1995, the free-scale fit.
    """
    kelvin = temperature_c + _ZERO_C
    return (
        _FRESH_PK
        - 2729.33 * (1.0 / 298.15 - 1.0 / kelvin)
        + (0.0500616 - 9.412696 / kelvin - 2.029559e-7 * kelvin**2) * salinity_psu**0.5
        + (-0.0142372 + 1.46041e-5 * kelvin + 3.730005 / kelvin) * salinity_psu
        + (7.14045e-5 - 0.0229021 / kelvin) * salinity_psu**2
        + (-5.521278e-7 + 1.95413e-4 / kelvin) * salinity_psu**3
    )


def pk_ammonium_bell2008(salinity_psu, temperature_c):
    """Return the pK of ammonium as fitted for seawater pH as read.

    Source: Johansson & Wedborg 1980 as printed in the 2008 corrigendum to Bell et al. 2007. The temperature is in °C:
    with kelvin, as one public code has it, the result is nonsense.
    """
    return 10.0423 - 0.0315536 * temperature_c + 0.003071 * salinity_psu


def pk_ammonium_hampson1977(salinity_psu, temperature_c, *, pressure_atm=1.0):
    """Return the pK of ammonium behind the US saltwater criteria; its pH scale is not stated.

    Source: Hampson 1977 (from memory, recomputed). It gives 13 to 17 % more un-ionised ammonia than the rigorous way.
    """
    kelvin = temperature_c + _ZERO_C
    strength = 19.9273 * salinity_psu / (1000.0 - 1.005109 * salinity_psu)
    return 9.245 + 0.116 * strength + 0.0324 * (298.0 - kelvin) + 0.0415 * pressure_atm / kelvin


def density_millero_poisson1981(salinity_psu, temperature_c):
    """Return the density (kg/m³) of seawater at the surface by the older equation, which printed tables rest on.

    Source: Millero & Poisson 1981, the one-atmosphere equation of state of 1980 (coefficients recalled; they give the
    three check values of UNESCO Technical Paper 44, recalled too, to every digit).
    """
    t68 = temperature_c * 1.00024
    by_salinity = 0.824493 + t68 * (-4.0899e-3 + t68 * (7.6438e-5 + t68 * (-8.2467e-7 + t68 * 5.3875e-9)))
    by_power = -5.72466e-3 + t68 * (1.0227e-4 - t68 * 1.6546e-6)
    salts = salinity_psu * (by_salinity + by_power * salinity_psu**0.5 + 4.8314e-4 * salinity_psu)
    higher = -9.095290e-3 + t68 * (1.001685e-4 + t68 * (-1.120083e-6 + t68 * 6.536332e-9))
    return 999.842594 + t68 * (6.793952e-2 + t68 * higher) + salts


def oxygen_garcia1992_mmol_per_m3(salinity_psu, temperature_c):
    """Return the oxygen in mmol/m³ at saturation. Source: Garcia & Gordon 1992, Eq. 8 in mL/L, times 44.6596."""
    by_temperature = (2.00907, 3.22014, 4.05010, 4.94457, -0.256847, 3.88767)
    by_salt = (-0.00624523, -0.00737614, -0.0103410, -0.00817083)
    return 44.6596 * _garcia1992((by_temperature, by_salt, -4.88682e-7), salinity_psu, temperature_c)


def oxygen_garcia1992_umol_per_kg(salinity_psu, temperature_c):
    """Return the oxygen in µmol/kg at saturation. Source: Garcia & Gordon 1992, Eq. 8 in µmol/kg.

    gsw first turns the temperature into that of 1968, and gives 0.005 % less.
    """
    by_temperature = (5.80871, 3.20291, 4.17887, 5.10006, -0.0986643, 3.80369)
    by_salt = (-7.01577e-3, -7.70028e-3, -1.13864e-2, -9.51519e-3)
    return _garcia1992((by_temperature, by_salt, -2.75915e-7), salinity_psu, temperature_c)


def _garcia1992(fit, salinity_psu, temperature_c):
    scaled = math.log((298.15 - temperature_c) / (_ZERO_C + temperature_c))
    by_temperature, by_salt = (sum(one * scaled**power for power, one in enumerate(terms)) for terms in fit[:2])
    return math.exp(by_temperature + salinity_psu * by_salt + fit[2] * salinity_psu**2)


def oxygen_benson1984_mg_per_l(salinity_psu, temperature_c):
    """Return the oxygen in mg/L at saturation, by the form that water-testing handbooks tabulate.

    Source: Benson & Krause 1984 (the salinity term from memory).
    """
    kelvin = temperature_c + _ZERO_C
    fresh = -139.34411 + 1.575701e5 / kelvin - 6.642308e7 / kelvin**2 + 1.2438e10 / kelvin**3 - 8.621949e11 / kelvin**4
    return math.exp(fresh - salinity_psu * (1.7674e-2 - 10.754 / kelvin + 2140.7 / kelvin**2))


def kw_dickson2007(at):
    """Return the ion product of water in (mol/kg)², the handbook's rounded move of Millero 1995 to the total scale.

    0.8 % above the exact move, which the solver takes. Source: Dickson, Sabine & Christian 2007, ch. 5.
    """
    return equilibria.kw_sws_millero1995(at) * math.exp(148.9652 - 148.9802)


def total_borate_lee2010(at):
    """Return total borate in mol/kg by the newer, 4 % higher ratio to salinity (Lee et al. 2010)."""
    return at.salinity * (0.0004326 / 35.0)


def boron_mg_per_kg(salinity_psu):
    """Return all boron, acid and borate, as mg B per kg, from our table of ions and 10.811 g/mol (IUPAC)."""
    return 10.811 * (ions.ion_mmol_per_kg("B(OH)3", salinity_psu) + ions.ion_mmol_per_kg("B(OH)4", salinity_psu))
