"""The page of one constituent in a system: its level, the coming days, and what doses and changes would make of them.

Nothing here is written into the ledger.
"""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from pratique import knowledge
from pratique.casework.chances import chance_with_error
from pratique.casework.concerns.pieces import about
from pratique.casework.copper import CONSTITUENT as COPPER
from pratique.casework.facts import Facts
from pratique.casework.limits import copper_limits, limits_in
from pratique.casework.reckoning.priors import prior_of
from pratique.casework.reckoning.reckoned import Reckoned
from pratique.casework.ribbons import expected_points, name_of, past_chart, reckoned_in, with_days_ahead, with_food
from pratique.casework.sheets import Chart, ChartMark, Reason
from pratique.casework.sheets.what_if import DeedChoice, DeedRow, WhatIfSheet
from pratique.casework.what_if_deeds import Deed, Span, Typed, Way, typed_of, ways_of
from pratique.casework.what_if_refusals import Plan, refusals, withheld
from pratique.casework.words import day_words, percent, sentence_case
from pratique.ledger.household import Household
from pratique.ledger.states import SystemState

if TYPE_CHECKING:
    from pratique.science.estimation.what_if import Outlook

PAST = timedelta(days=14)
AHEAD = timedelta(days=7)
_DAY = timedelta(days=1)
_HOUR = timedelta(hours=1)
# The label and the vet come first whatever is dosed, also where a substance has no caution of its own.
_ALWAYS, _WARNED_OF_ALL = "label_and_vet", "copper_ionic"


def what_if_sheet(
    household: Household, key: str, constituent: str, given: Mapping[str, str], *, now: datetime
) -> WhatIfSheet:
    """Return the page of a constituent in a system with the deeds given; raises KeyError for either if not known."""
    system = household.systems[key]
    if constituent not in {one.key for one in knowledge.constituents()}:
        raise KeyError(constituent)
    facts = Facts(household, now)
    found = reckoned_in(facts, system, constituent)
    why_not = _why_not(system, constituent, found)
    if why_not or found is None:
        chart = _chart(facts, system, constituent, found) if found is not None else None
        return _sheet(system, constituent, why_not, chart)
    return _thought_of(_plan(facts, system, constituent, found), given)


def _sheet(system: SystemState, constituent: str, gist: str, chart: Chart | None) -> WhatIfSheet:
    name = sentence_case(name_of(constituent))
    return WhatIfSheet(about=about(system), constituent=constituent, name=name, gist=gist, chart=chart)


def _why_not(system: SystemState, constituent: str, found: Reckoned | None) -> str:
    """Return why nothing can be said of the days ahead, or nothing."""
    if found is None:
        name = name_of(constituent)
        return f"Nothing tells of {name} in {system.name} yet. The first reading will begin the picture."
    return found.problem or found.ledger.ends_early


def _plan(facts: Facts, system: SystemState, constituent: str, found: Reckoned) -> Plan:
    from pratique.science.estimation.what_if import lightened  # noqa: PLC0415 - loads the compiled loops

    assert found.running is not None  # noqa: S101 - without a problem there is one
    limits = copper_limits(facts, system) if constituent == COPPER else limits_in(facts, system, constituent)
    return Plan(
        facts,
        system,
        constituent,
        found,
        lightened(found.running),
        prior_of(constituent, form=found.ledger.form),
        limits,
        until_day=found.running.day + AHEAD / _DAY,
    )


def _thought_of(plan: Plan, given: Mapping[str, str]) -> WhatIfSheet:
    facts, found = plan.facts, plan.found
    span = Span(facts.now, found.ledger.moment_of(plan.until_day), facts.household)
    ways = ways_of(facts.household, plan.constituent, found.ledger.form, plan.prior)
    typed = typed_of(given, ways, span)
    deeds = [one.deed for one in typed if one.deed is not None]
    refused = refusals(plan, deeds)
    kept = [deed for deed in deeds if deed.number not in refused]
    outlook, nothing = _outlook(plan, kept), _outlook(plan, ())
    marks = tuple(_mark(deed) for deed in kept)
    ahead = expected_points(found, outlook.days, outlook.quantiles, marks)
    chart = _with_limits(plan, _chart(facts, plan.system, plan.constituent, found))
    return replace(
        _sheet(plan.system, plan.constituent, _gist(plan), None),
        chart=with_food(with_days_ahead(chart, ahead, marks), plan.food(plan.until_day)),
        outlook=(*_sentences(plan, outlook, nothing if kept else None), _at_the_end(plan, outlook), *_read_again(kept)),
        withheld=withheld(plan) if any(way.substance for way in ways) else "",
        choices=tuple(DeedChoice(way.value, way.words, way.step) for way in ways),
        rows=_rows(typed, refused, ways, span),
        first_at=span.text(span.first),
        last_at=span.text(span.last),
        steps=tuple(deed.step(plan.system.key) for deed in kept),
        cautions=_cautions(deeds),
        reasons=_reasons(plan),
    )


def _outlook(plan: Plan, deeds: Sequence[Deed]) -> "Outlook":
    from pratique.science.estimation.case import Band  # noqa: PLC0415 - beside what loads the loops
    from pratique.science.estimation.what_if import Limits, outlook  # noqa: PLC0415 - loads the compiled loops

    band = Band(plan.limits.lower, plan.limits.upper) if plan.limits is not None else None
    limits = Limits(band, plan.hard_upper)
    events = (*plan.food(plan.until_day), *plan.events(deeds))
    return outlook(plan.running, limits, until_day=plan.until_day, events=events)


