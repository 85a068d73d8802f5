"""The true temperature, pH and salinity of each system: slow, smooth swings around what the keeper aims at."""

import math
from dataclasses import dataclass

from pratique.demo.tank import MINUTES_PER_DAY, Water
from pratique.science.chemistry.ammonia import un_ionised_ammonia_mg_n_per_l


@dataclass(frozen=True)
class Conditions:
    """True pH (NBS), temperature in °C and practical salinity at one minute."""

    ph: float
    temperature_c: float
    salinity_psu: float


def conditions(system: str, minute: int) -> Conditions:
    """Return the true conditions of a system; pH follows the light over Skerry, and only a little elsewhere."""
    day = minute / MINUTES_PER_DAY
    light = math.sin(2.0 * math.pi * (day - 0.375))
    weeks = math.sin(2.0 * math.pi * day / 9.0)
    match system:
        case "skerry":
            return Conditions(8.18 + 0.10 * light, 25.4 + 0.3 * light + 0.2 * weeks, 34.8 + 0.3 * weeks)
        case "haven":
            return Conditions(8.10 + 0.02 * light, 25.2 + 0.2 * weeks, 34.5 + 0.2 * weeks)
        case _:
            return Conditions(8.08 + 0.02 * light + 0.01 * weeks, 25.5 + 0.2 * light, 34.3 + 0.4 * weeks)


def un_ionised_mg_n_per_l(water: Water, around: Conditions) -> float:
    """Return the true un-ionised ammonia in mg N/L."""
    return un_ionised_ammonia_mg_n_per_l(
        water.total_ammonia_mg_n_per_l, around.ph, around.temperature_c, around.salinity_psu
    )
