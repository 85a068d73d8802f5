"""Who uses up oxygen, and how long what is there lasts once the flow stops. Not here: saturation (`oxygen`)."""

import math
from collections.abc import Iterable
from dataclasses import dataclass

from pratique.knowledge import figure
from pratique.science.chemistry.domain import require_at_least, require_within
from pratique.science.chemistry.oxygen import OXYGEN_G_PER_MOL
from pratique.science.chemistry.validity import Validity

VALIDITY = (
    Validity("temperature", 0.0, 30.0, "°C", "Clarke & Johnston 1999: 69 teleosts (the span from memory)"),
    Validity("mass", 0.04, 3000.0, "g", "Clarke & Johnston 1999; Nilsson et al. 2007 (the upper end from memory)"),
)
_STANDARD_G = 50.0
_ALL_TELEOSTS = 0.79
# Mass-specific rate falls with the power -0.367, so the rate of the whole fish rises with 1 - 0.367.
_REEF_FISHES = 1.0 - 0.367


@dataclass(frozen=True)
class FishDemand:
    """Oxygen that fish take in mg/h: `resting`, and from the least to the most that their size and activity allow.

    `lower` and `upper` hold the spread between two published ways to scale with size; `upper` is also active or fed.
    """

    resting: float
    lower: float
    upper: float


def resting_demand_clarke1999_mg_per_h(
    mass_g: float, temperature_c: float, *, exponent: float = _ALL_TELEOSTS
) -> float:
    """Return the oxygen in mg/h that one resting fish of this mass takes.

    `mass_g` 0.01 to 100,000; `temperature_c` 0 to 40, else DomainError; see VALIDITY for what was published.
    Source: Clarke & Johnston 1999, ln R = 15.7 - 5.02 / (T / 1000) in mmol/h for 50 g, scaled by mass to the 0.79.
    """
    require_within("The mass of a fish", mass_g, lower=0.01, upper=1e5, unit="g")
    require_within("Temperature", temperature_c, lower=0.0, upper=40.0, unit="°C")
    of_standard = math.exp(15.7 - 5020.0 / (temperature_c + 273.15)) * OXYGEN_G_PER_MOL
    return float(of_standard * (mass_g / _STANDARD_G) ** exponent)


def demand_of_fishes(masses_g: Iterable[float], temperature_c: float) -> FishDemand:
    """Return what several fishes take together, in mg/h of oxygen, with its spread; DomainError as for one fish.

    The spread: scaling with mass as all teleosts (Clarke & Johnston 1999) or as coral-reef fishes (Nilsson et al. 2007,
    exponent only), and up to the knowledge figure for active or fed fish.
    """
    masses = list(masses_g)
    resting = sum(resting_demand_clarke1999_mg_per_h(one, temperature_c) for one in masses)
    reef = sum(resting_demand_clarke1999_mg_per_h(one, temperature_c, exponent=_REEF_FISHES) for one in masses)
    most = figure("oxygen.active_fish_times_resting").value
    return FishDemand(resting=resting, lower=min(resting, reef), upper=most * max(resting, reef))


def formalin_demand_mg_per_l(formalin_mg_per_l: float) -> float:
    """Return the oxygen in mg/L that formalin takes out of the water; DomainError below zero.

    `formalin_mg_per_l` is mg/L of formalin (the liquid, taken as whole), not of formaldehyde. Source: knowledge figure.
    """
    require_at_least("Formalin", formalin_mg_per_l, lower=0.0)
    return formalin_mg_per_l / figure("oxygen.formalin_mg_per_mg").value


@dataclass(frozen=True)
class Breath:
    """Water that takes oxygen from the air and loses it to what lives in it: dC/dt = KLa (Cs - C) - r.

    `saturation_mg_per_l`, `demand_mg_per_l_per_h` (r) and `kla_per_h` (KLa); DomainError for one below zero.
    """

    saturation_mg_per_l: float
    demand_mg_per_l_per_h: float
    kla_per_h: float

    def __post_init__(self) -> None:
        require_at_least("Saturation", self.saturation_mg_per_l, lower=0.0)
        require_at_least("Demand", self.demand_mg_per_l_per_h, lower=0.0)
        require_at_least("Gas transfer", self.kla_per_h, lower=0.0)

    def level_after(self, hours: float, *, start_mg_per_l: float) -> float:
        """Return the oxygen in mg/L after this many hours; 0 once it would be gone."""
        require_at_least("Hours", hours, lower=0.0)
        require_at_least("Oxygen", start_mg_per_l, lower=0.0)
        # Written so that no digits are lost where the air gives next to nothing.
        kla = self.kla_per_h
        lasting = -math.expm1(-kla * hours) / kla if kla > 0.0 else hours
        gained = kla * self.saturation_mg_per_l - self.demand_mg_per_l_per_h
        return max(0.0, start_mg_per_l * math.exp(-kla * hours) + gained * lasting)

    def hours_to(self, limit_mg_per_l: float, *, start_mg_per_l: float) -> float | None:
        """Return the hours until the oxygen has fallen to a limit, 0 if it is there, or None if it never will be."""
        require_at_least("The limit", limit_mg_per_l, lower=0.0)
        require_at_least("Oxygen", start_mg_per_l, lower=0.0)
        if start_mg_per_l <= limit_mg_per_l:
            return 0.0
        above, kla = start_mg_per_l - limit_mg_per_l, self.kla_per_h
        # How fast the oxygen still falls at the limit; where it does not, the limit is never passed.
        falling = self.demand_mg_per_l_per_h + kla * (limit_mg_per_l - self.saturation_mg_per_l)
        if not falling > 0.0:
            return None
        hours = math.log1p(kla * above / falling) / kla if kla > 0.0 else above / falling
        return hours if math.isfinite(hours) else None
