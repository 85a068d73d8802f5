"""What may be done about a growth now, in sentences: allowed, not before a day, not here, or not known yet."""

from collections.abc import Mapping

from pratique import knowledge
from pratique.casework.facts import Facts
from pratique.casework.growth_water import water_now
from pratique.casework.health import AnimalHealth
from pratique.casework.sheets.lines import NextStep, Reason
from pratique.casework.sheets.measures import MeasureLine, ObjectionLine
from pratique.casework.timeline import at_days, days_of
from pratique.casework.words import amount, listed, percent, sentence_case, short_day
from pratique.knowledge.growth_measures import growth_lines
from pratique.ledger.states import CaseState
from pratique.science.growths.measures import MeasureVerdict, Objection, measure_verdicts


def measures_of(
    facts: Facts,
    healths: Mapping[str, AnimalHealth],
    case: CaseState,
    chances: Mapping[str, float],
    names: Mapping[str, str],
) -> tuple[MeasureLine, ...]:
    """Return what may be done about a case, the lightest on the animals first.

    `chances` are those of the candidates and `names` what each is called.
    """
    water = water_now(facts, healths, case, chances)
    return tuple(_line(facts, case, one, chances, names) for one in measure_verdicts(water))


def _line(
    facts: Facts, case: CaseState, found: MeasureVerdict, chances: Mapping[str, float], names: Mapping[str, str]
) -> MeasureLine:
    measure = found.measure
    lines = [(_objection(facts, one), one.rank) for one in found.objections]
    is_allowed = found.state == "now" and case.closed is None
    answers = (("task", measure.task_words), ("subjects", f"case/{case.key}"))
    return MeasureLine(
        key=measure.key,
        name=measure.name,
        state=found.state,
        state_words=_state_words(facts, found),
        fit_words=_fit_words(found, chances, names),
        objections=tuple(line for line, rank in lines if rank),
        cares=tuple(line for line, rank in lines if not rank),
        how=measure.how,
        dose_words=_dose_words(facts, case, found),
        course=measure.course,
        looks_for=measure.looks_for,
        watch=measure.watch,
        stop=measure.stop,
        without=measure.without,
        alongside=measure.alongside,
        cautions=tuple(dict.fromkeys(one.text for key in measure.substances for one in knowledge.cautions_for(key))),
        reason=Reason(measure.how, measure.source, measure.status.value),
        step=NextStep("I did this" if measure.adds == "nothing" else "I began this", form="task-done", answers=answers)
        if is_allowed
        else None,
    )


def _state_words(facts: Facts, found: MeasureVerdict) -> str:
    match found.state:
        case "now":
            return "allowed now"
        case "not before":
            return "not before it is over" if found.days is None else f"not before {_day(facts, found.days)}"
        case "not known":
            return "not yet"
        case _:
            return "not here"


def _day(facts: Facts, days_ahead: float) -> str:
    return short_day(at_days(days_of(facts.now) + days_ahead).astimezone(facts.zone).date())


def _objection(facts: Facts, one: Objection) -> ObjectionLine:
    block = one.block
    words = f"{block.words}: {listed(list(one.names))}" if one.names else block.words
    if one.is_unknown and block.verdict != "not known":
        words = f"Not known whether {words[:1].lower()}{words[1:]}"
    elif one.is_unknown:
        words = f"{words}: not known, or read too long ago"
    until = f"; until {_day(facts, one.days)}" if one.days is not None else ""
    how = block.unknown if one.is_unknown or block.verdict == "not known" else ""
    return ObjectionLine(
        words=f"{sentence_case(words)}{until}.",
        how_to_know=how,
        reason=Reason(block.words, block.source, block.status.value),
    )


def _fit_words(found: MeasureVerdict, chances: Mapping[str, float], names: Mapping[str, str]) -> str:
    """Return what a measure is for and what it works against, the likeliest of each with its chance."""
    lines = growth_lines()
    helps = {key: chances[key] for key in chances if found.measure.key in lines[key].first + lines[key].second}
    harms = {key: chances[key] for key in chances if found.measure.key in lines[key].avoid}
    said = f"For {names[max(helps, key=helps.__getitem__)]} ({percent(found.fit)} likely)"
    least = knowledge.figure("growth.least_told").value
    if found.against < least:
        return f"{said}."
    return f"{said}; against you where it is {names[max(harms, key=harms.__getitem__)]} ({percent(found.against)})."


def _dose_words(facts: Facts, case: CaseState, found: MeasureVerdict) -> str:
    """Return a usual dose for this water, only where the measure is allowed and the volume known."""
    dose, most = found.measure.dose_mg_per_l, found.measure.most_mg_per_l
    if dose is None or most is None or found.state != "now":
        return ""
    volume = facts.household.system_or_missing(case.system).net_volume_l
    if volume is None:
        return "No dose is told: the net volume of this water is not known."
    milligrams = dose * volume
    three_per_cent = knowledge.figure("growth.peroxide_mg_per_ml").value
    return (
        f"{amount(dose, 1, 'mg/L')} in {amount(volume, 0, 'L')} is {amount(milligrams, 0, 'mg')}: "
        f"{amount(milligrams / three_per_cent, 1, 'mL')} of a 3\u202f% solution. Never above {amount(most, 1, 'mg/L')}."
    )
