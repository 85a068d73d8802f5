"""Why a dose somebody thinks of is refused: whom it harms, what is not known, how fast and how high it would go."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import timedelta
from typing import TYPE_CHECKING

from pratique import knowledge
from pratique.casework.combining import against, name_of
from pratique.casework.copper import CONSTITUENT as COPPER
from pratique.casework.facts import Facts
from pratique.casework.going_on import food_going_on
from pratique.casework.invertebrates import harmed_in
from pratique.casework.limits import Limits
from pratique.casework.medicines import Medicines
from pratique.casework.reckoning.priors import Prior
from pratique.casework.reckoning.reckoned import Reckoned
from pratique.casework.what_if_deeds import Deed
from pratique.casework.words import amount, percent, sentence_case, when
from pratique.knowledge import CopperForm
from pratique.ledger.states import SystemState
from pratique.science.estimation.case import Change, Dose, Event, Pulse
from pratique.units import to_canonical

if TYPE_CHECKING:
    from pratique.science.estimation.running import Running

_ALKALINITY = "alkalinity"
_DAY = timedelta(days=1)
_ROUNDING = 1e-9
_LEFT_OUT = "It is left out of the picture."


@dataclass(frozen=True)
class Plan:
    """Everything a deed is judged by: the water, what is reckoned of it, its limits, and how far ahead one looks."""

    facts: Facts
    system: SystemState
    constituent: str
    found: Reckoned
    running: "Running"
    prior: Prior
    limits: Limits | None
    until_day: float

    @property
    def hard_upper(self) -> float:
        """Return the level no dose may lead above: of the band, or else of what is usual."""
        if self.limits is not None and self.limits.hard_upper is not None:
            return self.limits.hard_upper
        return knowledge.constituent(self.constituent).usual_upper

    def events(self, deeds: Sequence[Deed]) -> tuple[Event, ...]:
        """Return deeds as science takes them."""
        return tuple(deed.event(self.found, self.prior) for deed in deeds)

    def food(self, until_day: float) -> tuple[Pulse, ...]:
        """Return the food to be expected up to a day."""
        return food_going_on(self.found, until_day=until_day)

    def figure(self, value: float) -> str:
        """Return a level as a bare number."""
        return amount(value, knowledge.constituent(self.constituent).decimals)

    def level(self, value: float) -> str:
        """Return a level with its unit."""
        figure = knowledge.constituent(self.constituent)
        return amount(value, figure.decimals, "" if figure.key == "ph" else figure.unit)


def withheld(plan: Plan) -> str:
    """Return why no dose at all is thought of in this water, or nothing."""
    harmed = harmed_in(plan.facts.household, plan.system)
    if plan.constituent == COPPER and harmed:
        return (
            f"Copper kills invertebrates, and {plan.system.name} holds {harmed}. No dose is planned here: move them to "
            "clean water first."
        )
    met = _met(plan) if plan.constituent == COPPER else ""
    if met:
        return met
    if plan.system.net_volume_l is None:
        return (
            f"{plan.system.name}'s net volume is not known, so no dose is planned: write it under {plan.system.name} "
            "first. A change of water can be tried all the same."
        )
    return _unread(plan)


def _met(plan: Plan) -> str:
    """Return what stands against copper in this water, where it holds none yet; or nothing."""
    facts, system = plan.facts, plan.system
    if Medicines(facts).may_hold_copper(system.key):
        return ""
    form = plan.found.ledger.form or CopperForm.IONIC
    copper = next(one for one in knowledge.substances() if one.form == form)
    for one in against(facts, system, copper, facts.household.living_in(system.key)):
        until = when(one.free_at, facts.now, facts.zone) if one.free_at is not None else ""
        words = f"from {until.removeprefix('on ')} on" if until else "when it is washed out"
        return f"{name_of(one.met)} must not meet copper. {one.pair.words} No dose is planned here: {words}."
    return ""


def _unread(plan: Plan) -> str:
    name, newest = knowledge.constituent(plan.constituent).name, plan.found.newest_reading
    if newest is None:
        return f"{sentence_case(name)} has not been read here yet: read it before any dose."
    stale = timedelta(hours=knowledge.figure(f"reading.stale_hours.{plan.constituent}").value)
    if plan.facts.now - newest.happened_at > stale:
        moment = when(newest.happened_at, plan.facts.now, plan.facts.zone)
        return f"The newest reading of {name} is old ({moment}): read again before any dose."
    if plan.found.is_newest_surprising:
        return f"The newest reading of {name} does not fit what the others say: read again before any dose."
    return ""


def refusals(plan: Plan, deeds: Sequence[Deed]) -> Mapping[int, str]:
    """Return why deeds are refused, by their number; each is judged with those before it that are not refused."""
    why_not, found, kept = withheld(plan), dict[int, str](), list[Deed]()
    for deed in sorted(deeds, key=lambda one: (one.at, one.way.substance is not None)):
        refused = _too_much_water(plan, deed) if deed.way.substance is None else why_not or _dose(plan, deed, kept)
        if refused:
            found[deed.number] = refused if refused == why_not else f"{refused} {_LEFT_OUT}"
        else:
            kept.append(deed)
    return found


def _too_much_water(plan: Plan, deed: Deed) -> str:
    least = float(plan.running.volumes.min())
    if deed.much < least:
        return ""
    return f"{plan.system.name} may hold no more than {amount(least, 0, 'L')}: this is the whole tank, not a change."


def _dose(plan: Plan, deed: Deed, before: Sequence[Deed]) -> str:
    return _too_fast(plan, deed, before) or _too_high(plan, deed, before)


def _too_fast(plan: Plan, deed: Deed, before: Sequence[Deed]) -> str:
    """Return a refusal of what raises the level more in a day than its step, doses already given counted in."""
    step = _step(plan)
    if step is None:
        return ""
    risen = _risen(plan, deed, before)
    if risen <= step + _ROUNDING:
        return ""
    return (
        f"With what goes in within 24 hours this would raise the level by {plan.level(risen)}; more than "
        f"{plan.level(step)} in a day is refused."
    )


def _step(plan: Plan) -> float | None:
    """Return the most a level is raised in a day, where a figure says so."""
    if plan.constituent == COPPER and plan.found.ledger.form is not None:
        return knowledge.figure(f"copper.ramp_step_mg_per_l_per_day.{plan.found.ledger.form.value}").value
    if plan.constituent == _ALKALINITY:
        figure = knowledge.figure("alkalinity.most_at_once_meq_per_l")
        return to_canonical(figure.value, "meq/L", plan.prior.unit)
    return None


def _risen(plan: Plan, deed: Deed, before: Sequence[Deed]) -> float:
    """Return the rise by all doses within a day up to and with this one, less what changes took out meanwhile."""
    litres, day = plan.running.volume_mean, plan.found.ledger.day_of(deed.at)
    events = [*plan.found.ledger.case.events, *plan.events(before)]
    within = [one for one in events if day - 1.0 < one.day <= day]
    given = sum(one.amount_mg / litres for one in within if isinstance(one, Dose))
    level = max(0.0, plan.running.level[0])
    taken = sum(one.volume_l / litres * max(0.0, level - one.incoming) for one in within if isinstance(one, Change))
    return max(0.0, given + deed.adds / litres - taken)


def _too_high(plan: Plan, deed: Deed, before: Sequence[Deed]) -> str:
    """Return a refusal of what might lead above the hard upper limit before the level is read again after it.

    The further ahead, the wider the doubt, and the level is read again before a later dose: such a dose is judged at
    the level expected then, with the doubt of now.
    """
    from pratique.science.estimation.forecast import ahead_of  # noqa: PLC0415 - loads the compiled loops
    from pratique.science.estimation.what_if import most_above  # noqa: PLC0415 - the same

    running, latest = plan.running, knowledge.figure("reckoning.next_reading_latest_days").value
    day, planned, limit = plan.found.ledger.day_of(deed.at), plan.events(before), plan.hard_upper
    if day > running.day + latest:
        meanwhile = (*plan.food(day), *planned)
        expected = float(ahead_of(running, until_day=day, events=meanwhile).mean[-1])
        limit -= expected - running.level[0]
        day, planned = running.day, ()
    dose = replace(deed.event(plan.found, plan.prior), day=max(day, running.day))
    until = dose.day + latest
    given = (*plan.food(until), *planned, dose)
    chance = most_above(running, limit, from_day=dose.day, until_day=until, events=given)
    most = knowledge.figure("reckoning.most_above_hard").value
    if chance <= most:
        return ""
    return (
        f"After this the level would lie above {plan.level(plan.hard_upper)} with a chance of {percent(chance)}; more "
        f"than {most * 100:g}\u202f% is refused."
    )
