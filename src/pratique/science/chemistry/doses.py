"""A dose with its error: what the net volume, the powder, the scale and the stock leave open.

Not here: the dose itself (`reagents`), nor making a stock (`stock_solutions`). Every error is 95 %.
"""

from functools import partial

from pratique.science.chemistry.dilution import stock_ml
from pratique.science.chemistry.reagents import Salt, grams_to_raise, raised_by
from pratique.science.chemistry.uncertainty import Propagated, Uncertain, propagate

_PURE = Uncertain(1.0)


def grams_with_error(
    given: Salt, target: str, *, raise_by: Uncertain, volume_l: Uncertain, purity: Uncertain = _PURE
) -> Propagated:
    """Return the grams that raise a target by `raise_by` mg/L (alkalinity: meq/L), with the error of each input.

    Shares are named `raise_by`, `volume_l` and `purity`. Raises DomainError as `grams_to_raise`.
    """
    function = partial(grams_to_raise, given, target)
    return propagate(function, {"raise_by": raise_by, "volume_l": volume_l, "purity": purity})


def rise_with_error(
    given: Salt, target: str, *, grams: Uncertain, volume_l: Uncertain, purity: Uncertain = _PURE
) -> Propagated:
    """Return the mg/L (alkalinity: meq/L) that weighed grams really raise, where the net volume is not quite known.

    Shares are named `grams`, `volume_l` and `purity`. Raises DomainError as `raised_by`.
    """
    function = partial(raised_by, given, target)
    return propagate(function, {"grams": grams, "volume_l": volume_l, "purity": purity})


def stock_ml_with_error(raise_by: Uncertain, *, volume_l: Uncertain, strength_mg_per_ml: Uncertain) -> Propagated:
    """Return the mL of a stock that raise its constituent by `raise_by` mg/L, with the error of each input.

    Shares are named `raise_by`, `volume_l` and `strength_mg_per_ml`. Raises DomainError for a strength not above zero.
    """

    def millilitres(raise_by: float, volume_l: float, strength_mg_per_ml: float) -> float:
        return stock_ml(raise_by * volume_l, strength_mg_per_ml)

    return propagate(
        millilitres, {"raise_by": raise_by, "volume_l": volume_l, "strength_mg_per_ml": strength_mg_per_ml}
    )
