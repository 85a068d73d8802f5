"""What advice on copper rests on: the level now, the net volume learned, the daily step, and the chances taken."""

from pratique import knowledge
from pratique.casework.copper import CourseCopper
from pratique.casework.daily_step import spent_mg_per_l, step_up_of
from pratique.casework.reckoning.reckoned import Level, Reckoned
from pratique.casework.sheets import Reason
from pratique.casework.words import amount, plus_minus
from pratique.science.estimation.reading import NORMAL_95


def level_words(mean: float, sd: float) -> str:
    """Return a level of copper with its 95 % error: `0.18 ± 0.02 mg/L`."""
    return plus_minus(mean, NORMAL_95 * sd, 2, "mg/L")


def dose_reasons(copper: CourseCopper, found: Reckoned, level: Level) -> tuple[Reason, ...]:
    """Return the figures behind a dose, each with its source and how well that is known."""
    step_up, risk = step_up_of(copper), knowledge.figure("reckoning.most_above_hard")
    spent = spent_mg_per_l(copper, found)
    hard = amount(copper.course.hard_upper, 2, "mg/L")
    return (
        Reason(
            f"The level now: {level_words(level.mean, level.sd)}.",
            "reckoned from the doses, changes and readings of this ledger",
            "common practice",
        ),
        *_volume(found),
        Reason(
            f"Never more than {step_up.value:g} mg/L a day; the doses of the last 24 hours took "
            f"{amount(spent, 2, 'mg/L')} of it.",
            step_up.source,
            step_up.status.value,
        ),
        Reason(
            f"Of passing {hard} at most {amount(100 * risk.value, 1, '%')} is risked.", risk.source, risk.status.value
        ),
    )


def _volume(found: Reckoned) -> tuple[Reason, ...]:
    volume, written = found.volume, found.ledger.system.net_volume_l
    if volume is None:
        return ()
    learned = plus_minus(volume.mean, NORMAL_95 * volume.sd, 0, "L")
    told = f"; {amount(written, 0, 'L')} is written" if written is not None else ""
    return (Reason(f"Net volume {learned}{told}.", "learned from doses, changes and readings", "common practice"),)
