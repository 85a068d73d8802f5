"""Every card of the bench by its name, in the order of the keeper's questions."""

from pratique.casework.bench.alkalinity import ALKALINITY_CARD
from pratique.casework.bench.ammonia import AMMONIA
from pratique.casework.bench.carbonate import CARBONATE_CARD
from pratique.casework.bench.card import QUESTIONS, Card, Question
from pratique.casework.bench.convert import CONVERT_CARD
from pratique.casework.bench.dilution import DILUTION_CARD
from pratique.casework.bench.dose import DOSE_CARD
from pratique.casework.bench.ions import IONS_CARD
from pratique.casework.bench.mix import MIX_CARD
from pratique.casework.bench.oxygen import OXYGEN
from pratique.casework.bench.salinity import SALINITY_CARD
from pratique.casework.bench.stock import STOCK_CARD

BENCH: dict[str, Card] = {
    card.name: card
    for card in (
        *(SALINITY_CARD, AMMONIA, ALKALINITY_CARD, CARBONATE_CARD, OXYGEN, IONS_CARD, CONVERT_CARD),
        DOSE_CARD,
        *(MIX_CARD, STOCK_CARD),
        DILUTION_CARD,
    )
}


def by_question() -> tuple[tuple[Question, tuple[Card, ...]], ...]:
    """Return the cards under the keeper's questions."""
    return tuple(
        (question, tuple(card for card in BENCH.values() if card.question == question)) for question in QUESTIONS
    )
