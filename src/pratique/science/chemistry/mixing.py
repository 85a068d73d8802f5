"""Making, blending and keeping salt water: by mass, for volumes of different density do not simply add up.

Not here: levels of one constituent by water changes (`dilution`).
"""

from dataclasses import dataclass

from pratique.science.chemistry.density import density_kg_per_m3, grams_per_litre
from pratique.science.chemistry.domain import (
    DomainError,
    require_above_zero,
    require_at_least,
    require_finite,
    require_within,
)
from pratique.science.chemistry.salinity import (
    practical_salinity_from_reference,
    reference_salinity_g_per_kg,
    require_salinity,
)


@dataclass(frozen=True)
class Water:
    """A body of water: litres, practical salinity and °C; DomainError for a volume that is not above zero."""

    volume_l: float
    salinity_psu: float
    temperature_c: float = 25.0

    def __post_init__(self) -> None:
        require_above_zero("The volume", self.volume_l, unit="L")

    def mass_kg(self) -> float:
        """Return its mass in kg; DomainError as `density_kg_per_m3`."""
        return self.volume_l * density_kg_per_m3(self.salinity_psu, self.temperature_c) / 1000.0


def after_evaporation(salinity_psu: float, *, volume_l: float, evaporated_l: float) -> float:
    """Return the salinity after litres of fresh water are gone, by volumes; a 50th lost reads 0.02 too high so.

    Raises DomainError unless some water is left, or above a salinity of 70. Source: the salt stays.
    """
    require_at_least("The salinity", salinity_psu, lower=0.0)
    _require_some_left(volume_l, evaporated_l)
    left = salinity_psu * volume_l / (volume_l - evaporated_l)
    require_salinity(left)
    return left


def after_evaporation_by_mass(water: Water, *, evaporated_l: float) -> float:
    """Return the salinity after litres of fresh water are gone, exactly: by the mass of the tank and of what left it.

    Raises DomainError unless some water is left, or above a salinity of 70.
    """
    _require_some_left(water.volume_l, evaporated_l)
    mass = water.mass_kg()
    lost = evaporated_l * density_kg_per_m3(0.0, water.temperature_c) / 1000.0
    left = water.salinity_psu * mass / (mass - lost)
    require_salinity(left)
    return left


def evaporated_l(salinity_before_psu: float, salinity_after_psu: float, *, volume_l: float) -> float:
    """Return the litres of fresh water to put back, from the salinity before and after; `volume_l` is the full tank.

    By volumes, as `after_evaporation`. Raises DomainError unless the salinity rose from above zero.
    """
    require_at_least("The volume", volume_l, lower=0.0)
    require_finite("The salinity after", salinity_after_psu)
    if not 0.0 < salinity_before_psu <= salinity_after_psu:
        raise DomainError("Evaporation only raises salinity, and only where there is some; check the two readings.")
    return volume_l * (1.0 - salinity_before_psu / salinity_after_psu)


def salt_for_new_water_g(made: Water, *, salt_part: float = 1.0) -> float:
    """Return the grams of dry sea salt in water made up to a volume, at a salinity and temperature.

    `salt_part` is the part of the mix that is salt: most hold some moisture. Dissolve in less water, then fill up.
    Raises DomainError as `grams_per_litre`, or for a part outside 0 to 1. Source: reference salinity times density.
    """
    _require_part(salt_part)
    return made.volume_l * grams_per_litre(made.salinity_psu, made.temperature_c) / salt_part


def salt_to_raise_g(water: Water, target_psu: float, *, salt_part: float = 1.0) -> float:
    """Return the grams of dry sea salt that raise a body of water to a salinity, counting the salt's own mass.

    Raises DomainError for a target below the water's salinity, as `density_kg_per_m3`, or for a part outside 0 to 1.
    """
    _require_part(salt_part)
    require_at_least("The target", target_psu, lower=water.salinity_psu)
    before, after = reference_salinity_g_per_kg(water.salinity_psu), reference_salinity_g_per_kg(target_psu)
    # Moisture in the mix waters it down: of each gram of mix only `salt_part` is salt, and all of it adds mass.
    return 1000.0 * water.mass_kg() * (after - before) / (1000.0 * salt_part - after)


def blend(first: Water, second: Water) -> Water:
    """Return what two waters make together: salt and warmth by mass, volume by the density of the blend.

    Heat capacity is taken as equal, which costs 0.05 °C in 10 (salt water holds 5 % less heat than fresh).
    Raises DomainError as `density_kg_per_m3`.
    """
    masses = first.mass_kg(), second.mass_kg()
    total = sum(masses)
    salt = masses[0] * reference_salinity_g_per_kg(first.salinity_psu)
    salt += masses[1] * reference_salinity_g_per_kg(second.salinity_psu)
    salinity = practical_salinity_from_reference(salt / total)
    temperature = (masses[0] * first.temperature_c + masses[1] * second.temperature_c) / total
    return Water(1000.0 * total / density_kg_per_m3(salinity, temperature), salinity, temperature)


def blended_level(first_level: float, first_l: float, second_level: float, second_l: float) -> float:
    """Return the level in mg/L (or any unit per litre) of two waters together, by volume.

    Raises DomainError for a volume below zero, or where both are zero.
    """
    require_finite("The first level", first_level)
    require_finite("The second level", second_level)
    require_at_least("The volume", first_l, lower=0.0)
    require_at_least("The volume", second_l, lower=0.0)
    if first_l + second_l == 0.0:
        raise DomainError("Two empty volumes make no water.")
    return (first_level * first_l + second_level * second_l) / (first_l + second_l)


def _require_some_left(volume_l: float, evaporated: float) -> None:
    require_above_zero("The volume", volume_l, unit="L")
    require_at_least("The evaporated water", evaporated, lower=0.0)
    if evaporated >= volume_l:
        raise DomainError("More water cannot evaporate than there is.")


def _require_part(salt_part: float) -> None:
    require_within("The part of the mix that is salt", salt_part, lower=0.5, upper=1.0)
