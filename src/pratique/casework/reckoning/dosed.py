"""How much of a constituent a dose put in, by its salt."""

from functools import cache

from pratique import knowledge
from pratique.casework.salts import counted_mg, with_counted_mg
from pratique.knowledge import Substance
from pratique.ledger.kinds.water import Dose
from pratique.science.chemistry.reagents import salt
from pratique.units import to_canonical

_ALKALINITY = "alkalinity"
_GRAM = 1.0


@cache
def substances_of(constituent: str) -> tuple[str, ...]:
    """Return the substances that put a constituent into the water, first or besides something else."""
    symbol = _symbol_of(constituent)
    return tuple(
        one.key
        for one in knowledge.substances()
        if one.constituent == constituent or (symbol is not None and symbol in one.raises)
    )


def dosed_mg(dose: Dose, constituent: str) -> float | None:
    """Return how much a dose put in, in the constituent's own unit times litres (mg for mg/L); None where not known."""
    substance = knowledge.substance_or_unknown(dose.substance)
    counted = with_counted_mg(dose)
    first_mg = counted.amount_mg if isinstance(counted, Dose) else None
    if first_mg is None:
        return None
    if substance.constituent != constituent:
        part = _for_each_mg(substance, constituent)
        first_mg = None if part is None else first_mg * part
    if first_mg is not None and constituent == _ALKALINITY:
        return to_canonical(first_mg, "mg/L CaCO3", knowledge.constituent(constituent).unit)
    return first_mg


def _for_each_mg(substance: Substance, constituent: str) -> float | None:
    """Return the mg of a constituent that come with each mg of what a salt raises first, alkalinity as CaCO3."""
    symbol, first = _symbol_of(constituent), counted_mg(substance, _GRAM)
    if symbol not in substance.raises or substance.formula is None or not first:
        return None
    other = salt(substance.formula).per_gram(symbol)
    return (to_canonical(other, "meq/L", "mg/L CaCO3") if symbol == _ALKALINITY else other) / first


@cache
def _symbol_of(constituent: str) -> str | None:
    """Return the symbol a constituent goes by among what salts raise."""
    return next(
        (one.raises[0] for one in knowledge.substances() if one.constituent == constituent and one.raises), None
    )
