"""What a keeper has to dose copper with, and how far advice may go."""

from typing import TYPE_CHECKING

from pratique import knowledge
from pratique.casework.copper import CourseCopper
from pratique.casework.daily_step import spent_mg_per_l, step_up_of
from pratique.casework.reckoning.reckoned import Reckoned
from pratique.ledger.states import StockState

# The compiled loops take a second to load: only what really reckons loads them.
if TYPE_CHECKING:
    from pratique.science.estimation.advice import Means


def means_of(copper: CourseCopper, found: Reckoned, stock: StockState | None) -> "Means":
    """Return the stock, the syringe and the limits of a course; without a stock one of 1 mg/mL stands for it."""
    from pratique.science.estimation.advice import Means  # noqa: PLC0415 - loads the compiled loops

    return Means(
        strength_mg_per_ml=stock.strength_mg_per_ml if stock is not None else 1.0,
        syringe_step_ml=knowledge.figure("dose.syringe_step_ml").value,
        dose_relative_sd=knowledge.figure("reckoning.dose_relative_sd").value,
        rise_left=max(0.0, step_up_of(copper).value - spent_mg_per_l(copper, found)),
        hard_upper=copper.course.hard_upper,
        most_above_hard=knowledge.figure("reckoning.most_above_hard").value,
    )
