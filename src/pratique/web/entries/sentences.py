"""An entry in one plain sentence, whatever its kind; one of a kind not known here is told by its kind's name."""

from pratique.casework.words import sentence_case
from pratique.ledger.entries import Recorded
from pratique.ledger.household import Household
from pratique.web.entries import (
    animals_words,
    care_words,
    gates_words,
    looks_words,
    measured_words,
    places_words,
    water_words,
)

_SAYINGS = {
    **water_words.SAYINGS,
    **animals_words.SAYINGS,
    **looks_words.SAYINGS,
    **care_words.SAYINGS,
    **measured_words.SAYINGS,
    **gates_words.SAYINGS,
    **places_words.SAYINGS,
}


def entry_sentence(entry: Recorded, household: Household) -> str:
    """Return what an entry says, in a sentence a keeper would say."""
    payload = entry.payload
    if payload is None:
        return f"An entry of the kind “{entry.kind}”, which this version does not know. It is kept as it came."
    told = _SAYINGS[type(payload)](payload, household)
    return sentence_case(f"{told}.")
