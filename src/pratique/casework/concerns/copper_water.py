"""Concerns about copper in a system's water: too much, where invertebrates live, forms mixed, or met by a binder."""

from collections.abc import Iterator
from datetime import timedelta
from typing import Literal

from pratique import knowledge
from pratique.casework.concerns.pieces import WEIGHT_WORDS, about, reason
from pratique.casework.copper import stale_after
from pratique.casework.copper_level import chance_above, running_with
from pratique.casework.copper_water import WaterCopper, course_in, is_open, water_copper
from pratique.casework.facts import Facts
from pratique.casework.invertebrates import harmed_in
from pratique.casework.methods import method_by, range_of, reading_words
from pratique.casework.sheets import Concern, Evidence, NextStep, Reason, Weight
from pratique.casework.words import amount, percent, plus_minus, sentence_case, when
from pratique.knowledge import copper_band
from pratique.ledger.entries import Recorded
from pratique.ledger.kinds.water import Reading
from pratique.ledger.states import CourseState, SystemState
from pratique.science.estimation.reading import NORMAL_95

_ROUNDING = 1e-9


def copper_water_concerns(facts: Facts) -> Iterator[Concern]:
    """Yield the copper concerns of every system in whose water copper was dosed, read, or is meant to be."""
    for system in facts.household.systems.values():
        water = water_copper(facts, system)
        if water is None:
            continue
        course = course_in(facts, system.key)
        running = course if course is not None and is_open(facts, course) else None
        harmed = harmed_in(facts.household, system)
        if harmed:
            yield from _near_invertebrates(facts, water, running, harmed=harmed)
        if running is not None or facts.household.living_in(system.key):
            yield from _too_high(facts, water, course)
        yield from _mixed(facts, water, running)
        yield from _bound(facts, water, running)
        if running is not None:
            yield from _taken_out(facts, water, running)


def _steps(system: SystemState) -> tuple[NextStep, ...]:
    own = (("system", system.key),)
    return (
        NextStep("Write the water change", form="water-change", answers=own),
        NextStep("Read copper again", form="readings", answers=own),
    )


def _cautions(water: WaterCopper) -> tuple[str, ...]:
    return tuple(one.text for one in knowledge.cautions_for(f"copper_{water.told.form}"))


def _evidence(*entries: Recorded) -> tuple[Evidence, ...]:
    names = {"reading": "copper reading"}
    return tuple(Evidence(names.get(one.kind, one.kind.replace("-", " ")), one.happened_at, one.id) for one in entries)


def _is_old(facts: Facts, entry: Recorded) -> bool:
    return facts.now - entry.happened_at > stale_after()


def _too_high(facts: Facts, water: WaterCopper, course: CourseState | None) -> Iterator[Concern]:
    """Yield that the level reckoned, or the newest reading, likely lies above the hard upper limit of the form."""
    own, newest = copper_band(water.told.form), water.newest
    hard_upper = course.hard_upper if course is not None else own.hard_upper
    chance = _chance_high(water, hard_upper)
    is_reckoned_high = chance >= knowledge.figure("copper.high_probability").value
    is_read_high = _is_read_high(facts, water, hard_upper)
    if not is_reckoned_high and not is_read_high:
        return
    evidence = [one for one in water.entries if one.kind == "dose"][-1:] if is_reckoned_high else []
    said = [_reckoned_words(water, chance)] if is_reckoned_high else []
    if newest is not None:
        said.append(_read_words(facts, *newest))
        evidence.append(newest[0])
    is_sure = is_read_high or chance >= _even()
    yield Concern(
        key=f"copper-high.{course.key if course is not None else water.system.key}",
        about=about(water.system),
        title=f"{water.system.name}: copper {'is' if is_sure else 'may be'} too high",
        weight="now",
        weight_words=WEIGHT_WORDS["now"],
        said=(
            *said,
            f"The hard upper limit of {water.told.form} copper here is {amount(hard_upper, 2, 'mg/L')}.",
            "Add nothing. Change water now, aerate, and watch how they breathe."
            if is_sure
            else "Add nothing, read it now, and watch how they breathe.",
        ),
        next_steps=_steps(water.system) if is_sure else _steps(water.system)[::-1],
        evidence=_evidence(*{one.id: one for one in evidence}.values()),
        reasons=(
            Reason(f"Band of {water.told.form} copper. {own.note}", own.source, own.status.value),
            reason("copper.high_probability", "A level this likely above the limit is told."),
        ),
        cautions=_cautions(water),
    )


