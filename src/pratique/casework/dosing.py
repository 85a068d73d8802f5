"""Advice on copper: the dose or the water change that keeps it likeliest in its band, or why nothing is advised."""

from dataclasses import dataclass
from datetime import datetime
from functools import cached_property
from typing import TYPE_CHECKING

from pratique import knowledge
from pratique.casework.copper import CourseCopper
from pratique.casework.daily_step import is_spent, spent_words
from pratique.casework.dosing_means import means_of
from pratique.casework.dosing_reasons import dose_reasons, level_words
from pratique.casework.dosing_withheld import why_withheld
from pratique.casework.facts import Facts
from pratique.casework.reckoning.reckoned import Level, Reckoned
from pratique.casework.sheets import Advice, NextStep, Reason
from pratique.casework.words import amount, clock, percent
from pratique.ledger.states import StockState, SystemState
from pratique.science.estimation.case import Band, Change, Dose

# The compiled loops take a second to load: only what really reckons loads them.
if TYPE_CHECKING:
    from pratique.science.estimation import advice as advising
    from pratique.science.estimation.running import Running

_ROUNDING = 1e-9
_HELD_BACK = {
    "the daily step": "More would rise faster than the daily step allows.",
    "the hard limit": "More might pass the upper limit.",
    "the syringe": "",
    "": "",
}


@dataclass(frozen=True)
class _Outlook:
    """Everything a deed rests on, once nothing stands against one."""

    facts: Facts
    copper: CourseCopper
    found: Reckoned
    running: "Running"
    level: Level
    stock: StockState

    @property
    def system(self) -> SystemState:
        return self.found.ledger.system

    @property
    def words(self) -> str:
        """Return the level now."""
        return level_words(self.level.mean, self.level.sd)

    @property
    def reasons(self) -> tuple[Reason, ...]:
        return dose_reasons(self.copper, self.found, self.level)

    @property
    def band(self) -> Band:
        return Band(self.copper.course.target_lower, self.copper.course.target_upper)

    @property
    def until_day(self) -> float:
        return self.running.day + knowledge.figure("reckoning.next_reading_latest_days").value

    @cached_property
    def best(self) -> "advising.Advice":
        from pratique.science.estimation.advice import advise  # noqa: PLC0415 - loads the compiled loops

        return advise(
            self.running,
            self.band,
            means_of(self.copper, self.found, self.stock),
            until_day=self.until_day,
            may_change_l=float(self.running.volumes.min()),
        )

    @cached_property
    def read_again(self) -> datetime:
        """Return when to read next, once the deed is done."""
        from pratique.science.estimation.advice import next_reading_day  # noqa: PLC0415 - loads the compiled loops
        from pratique.science.estimation.forecast import ahead_of  # noqa: PLC0415 - loads the compiled loops

        deed = self.best.deed
        done: list[Dose | Change] = []
        if deed.dose_mg > 0.0:
            done = [Dose(self.running.day, deed.dose_mg, knowledge.figure("reckoning.dose_relative_sd").value)]
        elif deed.change_l > 0.0:
            done = [Change(self.running.day, deed.change_l)]
        day = next_reading_day(
            ahead_of(self.running, until_day=self.until_day, events=done),
            Band(self.band.lower, self.copper.course.hard_upper),
            least_inside=knowledge.figure("reckoning.least_inside").value,
            soonest=self.running.day + knowledge.figure("reckoning.next_reading_soonest_days").value,
            latest=self.until_day,
        )
        return self.found.ledger.moment_of(day)

    @property
    def is_on_the_way(self) -> bool:
        """Return whether the deed leads towards the band and not yet into it, as while a level is being raised."""
        return self.best.deed.level_after < self.band.lower

    @property
    def read_words(self) -> str:
        if self.is_on_the_way:
            return "Read again before the next dose."
        moment = self.read_again.astimezone(self.facts.zone)
        is_today = moment.date() == self.facts.now.astimezone(self.facts.zone).date()
        return f"Read again {'today' if is_today else 'tomorrow'} at {clock(self.read_again, self.facts.zone)}."


def advice_for(facts: Facts, copper: CourseCopper) -> Advice:
    """Return what keeps an open course likeliest inside its band until the next reading, or why nothing is advised.

    Never more than what is left of the form's daily step, and never a dose that may pass the hard upper limit;
    withheld while the volume, the stock or a fresh reading that fits is missing, or where invertebrates would die.
    """
    cautions = tuple(one.text for one in knowledge.cautions_for(copper.course.substance))
    refused = why_withheld(facts, copper)
    if refused is not None:
        words, step = refused
        title = "No dose advised" if copper.is_reckoned else "No dose is reckoned"
        return Advice(title=title, words=words, step=step, is_withheld=True, cautions=cautions)
    outlook = _outlook(facts, copper)
    deed = outlook.best.deed
    if deed.dose_ml > 0.0:
        return _dose(outlook, cautions)
    return _change(outlook, cautions) if deed.change_l > 0.0 else _nothing(outlook, cautions)


