"""Advice on a dose of copper: what to add, in what can be measured, or why nothing is advised."""

import math
from dataclasses import dataclass

from pratique import knowledge
from pratique.casework.copper import CourseCopper
from pratique.casework.dosing_withheld import spent_mg_per_l, spent_words, why_withheld
from pratique.casework.facts import Facts
from pratique.casework.sheets import Advice, NextStep, Reason
from pratique.casework.words import amount, plus_minus
from pratique.knowledge import CopperForm, Figure
from pratique.ledger.states import StockState, SystemState
from pratique.science.chemistry.dilution import dose_mg_to_reach, make_up_mg, stock_ml
from pratique.science.estimation.mass_balance import Step

_ROUNDING = 1e-9


@dataclass(frozen=True)
class _Case:
    """Everything a dose rests on, once nothing stands against one."""

    copper: CourseCopper
    system: SystemState
    net_volume_l: float
    stock: StockState
    now: Step
    step_up: Figure

    @property
    def level(self) -> str:
        return plus_minus(self.now.level, self.now.plus_minus, 2, "mg/L")

    @property
    def aim(self) -> float:
        return (self.copper.course.target_lower + self.copper.course.target_upper) / 2

    @property
    def room(self) -> float:
        """Return what is left of the daily step, mg/L."""
        return max(0.0, self.step_up.value - spent_mg_per_l(self.copper))

    def millilitres(self, target: float) -> float:
        """Return the measurable mL of stock that bring the level to a target."""
        if target <= self.now.level:
            return 0.0
        milligrams = dose_mg_to_reach(self.now.level, target, net_volume_l=self.net_volume_l)
        return _measurable_ml(stock_ml(milligrams, self.stock.strength_mg_per_ml))


def advice_for(facts: Facts, copper: CourseCopper) -> Advice:
    """Return the dose that would bring an open course to the middle of its band, or why none is advised.

    Never more than the daily step of the form, the doses of the last day counted in, and never past the target's
    upper end; withheld while the volume, the stock or a fresh reading is missing, or where invertebrates would die.
    """
    cautions = tuple(one.text for one in knowledge.cautions_for(copper.course.substance))
    refused = why_withheld(facts, copper)
    if refused is not None:
        words, step = refused
        title = "No dose advised" if copper.is_reckoned else "No dose is reckoned"
        return Advice(title=title, words=words, step=step, is_withheld=True, cautions=cautions)
    case = _case(facts, copper)
    whole = case.millilitres(case.aim)
    if whole == 0 and case.now.level >= copper.course.target_lower - _ROUNDING:
        words = f"The level is {case.level}: inside the band, or above the middle of it."
        return Advice(title="Add no copper now", words=words, reasons=_reasons(case), cautions=cautions)
    millilitres = case.millilitres(min(case.aim, case.now.level + case.room))
    if millilitres == 0:
        is_spent = case.room < case.step_up.value - _ROUNDING
        words = spent_words(facts, copper, case.step_up.value) if is_spent else _too_strong(case)
        step = NextStep("Read the copper", form="readings", answers=(("system", case.system.key),))
        return Advice(
            title="No more today" if is_spent else "No dose can be measured out",
            words=words,
            reasons=_reasons(case),
            step=step,
            is_withheld=True,
            cautions=cautions,
        )
    return _dose_of(case, millilitres, is_whole=millilitres == whole, cautions=cautions)


def _too_strong(case: _Case) -> str:
    least = amount(knowledge.figure("dose.syringe_step_ml").value, 1, "mL")
    return f"The dose is under {least} of {case.stock.name}, less than a syringe can measure: thin the stock first."


def _case(facts: Facts, copper: CourseCopper) -> _Case:
    household, course = facts.household, copper.course
    system, stock = household.systems[course.system], household.stocks[course.stock or ""]
    assert copper.track is not None  # noqa: S101 - said by why_withheld
    assert system.net_volume_l is not None  # noqa: S101 - said by why_withheld
    return _Case(copper, system, system.net_volume_l, stock, copper.track.steps[-1], step_up_of(copper))