def _chance_high(water: WaterCopper, hard_upper: float) -> float:
    """Return how likely the level lies above a limit; by the doses alone, only if that is likelier than not."""
    if water.told.foreign or not (water.told.doses or water.told.readings):
        return 0.0
    chance = chance_above(running_with(water.told, water.reckoned), hard_upper + _ROUNDING)
    return chance if water.level is not None or chance >= _even() else 0.0


def _even() -> float:
    return knowledge.figure("chance.likelier_than_not").value


def _reckoned_words(water: WaterCopper, chance: float) -> str:
    how_sure = f"above the limit: {percent(chance)} likely"
    if water.level is not None:
        level = plus_minus(water.level.mean, NORMAL_95 * water.level.sd, 2, "mg/L")
        return f"Reckoned {level}; {how_sure}."
    running = running_with(water.told, water.reckoned)
    least = amount(running.level[0], 2, "mg/L") if running is not None else ""
    return f"Nothing has told the level since; by the doses alone about {least}, {how_sure}."


def _is_read_high(facts: Facts, water: WaterCopper, hard_upper: float) -> bool:
    """Return whether the newest reading lies above the limit, and no water was changed since that can be counted."""
    if water.newest is None or range_of(facts.household, water.newest[1]).centre <= hard_upper + _ROUNDING:
        return False
    entry = water.newest[0]
    changes = [one for one in water.entries if one.kind == "water-change" and one.happened_at > entry.happened_at]
    is_counted = entry in water.told.readings and water.level is not None
    return not (changes if is_counted else any(one.raw.get("emptied") for one in changes))


def _read_words(facts: Facts, entry: Recorded, reading: Reading) -> str:
    moment = when(entry.happened_at, facts.now, facts.zone)
    words = reading_words(facts.household, reading)
    if _is_old(facts, entry):
        return f"Last read {moment}: {words}; not known any more since."
    return f"Newest reading, {moment}: {words}."


def _near_invertebrates(
    facts: Facts, water: WaterCopper, running: CourseState | None, *, harmed: str
) -> Iterator[Concern]:
    system, doses, newest = water.system, water.told.doses, water.newest
    shows = _shows(facts, newest[1]) if newest is not None else "nothing"
    if not doses and shows == "nothing" and running is None:
        return
    weight = _weight_near(doses, newest[0] if newest else None, shows, is_running=running is not None)
    said = []
    if running is not None:
        said.append(f"{running.name} is under way in this water.")
    if doses:
        said.append(f"Copper was put in {when(doses[-1].happened_at, facts.now, facts.zone)}.")
    if newest is not None:
        said.append(_read_words(facts, *newest))
        if shows != "surely":
            said.append("Most tests cannot read so little, so a clear one does not prove the water safe for them.")
    said.append(
        f"{sentence_case(harmed)} share{'' if ' and ' in harmed or harmed == 'invertebrates' else 's'} this water. "
        "Carbon and water changes now; move what can move."
    )
    begun = (Evidence("the course", running.started or running.planned, running.entry),) if running else ()
    yield Concern(
        key=f"copper-invertebrates.{system.key}",
        about=about(system),
        title=f"{system.name}: copper in water with invertebrates",
        weight=weight,
        weight_words=WEIGHT_WORDS[weight],
        said=tuple(said),
        next_steps=_steps(system),
        evidence=(*_evidence(*doses[-3:], *((newest[0],) if newest else ())), *begun),
        reasons=(reason("copper.invertebrates_harmed_mg_per_l"),),
        cautions=tuple(one.text for one in knowledge.cautions_for("copper_ionic")),
    )


def _shows(facts: Facts, reading: Reading) -> Literal["surely", "perhaps", "nothing"]:
    """Return how surely a reading shows more copper than harms invertebrates; "below a limit" shows none."""
    household, harmed = facts.household, knowledge.figure("copper.invertebrates_harmed_mg_per_l").value
    spread, lower_limit = range_of(household, reading), method_by(household, reading).error.lower_limit
    if spread.low > harmed:
        return "surely"
    is_bound = reading.below is not None or (
        lower_limit is not None and reading.value is not None and reading.value < lower_limit
    )
    return "perhaps" if spread.centre > harmed and not is_bound else "nothing"


