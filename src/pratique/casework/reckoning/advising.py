"""What to do at the end of a case: a dose or a change, until when it holds, and within which limits."""

from dataclasses import dataclass

from pratique import knowledge
from pratique.casework.reckoning.case_answer import CaseAdvice
from pratique.casework.reckoning.case_file import CaseFile
from pratique.casework.reckoning.case_parts import ChangeTold
from pratique.casework.words import amount, percent
from pratique.knowledge.cautions import cautions_for
from pratique.knowledge.copper import CopperForm
from pratique.science.estimation.advice import Advice, Means, advise, next_reading_day
from pratique.science.estimation.case import Case, Dose
from pratique.science.estimation.forecast import ahead_of
from pratique.science.estimation.quadrature import Nodes
from pratique.science.estimation.running import Running, running_from

# What a keeper adds on purpose. Nothing else is ever advised unless the case itself shows a dose of it.
_ADDED = frozenset({"copper", "alkalinity", "calcium", "magnesium"})
# A case does not tell the salt or the form: the cautions are those that stand for each of these.
_SUBSTANCES = {
    "copper": ("copper_ionic", "copper_chelated", "copper_amine"),
    "alkalinity": ("other_alkalinity",),
    "calcium": ("calcium_chloride",),
    "magnesium": ("magnesium_chloride",),
}
_ALWAYS = "label_and_vet"
_STEPS_OF_DOSE = 200
_DIGITS = 2
_HELD_BACK = {
    "the daily step": "More would rise faster than the limit for a day.",
    "the hard limit": "More might pass the upper limit.",
    "the syringe": "What is missing is less than can be measured.",
}


@dataclass(frozen=True)
class Limits:
    """How far advice may go: the greatest rise in a day (None where nobody told one), and the level never to pass."""

    rise_per_day: float | None
    hard_upper: float


def limits_of(told: CaseFile) -> Limits:
    """Return the limits of a case with a band; copper without its form keeps the smallest step of the three forms."""
    if told.band is None:
        return Limits(told.rise_limit_per_day, float("inf"))
    rise = told.rise_limit_per_day
    if rise is None and told.constituent == "copper" and told.unit == "mg/L":
        rise = min(knowledge.figure(f"copper.ramp_step_mg_per_l_per_day.{form.value}").value for form in CopperForm)
    return Limits(rise, told.band.hard_upper if told.band.hard_upper is not None else told.band.upper)


def advice_of(told: CaseFile, case: Case, nodes: Nodes) -> CaseAdvice | None:
    """Return what keeps the time until the next reading likeliest inside the band; None where there is no band."""
    if case.band is None:
        return None
    now = running_from(case, nodes)
    next_day = case.span_days + knowledge.figure("reckoning.next_reading_latest_days").value
    found = advise(now, case.band, _means(told, case, now), until_day=next_day, may_change_l=_may_change_l(told, now))
    deed = found.deed
    done = [Dose(now.day, deed.dose_mg, knowledge.figure("reckoning.dose_relative_sd").value)] if deed.dose_mg else []
    read_again = next_reading_day(
        ahead_of(now, until_day=next_day, events=done),
        case.band,
        least_inside=knowledge.figure("reckoning.least_inside").value,
        soonest=case.span_days + knowledge.figure("reckoning.next_reading_soonest_days").value,
        latest=next_day,
    )
    words = _words(told, found, now.volume_mean)
    return CaseAdvice(
        words,
        deed.dose_mg,
        deed.change_l,
        deed.inside,
        found.nothing.inside,
        told.moment(read_again),
        _cautions(told) if deed.dose_mg else (),
    )


def _is_added(told: CaseFile) -> bool:
    return told.constituent in _ADDED or any(event.kind == "dose" for event in told.events)


def _means(told: CaseFile, case: Case, now: Running) -> Means:
    """Return what may be added: nothing at all of what nobody adds on purpose."""
    limits = limits_of(told)
    litres = now.volume_mean
    wanted = max(abs(limits.hard_upper), 1e-6)
    given = sum(
        event.amount_mg for event in case.events if isinstance(event, Dose) and event.day > case.span_days - 1.0
    )
    rise = limits.rise_per_day - given / litres if limits.rise_per_day is not None else float("inf")
    return Means(
        strength_mg_per_ml=1.0,
        syringe_step_ml=wanted * litres / _STEPS_OF_DOSE,
        dose_relative_sd=knowledge.figure("reckoning.dose_relative_sd").value,
        rise_left=max(0.0, rise) if _is_added(told) else 0.0,
        hard_upper=limits.hard_upper,
        most_above_hard=knowledge.figure("reckoning.most_above_hard").value,
    )


def _may_change_l(told: CaseFile, now: Running) -> float:
    """Return the largest change to think of, L: only where new water is known to hold none of it."""
    changes = [event for event in told.events if isinstance(event, ChangeTold)]
    is_clean = all(event.incoming == 0.0 for event in changes) and bool(changes or told.constituent == "copper")
    return min(now.volume_mean, float(now.volumes.min())) if is_clean else 0.0


def _words(told: CaseFile, found: Advice, litres: float) -> str:
    deed = found.deed
    if deed.dose_mg > 0.0 and told.unit == "mg/L":
        words = f"Add {_short(deed.dose_mg, 'mg')} of {_name(told)}."
    elif deed.dose_mg > 0.0:
        words = f"Add what raises {_name(told)} by {_short(deed.dose_mg / litres, told.unit)}."
    elif deed.change_l > 0.0:
        words = f"Change {_short(deed.change_l, 'L')} of water."
    else:
        words = "Add nothing now." if _is_added(told) else f"{_name(told).capitalize()} is only read."
    if _is_added(told) and found.held_back_by in _HELD_BACK:
        words += f" {_HELD_BACK[found.held_back_by]}"
    return f"{words} Inside the band until the next reading: {percent(deed.inside)} of the time to be expected."


def _cautions(told: CaseFile) -> tuple[str, ...]:
    """Return what must stand beside a dose, in the order it should be read; the label and the vet always."""
    substances = _SUBSTANCES.get(told.constituent, ())
    found = [one for one in cautions_for(substances[0]) if set(substances) <= set(one.substances)] if substances else []
    if all(one.key != _ALWAYS for one in found):
        found += [one for one in cautions_for(_SUBSTANCES["copper"][0]) if one.key == _ALWAYS]
    return tuple(one.text for one in found)


def _short(value: float, unit: str) -> str:
    """Return a number with two digits and its unit."""
    before = len(f"{abs(value):.0f}") if abs(value) >= 1.0 else 0
    decimals = max(0, _DIGITS - before)
    return amount(value, decimals, unit)


def _name(told: CaseFile) -> str:
    return told.constituent.replace("_", " ")
