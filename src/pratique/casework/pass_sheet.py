"""The pass of one animal: what it went through, how sure it is free of disease and fit, and what stays in doubt."""

from collections.abc import Iterator, Mapping
from datetime import datetime

from pratique import knowledge
from pratique.casework.concerns.pieces import about
from pratique.casework.facts import Facts
from pratique.casework.gate_lines import look_for
from pratique.casework.gates import AtGate, clearance_of, gate_of, leg_now
from pratique.casework.health import AnimalHealth, health_of
from pratique.casework.pass_courses import course_lines, substances_met
from pratique.casework.passage_troubles import troubles_of
from pratique.casework.people import appetite_words, breathing_words, condition_words, rest_words
from pratique.casework.protocol_kept import protocol_of
from pratique.casework.sheets.pass_sheet import PassSheet
from pratique.casework.words import clock, day_words, percent, sentence_case, short_day, when
from pratique.knowledge.introduction import introduction_figures
from pratique.ledger.entries import Recorded
from pratique.ledger.household import Household
from pratique.ledger.kinds.gates import Clearance, Override
from pratique.ledger.queries import entries_about
from pratique.ledger.states import AnimalState, BatchState
from pratique.science.passage.gates import FREE_OF

_DEFER = (
    "Medicines: the label and local law come first, and an aquatic veterinarian where an animal is ill or a dose is "
    "in doubt. What is written here is one keeper’s record, not a certificate of health."
)
_TRAVEL = "Do not let the water it travels in into another tank: it may hold medicine, or what lives in it."
_GUESSES = (
    "The chances rest on guesses: how many parasites came along, what a look finds, how well a swimmer settles and "
    "what copper does to it."
)
_KEPT_TO = frozenset({"copper_suppresses", "copper_waste"})


def pass_sheet(household: Household, key: str, *, now: datetime) -> PassSheet:
    """Return the pass of an animal as it stands; raises KeyError for one that is not known."""
    animal = household.animals[key]
    facts = Facts(household, now)
    healths = health_of(facts)
    health = healths.get(key) or AnimalHealth(facts, animal)
    kind = knowledge.species_or_unknown(animal.species)
    batch = household.batches.get(animal.batch or "")
    gate = _gate(facts, batch, animal, healths)
    granted = clearance_of(facts, animal)
    today = now.astimezone(facts.zone)
    return PassSheet(
        about=about(animal),
        species_words=sentence_case(kind.name),
        latin=kind.latin,
        batch=about(batch) if batch is not None else None,
        household=household.state.name if household.state is not None else "",
        made_words=f"As it stood on {day_words(today.date())} {today.year}, {clock(now, facts.zone)}.",
        is_cleared=granted is not None and animal.life == "alive",
        standing=_standing(facts, animal, batch, granted),
        stays=_stays(facts, animal),
        courses=course_lines(facts, animal),
        disease=_disease(gate, granted),
        condition=_condition(animal, health, is_fish=not kind.is_invertebrate),
        doubts=tuple(dict.fromkeys(_doubts(facts, animal, batch, gate, granted))),
        cautions=_cautions(facts, animal),
        watch=(*(look_for(gate, health) if gate else ()), *(one.words for one in introduction_figures("watch"))),
    )


def _gate(
    facts: Facts, batch: BatchState | None, animal: AnimalState, healths: Mapping[str, AnimalHealth]
) -> AtGate | None:
    """Return the last gate of its passage, judged now: what it asks is what a hand-over asks."""
    if batch is None or animal.life != "alive":
        return None
    last = protocol_of(facts.household, batch.protocol).legs[-1]
    return gate_of(facts, batch, animal, healths, leg=last)


def _standing(facts: Facts, animal: AnimalState, batch: BatchState | None, granted: Recorded | None) -> str:
    if animal.life != "alive":
        return "It is not here any more: this hands nothing over, it only tells what was."
    if batch is None:
        return "Not cleared: it is on no passage, so nobody judged whether it is free of disease and fit."
    if granted is None:
        leg = leg_now(facts.household, batch).name.lower()
        return f"Not yet cleared. Its passage is under way ({leg}): do not hand it over as free of disease and fit."
    words = granted.raw.get("words", "")
    said = f" In these words: “{words}”" if words else ""
    chance = granted.payload.chance_clear if isinstance(granted.payload, Clearance) else None
    sure = "How sure it was then that no parasite was left is not known."
    if chance is not None:
        sure = f"The chance then that no living parasite was on it or in water moved with it: {percent(chance)}."
    return f"Cleared {when(granted.happened_at, facts.now, facts.zone)} by {granted.author}. {sure}{said}"