def step_up_of(copper: CourseCopper) -> Figure:
    """Return the most a course's form of copper is raised in a day."""
    form = copper.told.form if copper.told is not None else CopperForm.IONIC
    return knowledge.figure(f"copper.ramp_step_mg_per_l_per_day.{form}")


def _reasons(case: _Case) -> tuple[Reason, ...]:
    volume = plus_minus(case.net_volume_l, case.system.net_volume_plus_minus_l or 0, 0, "L")
    step_up = case.step_up
    return (
        Reason(f"The level now: {case.level}.", "mass balance from the last reading, nothing lost since", "guess"),
        Reason(f"Net volume {volume}.", "as written in this ledger", "common practice"),
        Reason(
            f"Never more than {step_up.value:g} mg/L a day; the doses of the last 24 hours count.",
            step_up.source,
            step_up.status.value,
        ),
    )


def _dose_of(case: _Case, millilitres: float, *, is_whole: bool, cautions: tuple[str, ...]) -> Advice:
    course, stock = case.copper.course, case.stock
    after = case.now.level + millilitres * stock.strength_mg_per_ml / case.net_volume_l
    part = "the middle of the band" if is_whole else "the first step of the ramp"
    if not is_whole and case.room < case.step_up.value - _ROUNDING:
        part = "what is left of today's step"
    return Advice(
        title=f"Add {amount(millilitres, 1, 'mL')} of {stock.name}",
        words=f"That brings {case.level} to about {amount(after, 2, 'mg/L')}, {part}. Read again before the next dose.",
        reasons=_reasons(case),
        step=NextStep(
            "Write it as done",
            form="dose",
            answers=(
                ("system", case.system.key),
                ("substance", course.substance),
                ("stock", stock.key),
                ("amount", f"{millilitres:.1f}"),
                ("amount_unit", "mL"),
                ("course", course.key),
            ),
        ),
        cautions=cautions,
    )


def make_up_words(facts: Facts, copper: CourseCopper, *, changed_l: float) -> str:
    """Return what a water change takes from a course and what to add with the new water, in a sentence."""
    course = copper.course
    if not copper.is_reckoned:
        name = knowledge.substance_or_unknown(course.substance).name
        return f"It takes {name} with it; how much is not reckoned here."
    if copper.track is None:
        return "It takes copper with it; how much is not said, as the net volume is not known."
    now = copper.track.steps[-1]
    if not now.is_known:
        return "It takes copper with it; how much is not said, as the level is not known: read the copper first."
    volume = facts.household.system_or_missing(course.system).net_volume_l or math.inf
    after = now.level * (1 - min(1.0, changed_l / volume))
    words = f"It would take copper from {amount(now.level, 2)} to {amount(after, 2, 'mg/L')}"
    stock = facts.household.stocks.get(course.stock or "")
    refused = why_withheld(facts, copper)
    if stock is None or refused is not None:
        return f"{words}. No make-up dose is advised{f': {refused[0]}' if refused else '.'}"
    millilitres = _measurable_ml(stock_ml(make_up_mg(now.level, min(changed_l, volume)), stock.strength_mg_per_ml))
    return f"{words}: add {amount(millilitres, 1, 'mL')} of {stock.name} with the new water, and read after an hour."


def _measurable_ml(millilitres: float) -> float:
    """Return the amount rounded down to what a syringe can measure, so that rounding never overshoots."""
    step_ml = knowledge.figure("dose.syringe_step_ml").value
    return math.floor(millilitres / step_ml + _ROUNDING) * step_ml


def band_words(lower: float, upper: float, hard_upper: float) -> str:
    """Return a band in words."""
    return f"{amount(lower, 2)} to {amount(upper, 2, 'mg/L')}, never above {amount(hard_upper, 2)}"
