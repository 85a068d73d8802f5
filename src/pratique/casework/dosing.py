"""Advice on a dose of copper: what to add, in what can be measured, or why nothing is advised."""

import math

from pratique import knowledge
from pratique.casework.copper import CourseCopper
from pratique.casework.facts import Facts
from pratique.casework.methods import method_of
from pratique.casework.sheets import Advice, NextStep, Reason
from pratique.casework.timeline import hours_of
from pratique.casework.words import amount, plus_minus, when
from pratique.ledger.states import StockState
from pratique.science.chemistry.dilution import dose_mg_to_reach, make_up_mg, stock_ml

# A household syringe is read to a tenth of a millilitre.
_SYRINGE_ML = 0.1


def advice_for(facts: Facts, copper: CourseCopper) -> Advice:
    """Return the dose that would bring an open course to the middle of its band, or why none is advised.

    Never more than the daily step of a ramp, never past the target's upper end; withheld while the volume, the stock
    or a fresh reading is missing.
    """
    course, household = copper.course, facts.household
    cautions = tuple(one.text for one in knowledge.cautions_for(course.substance))
    refused = _why_withheld(facts, copper)
    if refused is not None:
        words, step = refused
        return Advice(title="No dose advised", words=words, step=step, is_withheld=True, cautions=cautions)
    system, stock = household.systems[course.system], household.stocks[course.stock or ""]
    assert copper.track is not None  # noqa: S101 - said by _why_withheld
    assert system.net_volume_l is not None  # noqa: S101 - said by _why_withheld
    now = copper.track.steps[-1]
    aim = (course.target_lower + course.target_upper) / 2
    step_up = knowledge.figure("copper.ramp_step_mg_per_l_per_day")
    is_ramp = course.substance == "copper_ionic" and aim - now.level > step_up.value
    target = now.level + step_up.value if is_ramp else aim
    millilitres = _measurable_ml(
        stock_ml(dose_mg_to_reach(now.level, target, net_volume_l=system.net_volume_l), stock.strength_mg_per_ml)
        if target > now.level
        else 0.0
    )
    level = plus_minus(now.level, now.plus_minus, 2, "mg/L")
    reasons = (
        Reason(f"The level now: {level}.", "mass balance from the last reading, nothing lost since", "guess"),
        Reason(
            f"Net volume {plus_minus(system.net_volume_l, system.net_volume_plus_minus_l or 0, 0, 'L')}.",
            "as written in this ledger",
            "common practice",
        ),
        Reason(f"Never more than {step_up.value:g} mg/L a day.", step_up.source, step_up.status.value),
    )
    if millilitres == 0:
        return Advice(
            title="Add no copper now",
            words=f"The level is {level}: inside the band, or above the middle of it.",
            reasons=reasons,
            cautions=cautions,
        )
    after = now.level + millilitres * stock.strength_mg_per_ml / system.net_volume_l
    part = "the first step of the ramp" if is_ramp else "the middle of the band"
    return Advice(
        title=f"Add {amount(millilitres, 1, 'mL')} of {stock.name}",
        words=f"That brings {level} to about {amount(after, 2, 'mg/L')}, {part}. Read again before the next dose.",
        reasons=reasons,
        step=NextStep(
            "Write it as done",
            form="dose",
            answers=(
                ("system", system.key),
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
    stock = facts.household.stocks.get(course.stock or "")
    if copper.track is None:
        return "It takes copper with it; how much is not said, as the net volume is not known."
    level = copper.track.steps[-1].level
    volume = facts.household.systems[course.system].net_volume_l or math.inf
    after = level * (1 - min(1.0, changed_l / volume))
    words = f"It would take copper from {amount(level, 2)} to {amount(after, 2, 'mg/L')}"
    if stock is None or _why_withheld(facts, copper) is not None:
        return f"{words}: read the copper before making it up."
    millilitres = _measurable_ml(stock_ml(make_up_mg(level, min(changed_l, volume)), stock.strength_mg_per_ml))
    return f"{words}: add {amount(millilitres, 1, 'mL')} of {stock.name} with the new water, and read after an hour."


def _why_withheld(facts: Facts, copper: CourseCopper) -> tuple[str, NextStep] | None:
    course = copper.course
    system = facts.household.systems[course.system]
    if system.net_volume_l is None or copper.track is None:
        words = f"{system.name}'s net volume is not known: gross volume less rock, sand and equipment. Write it first."
        return words, NextStep("Write the net volume", form="system", answers=(("system", system.key),))
    refused = _stock_problem(course.substance, facts.household.stocks.get(course.stock or ""))
    if refused is not None:
        return refused, NextStep("Write the stock solution", form="stock")
    if copper.track.steps[-1].level > course.hard_upper:
        words = f"The level is above {course.hard_upper:g} mg/L: add nothing, change water, watch how they breathe."
        return words, NextStep("Write the water change", form="water-change", answers=(("system", system.key),))
    unread = _reading_problem(facts, copper)
    if unread is not None:
        return unread, NextStep("Read the copper", form="readings", answers=(("system", system.key),))
    return None


def _reading_problem(facts: Facts, copper: CourseCopper) -> str | None:
    newest = copper.last_reading
    if newest is None:
        return "Copper has not been read in this course yet: read it before the first dose."
    form = knowledge.substance(copper.course.substance).form
    method = method_of(facts.household, newest.raw.get("method"))
    if form is not None and not method.reads(form):
        return f"The newest reading was taken with {method.name}, which does not read {form.value} copper: read again."
    if hours_of(facts.now) - hours_of(newest.happened_at) > knowledge.figure("reading.stale_hours.copper").value:
        moment = when(newest.happened_at, facts.now, facts.zone)
        return f"The newest copper reading is old ({moment}): read again before any dose."
    if _is_surprising(copper):
        return "The newest reading does not fit what the doses and changes say: read it again before any dose."
    return None


def _stock_problem(substance: str, stock: StockState | None) -> str | None:
    if stock is None:
        return "No stock solution is named for this course, so there is nothing to measure out."
    if stock.substance != substance:
        own, other = knowledge.substance(substance).name, knowledge.substance(stock.substance).name
        return f"The course is {own} and the stock is {other}: they never share a band, a stock or a method."
    return None


def _is_surprising(copper: CourseCopper) -> bool:
    """Return whether the newest step is a reading further from its prediction than both errors allow."""
    steps = copper.track.steps if copper.track else ()
    readings = [index for index, step in enumerate(steps) if step.cause == "reading"]
    if not readings or readings[-1] == 0:
        return False
    step, before = steps[readings[-1]], steps[readings[-1] - 1]
    if step.predicted is None or before.cause == "start":
        return False
    return abs(step.level - step.predicted) > 1.5 * math.hypot(step.plus_minus, before.plus_minus)


def _measurable_ml(millilitres: float) -> float:
    """Return the amount rounded down to what a syringe can measure, so that rounding never overshoots."""
    return math.floor(millilitres / _SYRINGE_ML + 1e-9) * _SYRINGE_ML


def band_words(lower: float, upper: float, hard_upper: float) -> str:
    """Return a band in words."""
    return f"{amount(lower, 2)} to {amount(upper, 2, 'mg/L')}, never above {amount(hard_upper, 2)}"