def _weight_near(
    doses: list[Recorded], newest: Recorded | None, shows: Literal["surely", "perhaps", "nothing"], *, is_running: bool
) -> Weight:
    is_unread_dose = bool(doses) and (newest is None or newest.happened_at <= doses[-1].happened_at)
    if is_running or is_unread_dose or shows == "surely":
        return "now"
    return "today" if shows == "perhaps" else "watch"


def _mixed(facts: Facts, water: WaterCopper, running: CourseState | None) -> Iterator[Concern]:
    """Yield that two forms of copper went into one water since it was last emptied."""
    if not water.told.foreign or not (running is not None or len({_substance(one) for one in water.told.doses}) > 1):
        return
    foreign = water.told.foreign[-1]
    own = running.name if running is not None else f"{water.told.form} copper"
    other = knowledge.substance_or_unknown(_substance(foreign)).name
    yield Concern(
        key=f"copper-mixed.{water.system.key}",
        about=about(water.system),
        title=f"{water.system.name}: two forms of copper are mixed",
        weight="now",
        weight_words=WEIGHT_WORDS["now"],
        since=foreign.happened_at.astimezone(facts.zone).date(),
        said=(
            f"{sentence_case(other)} went in {when(foreign.happened_at, facts.now, facts.zone)}, beside {own}.",
            "No band and no test counts for the mixture: the level is not known, and no day counts from then on.",
            "Add nothing, watch how they breathe, and move them into clean water of the same kind if you can.",
        ),
        next_steps=(
            NextStep("Write that it was emptied", form="water-change", answers=(("system", water.system.key),)),
            NextStep("Write the move", form="move"),
        ),
        evidence=_evidence(*water.told.foreign[-3:]),
        reasons=(
            Reason(
                "Forms of copper never share a band, a stock or a method.", "custom of the trade", "common practice"
            ),
        ),
        cautions=_cautions(water),
    )


def _substance(dose: Recorded) -> str:
    return str(dose.raw.get("substance"))


def _taken_out(facts: Facts, water: WaterCopper, running: CourseState) -> Iterator[Concern]:
    """Yield that something takes copper out of a course's water, and nobody has read what is left."""
    removers, newest = water.told.removers, water.told.newest_reading
    if not removers or (newest is not None and newest.happened_at > removers[-1].happened_at):
        return
    remover = removers[-1]
    name = knowledge.substance_or_unknown(_substance(remover)).name
    yield Concern(
        key=f"copper-taken-out.{water.system.key}",
        about=about(water.system),
        title=f"{water.system.name}: {name} in water under copper",
        weight="today",
        weight_words=WEIGHT_WORDS["today"],
        since=remover.happened_at.astimezone(facts.zone).date(),
        said=(
            f"{sentence_case(name)} went in {when(remover.happened_at, facts.now, facts.zone)} and takes copper out, "
            f"so the level of {running.name} is not known until it is read again.",
            f"Remove the {name} while the course lasts, and read copper.",
        ),
        next_steps=_steps(water.system)[::-1],
        evidence=_evidence(remover),
        reasons=(Reason(f"{sentence_case(name)} takes out medicines.", "custom of the trade", "common practice"),),
        cautions=tuple(one.text for one in knowledge.cautions_for(_substance(remover))),
    )


def _bound(facts: Facts, water: WaterCopper, running: CourseState | None) -> Iterator[Concern]:
    """Yield that a binder met copper in the last days, whichever of both went in first."""
    recent = facts.now - timedelta(days=knowledge.figure("copper.binder_days").value)
    binders = [one for one in water.told.binders if one.happened_at >= recent]
    if not binders or not (running is not None or water.told.doses or water.may_hold_copper):
        return
    binder = binders[-1]
    name = knowledge.substance_or_unknown(_substance(binder)).name
    yield Concern(
        key=f"copper-binder.{water.system.key}",
        about=about(water.system),
        title=f"{water.system.name}: {name} in water with copper",
        weight="now",
        weight_words=WEIGHT_WORDS["now"],
        since=binder.happened_at.astimezone(facts.zone).date(),
        said=(
            f"{sentence_case(name)} went in {when(binder.happened_at, facts.now, facts.zone)}; copper may turn toxic "
            "at once, and its level is not known until it is read again.",
            "Watch how they breathe, change water, and be ready to move them.",
        ),
        next_steps=_steps(water.system),
        evidence=_evidence(*binders[-3:]),
        reasons=(reason("copper.binder_days"),),
        cautions=tuple(one.text for one in knowledge.cautions_for(_substance(binder))),
    )
