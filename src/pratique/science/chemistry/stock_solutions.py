"""Stock solutions the keeper makes: what goes in, how strong it is and how sure, and when one is needed at all."""

import math
from dataclasses import dataclass

from pratique.knowledge import figure, solubility
from pratique.science.chemistry.domain import DomainError, require_at_least
from pratique.science.chemistry.reagents import Salt
from pratique.science.chemistry.uncertainty import NORMAL_95

# Bottles and jugs a household has; the smallest that serves is offered.
_BOTTLES_ML = (100.0, 250.0, 500.0, 1000.0)
_TENFOLD_ML = (10.0, 100.0)


@dataclass(frozen=True)
class StockOffer:
    """A stock solution for a dose too small to weigh.

    Dissolve `salt_g` and fill up to `bottle_ml`: `strength_mg_per_ml` of the salt. `dilutions` times, take 10 mL of the
    last solution and fill up to 100 mL. Then `dose_ml` of the last one carry the dose.
    """

    salt_g: float
    bottle_ml: float
    strength_mg_per_ml: float
    dilutions: int
    dose_ml: float


def grams_for_stock(
    given: Salt, target: str, *, strength_mg_per_ml: float, volume_ml: float, purity: float = 1.0
) -> float:
    """Return the grams of a salt in `volume_ml` of a stock with this much of the target (mg/mL; meq/mL).

    3.93 g of CuSO4·5H2O in a litre make 1 mg of copper in a mL. Raises DomainError as `Salt.per_gram`, and for a
    strength or volume below zero or a purity outside 0 to 1. Source: stoichiometry.
    """
    require_at_least("The strength", strength_mg_per_ml, lower=0.0)
    require_at_least("The volume", volume_ml, lower=0.0)
    if not 0.0 < purity <= 1.0:
        raise DomainError(f"Purity must lie above 0 and up to 1; this was {purity:g}.")
    return strength_mg_per_ml * volume_ml / given.per_gram(target) / purity


def stock_strength_per_ml(given: Salt, target: str, *, salt_g: float, volume_ml: float, purity: float = 1.0) -> float:
    """Return the strength (mg/mL; meq/mL) of a stock as it was made.

    Raises DomainError as `Salt.per_gram`, for a mass below zero, a volume not above zero or a purity outside 0 to 1.
    """
    require_at_least("The mass", salt_g, lower=0.0)
    if not volume_ml > 0.0 or not 0.0 <= purity <= 1.0:
        raise DomainError("A stock needs a volume above 0\u202fmL and a purity of 0 to 1.")
    return salt_g * purity * given.per_gram(target) / volume_ml


def solubility_g_per_l(given: Salt) -> float | None:
    """Return the g of a salt, with its water, that dissolve in a litre at about 20 °C; None where not known here.

    Source: knowledge, `solubilities`.
    """
    known = solubility(given.hill)
    return known.anhydrous_g_per_l / given.anhydrous_part if known is not None else None


def weighing_plus_minus_g(balance_step_g: float) -> float:
    """Return the 95 % error in g of a weighing: the display is rounded twice, empty and full (JCGM 100:2008, 4.3.7)."""
    require_at_least("The step of a balance", balance_step_g, lower=0.0)
    return NORMAL_95 * balance_step_g * math.sqrt(2.0 / 12.0)


def can_be_weighed(grams: float, *, balance_step_g: float) -> bool:
    """Say whether a balance with this step can weigh so little: at least the knowledge figure's number of steps."""
    return grams >= figure("balance.least_steps").value * balance_step_g


def stock_for(
    dose_mg: float, *, balance_step_g: float, least_ml: float = 1.0, dissolves_g_per_l: float | None = None
) -> StockOffer:
    """Return a stock solution of a salt from which a dose too small to weigh can be measured.

    `dose_mg` is mg of the salt itself; `least_ml` is the least that the keeper measures well; `dissolves_g_per_l` is
    the most of it that dissolves. Raises DomainError for a dose, a step or a volume that is not above zero, and where
    the least that can be weighed does not dissolve in the largest bottle.
    """
    if not (dose_mg > 0.0 and balance_step_g > 0.0 and least_ml > 0.0):
        raise DomainError("A stock is offered for a dose, a balance's step and a volume that are above zero.")
    salt_g = figure("balance.least_steps").value * balance_step_g
    most = math.inf if dissolves_g_per_l is None else dissolves_g_per_l
    dissolving = [one for one in _BOTTLES_ML if 1000.0 * salt_g / one <= most]
    if not dissolving:
        raise DomainError(f"The {salt_g:g}\u202fg that this balance weighs do not dissolve in a litre.")
    serving = [one for one in dissolving if dose_mg * one / (1000.0 * salt_g) >= least_ml]
    bottle_ml = serving[0] if serving else dissolving[-1]
    strength = 1000.0 * salt_g / bottle_ml
    tenfold = _TENFOLD_ML[1] / _TENFOLD_ML[0]
    dilutions = max(0, math.ceil(math.log(least_ml * strength / dose_mg, tenfold) - 1e-9))
    return StockOffer(salt_g, bottle_ml, strength, dilutions, dose_mg / strength * tenfold**dilutions)