def _rows(typed: Sequence[Typed], refused: Mapping[int, str], ways: Sequence[Way], span: Span) -> tuple[DeedRow, ...]:
    """Return what was typed with what is wrong with it, and one empty row for more; none where nothing can be done."""
    if not ways:
        return ()
    rows = [replace(one.row, refused=refused.get(one.row.number, "")) for one in typed]
    soon = (span.first + _HOUR).replace(minute=0)
    return (*rows, DeedRow(number=len(rows) + 1, what=ways[0].value, amount="", at=span.text(soon)))


def _mark(deed: Deed) -> ChartMark:
    return ChartMark(deed.at, "change" if deed.way.substance is None else "dose", deed.words, None)


def _chart(facts: Facts, system: SystemState, constituent: str, found: Reckoned) -> Chart:
    return past_chart(facts, system, constituent, found, since=max(facts.now - PAST, found.ledger.start))


def _with_limits(plan: Plan, chart: Chart) -> Chart:
    """Return the chart with the limits deeds are judged by, also where no course is open that would draw them."""
    limits = plan.limits
    if limits is None:
        return chart
    return replace(chart, band=(limits.lower, limits.upper), band_words=limits.words, hard_upper=limits.hard_upper)


def _gist(plan: Plan) -> str:
    level = plan.found.now
    if level is None:
        return plan.found.ledger.ends_early
    name = sentence_case(name_of(plan.constituent))
    low, high = plan.figure(level.low), plan.level(level.high)
    return f"{name} now lies between {low} and {high}, with 95\u202f%; most likely it is {plan.level(level.median)}."


def _sentences(plan: Plan, outlook: "Outlook", nothing: "Outlook | None") -> tuple[str, ...]:
    """Return how likely the days ahead keep to the limits, beside what comes of doing nothing."""
    said = []
    if outlook.inside is not None and plan.limits is not None:
        without = f"; with nothing done, {percent(nothing.inside)}" if nothing and nothing.inside is not None else ""
        said.append(
            f"Within the {plan.limits.words} for {percent(outlook.inside)} of the coming {AHEAD.days} days{without}."
        )
    if outlook.ever_above is not None and (nothing is not None or _has_limit(plan)):
        said.append(
            f"The chance of passing {plan.level(plan.hard_upper)} at any time in the coming {AHEAD.days} days is "
            f"{chance_with_error(outlook.ever_above)}."
        )
    return tuple(said)


def _read_again(deeds: Sequence[Deed]) -> tuple[str, ...]:
    is_dosed = any(deed.way.substance is not None for deed in deeds)
    return ("Read again before every dose: the picture is what is expected, not what will be.",) if is_dosed else ()


def _has_limit(plan: Plan) -> bool:
    return plan.limits is not None and plan.limits.hard_upper is not None


def _at_the_end(plan: Plan, outlook: "Outlook") -> str:
    low, median, high = (max(0.0, float(outlook.quantiles[row, -1])) for row in (0, 3, 6))
    day = plan.found.ledger.moment_of(plan.until_day).astimezone(plan.facts.zone)
    return (
        f"By {day_words(day.date())} it lies between {plan.figure(low)} and {plan.level(high)} with 95\u202f%, most "
        f"likely at {plan.level(median)}."
    )


def _cautions(deeds: Sequence[Deed]) -> tuple[str, ...]:
    """Return the cautions of everything that would be dosed, each once; the label and the vet always."""
    substances = dict.fromkeys(deed.way.substance.key for deed in deeds if deed.way.substance is not None)
    if not substances:
        return ()
    found = [one for key in (*substances, _WARNED_OF_ALL) for one in knowledge.cautions_for(key)]
    return tuple(dict.fromkeys(one.text for one in found if one.key == _ALWAYS or substances.keys() & one.substances))


def _reasons(plan: Plan) -> tuple[Reason, ...]:
    """Return what the picture rests on: beliefs beforehand, limits, and how much chance of passing one is taken."""
    most = knowledge.figure("reckoning.most_above_hard")
    latest = knowledge.figure("reckoning.next_reading_latest_days")
    usual = knowledge.constituent(plan.constituent)
    found = [Reason("What is lost and gained in a day, before anything was read", plan.prior.basis, _status(plan))]
    if plan.limits is not None:
        found.append(plan.limits.reason)
    if plan.prior.has_litres:
        words = f"No dose that passes {plan.level(plan.hard_upper)} with a chance over {most.value * 100:g}\u202f%"
        found.append(Reason(words, most.source, most.status.value))
        words = (
            f"A dose more than {latest.value * 24:g}\u202fh ahead is judged by the doubt of now: read again before it"
        )
        found.append(Reason(words, latest.source, latest.status.value))
    if plan.prior.has_litres and not _has_limit(plan):
        found.append(Reason(f"That limit: {plan.level(usual.usual_upper)}", usual.source, usual.status.value))
    return tuple(found)


def _status(plan: Plan) -> str:
    return "guess" if plan.prior.is_guess else "common practice"