def _outlook(facts: Facts, copper: CourseCopper) -> _Outlook:
    found, level, stock = copper.reckoned, copper.level, facts.household.stocks[copper.course.stock or ""]
    assert found is not None  # noqa: S101 - said by why_withheld
    assert found.running is not None  # noqa: S101 - said by why_withheld
    assert level is not None  # noqa: S101 - said by why_withheld
    return _Outlook(facts, copper, found, found.running, level, stock)


def _dose(outlook: _Outlook, cautions: tuple[str, ...]) -> Advice:
    best, course, stock = outlook.best, outlook.copper.course, outlook.stock
    deed = best.deed
    said = (
        f"It brings {outlook.words} to {level_words(deed.level_after, deed.level_after_sd)}.",
        _inside(outlook),
        _HELD_BACK[best.held_back_by],
        outlook.read_words,
    )
    answers = (
        ("system", outlook.system.key),
        ("substance", course.substance),
        ("stock", stock.key),
        ("amount", f"{deed.dose_ml:.1f}"),
        ("amount_unit", "mL"),
        ("course", course.key),
    )
    return Advice(
        title=f"Add {amount(deed.dose_ml, 1, 'mL')} of {stock.name}",
        words=" ".join(one for one in said if one),
        reasons=outlook.reasons,
        step=NextStep("Write it as done", form="dose", answers=answers),
        cautions=cautions,
    )


def _inside(outlook: _Outlook) -> str:
    """Return how much of the time until the next reading is likely inside the band, with the deed and without."""
    course, best = outlook.copper.course, outlook.best
    if outlook.is_on_the_way:
        return "That is still under the band."
    band = f"Between {amount(course.target_lower, 2)} and {amount(course.hard_upper, 2, 'mg/L')}"
    words = f"{band} for {percent(best.deed.inside)} of the time until this hour tomorrow"
    is_done = best.deed.dose_ml > 0.0 or best.deed.change_l > 0.0
    return f"{words}, {percent(best.nothing.inside)} without it." if is_done else f"{words} as it is."


def _change(outlook: _Outlook, cautions: tuple[str, ...]) -> Advice:
    deed = outlook.best.deed
    litres = amount(deed.change_l, 0, "L")
    said = (
        f"Add no copper. New water of the same salinity and temperature brings {outlook.words} to "
        f"{level_words(deed.level_after, deed.level_after_sd)}.",
        _inside(outlook),
        "Watch how they breathe." if outlook.level.mean > outlook.copper.course.hard_upper else "",
        outlook.read_words,
    )
    answers = (("system", outlook.system.key), ("volume", f"{deed.change_l:.0f}"), ("volume_unit", "L"))
    return Advice(
        title=f"Change {litres} of water",
        words=" ".join(one for one in said if one),
        reasons=outlook.reasons,
        step=NextStep("Write the water change", form="water-change", answers=answers),
        cautions=cautions,
    )


def _nothing(outlook: _Outlook, cautions: tuple[str, ...]) -> Advice:
    """Return that nothing is added: as none is needed, or as none may or can be, while the level is under the band."""
    best, is_low = outlook.best, outlook.level.mean < outlook.band.lower - _ROUNDING
    if not is_low or not best.held_back_by:
        words = f"The level is {outlook.words}. {_inside(outlook)} {outlook.read_words}"
        return Advice(title="Add no copper now", words=words, reasons=outlook.reasons, cautions=cautions)
    title, words = _no_dose(outlook, best.held_back_by)
    step = NextStep("Read the copper", form="readings", answers=(("system", outlook.system.key),))
    return Advice(title=title, words=words, reasons=outlook.reasons, step=step, is_withheld=True, cautions=cautions)


def _no_dose(outlook: _Outlook, held_back_by: str) -> tuple[str, str]:
    """Return what to say where a dose is wanted and none can be given."""
    if held_back_by == "the hard limit":
        return "No dose is sure enough", "Any dose might pass the upper limit: read the copper again first."
    if is_spent(outlook.copper, outlook.found):
        return "No more today", spent_words(outlook.facts, outlook.copper, outlook.found)
    return "No dose can be measured out", _too_strong(outlook.stock)


def _too_strong(stock: StockState) -> str:
    least = amount(knowledge.figure("dose.syringe_step_ml").value, 1, "mL")
    return f"The dose is under {least} of {stock.name}, less than a syringe can measure: thin the stock first."
