"""What a fish loses when it does not eat, from its weight and the temperature."""

import math

from pratique.science.chemistry.domain import require_above_zero, require_within

_KELVIN_AT_0_C = 273.15
_AT_WEIGHT_G = 50.0
_WEIGHT_EXPONENT = 0.80
_MG_O2_PER_MMOL = 32.0
_KJ_PER_G_O2 = 13.6
_KJ_PER_G_BODY = 5.39
_HOURS_PER_DAY = 24.0


def resting_oxygen_clarke1999(weight_g: float, temperature_c: float) -> float:
    """Return the oxygen a resting fish uses, mg/h, from its weight in g and the temperature in °C.

    Raises DomainError outside 0 to 35 °C or for no weight. Source: Clarke & Johnston 1999: ln R = 15.7 - 5.02 (1000/T)
    in mmol/h for 50 g, here with their exponent 0.80 of the weight.
    """
    require_above_zero("The weight", weight_g, unit="g")
    require_within("The temperature", temperature_c, lower=0.0, upper=35.0, unit="°C")
    for_50_g = math.exp(15.7 - 5.02 * 1000.0 / (temperature_c + _KELVIN_AT_0_C))
    return float(for_50_g * _MG_O2_PER_MMOL * (weight_g / _AT_WEIGHT_G) ** _WEIGHT_EXPONENT)


def fasting_loss_per_day(weight_g: float, temperature_c: float) -> float:
    """Return the part of its weight a resting fish loses in a day without food. Raises DomainError as above.

    Its own body is burnt: 13.6 kJ per g of oxygen (Elliott & Davison 1975, recalled) and 5.39 kJ per g of whole body
    (clownfish, Lupatsch et al. 2013).
    """
    burnt_kj = resting_oxygen_clarke1999(weight_g, temperature_c) / 1000.0 * _KJ_PER_G_O2 * _HOURS_PER_DAY
    return burnt_kj / _KJ_PER_G_BODY / weight_g
