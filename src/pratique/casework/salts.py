"""What the grams of a dry salt count as: the milligrams of what it raises first."""

from pratique import knowledge
from pratique.knowledge import Substance
from pratique.ledger.kinds.payload import Payload
from pratique.ledger.kinds.water import Dose
from pratique.science.chemistry.constituents_of_salts import TARGETS
from pratique.science.chemistry.reagents import salt
from pratique.units import to_canonical

_ALKALINITY = "alkalinity"


def counted_mg(substance: Substance, grams: float) -> float | None:
    """Return the mg of what a salt raises first in so many grams of it, alkalinity as CaCO3; None where not known.

    By the figure of its own that a substance has, or else by its formula and molar masses.
    """
    if substance.fraction_of_salt is not None:
        counted = 1000 * grams * substance.fraction_of_salt
    elif substance.formula is not None:
        counted = grams * salt(substance.formula).per_gram(substance.raises[0])
        if substance.raises[0] == _ALKALINITY:
            counted = to_canonical(counted, "meq/L", "mg/L CaCO3")
    else:
        return None
    # Six digits are more than any label is good for.
    return float(f"{counted:.6g}")


def counted_name(substance: Substance) -> str:
    """Return what the milligrams of a dose are milligrams of; nothing where they count as nothing known here."""
    first = next(iter(substance.raises), None)
    if first is not None:
        return "alkalinity as CaCO3" if first == _ALKALINITY else TARGETS[first].words
    return knowledge.constituent(substance.constituent).name if substance.constituent is not None else ""


def with_counted_mg(payload: Payload) -> Payload:
    """Return a dose of weighed salt with the milligrams it counts as; anything else as it is.

    What was weighed out of a bottle could be salt or solution, so a dose from a stock is left alone.
    """
    if not isinstance(payload, Dose) or payload.amount_g is None:
        return payload
    if payload.amount_mg is not None or payload.stock is not None:
        return payload
    counted = counted_mg(knowledge.substance_or_unknown(payload.substance), payload.amount_g)
    return payload.model_copy(update={"amount_mg": counted})