def _stays(facts: Facts, animal: AnimalState) -> tuple[tuple[str, str], ...]:
    found = []
    for number, stay in enumerate(animal.stays):
        if stay.since > facts.now:
            continue
        since = short_day(stay.since.astimezone(facts.zone).date())
        is_over = stay.until is not None and stay.until <= facts.now
        until = f"to {short_day(stay.until.astimezone(facts.zone).date())}" if is_over and stay.until else "on"
        arrived = "" if number else ", where it arrived"
        place = facts.household.place_name(stay.system, stay.compartment)
        found.append((f"{since} {until}" if is_over else f"from {since} {until}", f"{place}{arrived}"))
    return tuple(found)


def _disease(gate: AtGate | None, granted: Recorded | None) -> tuple[str, ...]:
    """Return how sure it is free of each parasite: as it was shown when cleared, else as it stands now."""
    if granted is not None and isinstance(granted.payload, Clearance):
        return tuple(
            _said(one.title, one.status, one.words) for one in granted.payload.shown if one.key.startswith(FREE_OF)
        )
    if gate is None:
        return ()
    titles = {one.key: one.words for one in gate.criteria}
    return tuple(
        _said(titles[one.key], one.status, one.words) for one in gate.gate.findings if one.key.startswith(FREE_OF)
    )


def _said(title: str, status: str, words: str) -> str:
    """Return a criterion in one line, its title and its status once."""
    told = sentence_case(words.removeprefix(f"{title}: "))
    return f"{title}: {status}." if told.rstrip(".").lower() == status else f"{title}: {status}. {told}"


def _condition(animal: AnimalState, health: AnimalHealth, *, is_fish: bool) -> tuple[str, ...]:
    length = f"{animal.length_cm:g}\u202fcm long when it came." if animal.length_cm is not None else ""
    if not is_fish:
        return (length,) if length else ()
    told = (
        f"{sentence_case(appetite_words(health))}.",
        breathing_words(health),
        condition_words(health),
        rest_words(health),
        length,
    )
    return tuple(one for one in told if one)


def _doubts(
    facts: Facts, animal: AnimalState, batch: BatchState | None, gate: AtGate | None, granted: Recorded | None
) -> Iterator[str]:
    """Yield what is not known, what was let count all the same, and what went another way than planned."""
    if granted is not None and isinstance(granted.payload, Clearance):
        yield from (
            _said(one.title, one.status, one.words)
            for one in granted.payload.shown
            if one.status != "met" and not one.key.startswith(FREE_OF)
        )
    elif gate is not None:
        titles = {one.key: one.words for one in gate.criteria}
        yield from (
            _said(titles[one.key], one.status, one.words)
            for one in gate.gate.findings
            if one.status != "met" and not one.key.startswith(FREE_OF)
        )
    for entry in entries_about(f"animal/{animal.key}", ["override"], until=facts.now):
        if isinstance(entry.payload, Override):
            shown = entry.payload.shown
            yield f"{shown.title}: let count all the same by {entry.author}: “{entry.payload.words}”"
    if batch is not None:
        yield from (f"{one.words} {one.follows}" for one in troubles_of(facts, batch))
    if gate is not None and gate.cleared.chances:
        yield " ".join((*gate.cleared.said, _GUESSES))
    if animal.length_cm is None:
        yield "Its length was never written down."


def _cautions(facts: Facts, animal: AnimalState) -> tuple[str, ...]:
    """Return how its kind takes copper, what its medicines leave behind, and whom to defer to."""
    kind = knowledge.species_or_unknown(animal.species)
    found = [kind.copper_note] if kind.copper_note and not kind.is_invertebrate else []
    for substance in substances_met(facts, animal):
        cautions = knowledge.cautions_for(substance)
        kept = [one for one in cautions if one.key in _KEPT_TO]
        found += [one.text for one in kept or cautions[:2]]
    return tuple(dict.fromkeys((*found, _TRAVEL, _DEFER)))
