"""Why a course is judged as it is: its band, how the level is reckoned, and what was believed beforehand."""

from collections.abc import Iterator

from pratique import knowledge
from pratique.casework.concerns.pieces import reason
from pratique.casework.copper import CONSTITUENT, CourseCopper
from pratique.casework.dosing_words import band_words
from pratique.casework.reckoning.priors import prior_of
from pratique.casework.reckoning.reckoned import Reckoned
from pratique.casework.sheets import Reason
from pratique.casework.words import amount, percent, sentence_case
from pratique.knowledge import CopperForm
from pratique.science.estimation.reading import NORMAL_95

# Places of the quantiles 0.025 and 0.975.
_LOW, _HIGH = 0, -1


def course_reasons(copper: CourseCopper) -> tuple[Reason, ...]:
    """Return what the page of a course rests on, each with its source and how well that is known."""
    substance = knowledge.substance_or_unknown(copper.course.substance)
    if substance.form is None:
        return (Reason(f"{sentence_case(substance.name)}.", substance.source, substance.status.value),)
    band = knowledge.copper_band(substance.form)
    words = band_words(band.target_lower, band.target_upper, band.hard_upper)
    return (
        Reason(f"{sentence_case(substance.name)}: {words}. {band.note}", band.source, band.status.value),
        *(_reckoning(copper.reckoned, substance.form) if copper.reckoned is not None else ()),
    )


def _reckoning(found: Reckoned, form: CopperForm) -> Iterator[Reason]:
    yield Reason(
        "A day counts as far as the level stayed at or above the lower end of the target in every hour of it; a dip "
        "restarts the clock. That is counted on many courses the level may have taken, drawn from all that was dosed, "
        "changed and read. A ± or a range holds 95 %; that of a chance or an average is the error of the drawing.",
        "conservation of mass, with the error of each reading, dose and volume",
        "common practice",
    )
    prior = prior_of(CONSTITUENT, form=form)
    yield Reason(_loss_words(found), prior.basis, "guess" if prior.is_guess else "common practice")
    measured = knowledge.figure("reckoning.dose_relative_sd").value
    yield reason(
        "reckoning.dose_relative_sd", f"A dose is measured out to ± {amount(100 * NORMAL_95 * measured, 0, '%')}."
    )
    hours = knowledge.figure("reading.stale_hours.copper").value
    yield reason("reading.stale_hours.copper", f"A reading tells the level for {amount(hours, 0, 'h')}.")
    sure = knowledge.figure("gate.held_probability")
    yield reason(
        "gate.held_probability",
        f"Days in a row count as sure once the chance that all were held is {percent(sure.value)}.",
    )
    for words in found.ledger.assumed:
        yield Reason(words, "nobody told it", "guess")


def _loss_words(found: Reckoned) -> str:
    believed = found.ledger.case.loss.median_per_day
    words = f"Before any reading the water is believed to lose {amount(100 * believed, 0, '%')} of its copper a day"
    if found.loss is None:
        return f"{words}."
    low, high = (100 * max(0.0, found.loss.quantiles[place]) for place in (_LOW, _HIGH))
    return f"{words}; after them between {amount(low, 1)} and {amount(high, 1, '%')}."
