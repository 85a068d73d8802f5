"""How single entries of the ledger are drawn on a chart: readings by their own error, doses and changes as marks."""

import math

from pratique.casework.facts import Facts
from pratique.casework.methods import reading_words
from pratique.casework.ph import judged_range
from pratique.casework.sheets import ChartMark, ChartReading
from pratique.casework.words import amount
from pratique.ledger.entries import Recorded
from pratique.ledger.kinds.water import Dose, Reading, WaterChange


def drawn_reading(facts: Facts, entry: Recorded, reading: Reading) -> ChartReading:
    """Return a reading as a bar as long as its 95 % error, a box between two marks, or an arrow beyond a limit."""
    spread = judged_range(facts, reading)
    words = reading_words(facts.household, reading)
    if reading.below is not None:
        return ChartReading(entry.happened_at, 0.0, spread.high, spread.high, "below", words, entry.id)
    if math.isinf(spread.high):
        return ChartReading(entry.happened_at, spread.low, spread.low, spread.low, "above", words, entry.id)
    if reading.low is not None:
        return ChartReading(entry.happened_at, spread.low, spread.centre, spread.high, "box", words, entry.id)
    return ChartReading(entry.happened_at, spread.low, spread.centre, spread.high, "bar", words, entry.id)


def drawn_deed(entry: Recorded) -> ChartMark | None:
    """Return a dose or a water change as a mark on the time axis, None for any other entry."""
    match entry.payload:
        case Dose() as dose:
            much = amount(dose.amount_ml, 1, "mL") if dose.amount_ml else amount(dose.amount_mg or 0, 1, "mg")
            return ChartMark(entry.happened_at, "dose", f"dose of {much}", entry.id)
        case WaterChange(emptied=True):
            return ChartMark(entry.happened_at, "change", "emptied and refilled", entry.id)
        case WaterChange(volume_l=float(litres)):
            return ChartMark(entry.happened_at, "change", f"water change of {amount(litres, 0, 'L')}", entry.id)
        case _:
            return None
