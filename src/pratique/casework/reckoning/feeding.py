"""What a feeding gives off into the water: nitrogen as ammonia at once, all nitrogen and phosphorus in the end."""

from collections.abc import Iterator

from pratique import knowledge
from pratique.ledger.kinds.animals import Feeding, FoodGiven
from pratique.science.estimation.case import Pulse

# Standard atomic masses, abridged (IUPAC 2021), g/mol.
_N, _O, _P = 14.007, 15.999, 30.974
_NITRATE_PER_N = (_N + 3.0 * _O) / _N
_PHOSPHATE_PER_P = (_P + 4.0 * _O) / _P
_MG_PER_G = 1000.0
_PROMPT = "prompt nitrogen"
# A food nobody named: the usual frozen one.
_USUAL_FOOD = "frozen_mysis"


def pulses_of(feeding: Feeding, released: str, *, day: float, entry: str) -> Iterator[Pulse]:
    """Yield what each food of a feeding gives off: ammonia as N, all its nitrogen as NO3, or its phosphorus as PO4.

    Where nobody wrote how much was fed, one portion is taken, widely.
    """
    hours = knowledge.figure("feeding.prompt_hours" if released == _PROMPT else "feeding.slow_hours").value
    for given in feeding.foods or (FoodGiven(food=_USUAL_FOOD),):
        grams, relative_sd = _grams(given)
        if grams > 0.0:
            yield Pulse(day, grams * released_mg_per_g(given.food, released), hours, relative_sd, entry)


def released_mg_per_g(food: str, released: str) -> float:
    """Return the mg that 1 g of a food as fed gives off: ammonia as N, all nitrogen as NO3, or phosphorus as PO4."""
    eaten = _food(food)
    if released == _PROMPT:
        return _MG_PER_G * eaten.protein_fraction * knowledge.figure("feeding.ammonia_nitrogen_per_protein").value
    if released == "nitrogen":
        nitrogen = eaten.protein_fraction / knowledge.figure("feeding.protein_per_nitrogen").value
        return _MG_PER_G * nitrogen * _NITRATE_PER_N
    return _MG_PER_G * eaten.phosphorus_fraction * _PHOSPHATE_PER_P


def _grams(given: FoodGiven) -> tuple[float, float]:
    """Return the grams fed, and the relative error of what they give off."""
    released = knowledge.figure("feeding.released_relative_sd").value
    if given.amount_g is not None:
        return given.amount_g, released
    portion = _food(given.food).grams_per_portion or knowledge.figure("feeding.unlogged_g").value
    return portion, knowledge.figure("feeding.unlogged_relative_sd").value


def _food(key: str) -> knowledge.Food:
    return next((one for one in knowledge.foods() if one.key == key), knowledge.food(_USUAL_FOOD))
