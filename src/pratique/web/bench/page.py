"""One card as its page draws it: the questions with what was typed, and the answer or what stands in its way."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from urllib.parse import urlencode

from pratique.casework.bench.card import PLUS_MINUS, WAY, BenchAnswer, Card, NotAnswered, Way
from pratique.casework.bench.drawn import as_drawn
from pratique.casework.bench.reckon import reckon
from pratique.casework.sheets import NextStep
from pratique.casework.writing.fields import Field
from pratique.ledger.household import Household
from pratique.web.writing.bound import Question, Sentences, bind
from pratique.web.writing.order import systems_in_order

_UNIT = "_unit"
# What an address may hold besides answers.
_NOT_ANSWERS = frozenset({"redraw", "opened"})
_PER_SYSTEM = "readings"
_NOT_METRIC = frozenset({"US gal", "°F"})


@dataclass(frozen=True)
class Asked:
    """One question with the box for its ± beside it, None for a number that is exact or no number."""

    question: Question
    error: Question | None = None


@dataclass(frozen=True)
class Group:
    """Questions under one heading; those with a heading may be left out and are folded away while they are empty."""

    title: str
    asked: tuple[Asked, ...]

    @property
    def is_open(self) -> bool:
        """Whether there is something to see in it."""
        return any(one.question.problem or (one.question.value and not _is_initial(one.question)) for one in self.asked)


@dataclass(frozen=True)
class Obstacle:
    """What stands in the way of an answer, and where."""

    label: str
    target: str
    sentence: str


@dataclass(frozen=True)
class CardPage:
    """Everything the template of a card needs."""

    card: Card
    way: Way
    way_question: Question | None
    groups: tuple[Group, ...]
    answer: BenchAnswer | None
    obstacles: tuple[Obstacle, ...]
    still_needed: tuple[Obstacle, ...]
    link: str
    entries: tuple[NextStep, ...]


def card_page(card: Card, given: Mapping[str, str], household: Household, *, is_redrawn: bool) -> CardPage:
    """Return the page of a card for what its address holds.

    Where only the questions are drawn anew, as after the choice of a way, a question still empty is no problem yet,
    and what the way before asked goes with its boxes.
    """
    answers = {name: text for name, text in given.items() if name not in _NOT_ANSWERS}
    way, wrong = _way(card, answers)
    if is_redrawn:
        answers = {name: text for name, text in answers.items() if name in {WAY} | _names(way)}
    fields = _in_own_units(way.fields, household)
    answers = as_drawn(fields, answers)
    answer, refusal = _answer(card, answers, fields) if wrong is None else (None, wrong)
    problems = dict(refusal.fields) if refusal is not None else {}
    shown = {name: one for name, one in problems.items() if not (is_redrawn and _is_missing(refusal, name))}
    questions = bind(fields, answers or None, Sentences(problems=shown))
    entry = answer.entry if answer is not None else None
    return CardPage(
        card=card,
        way=way,
        way_question=_way_question(card, way, problems),
        groups=_groups(questions),
        answer=answer,
        obstacles=_obstacles(card, questions, problems, refusal),
        still_needed=_still_needed(questions, problems, refusal),
        link=_link(way, card, answers),
        entries=_entries(entry, household),
    )


def _way(card: Card, answers: Mapping[str, str]) -> tuple[Way, NotAnswered | None]:
    try:
        return card.way_of(answers), None
    except NotAnswered as refusal:
        return card.ways[0], refusal


def _names(way: Way) -> set[str]:
    """Return what the boxes of a way may send: its questions, and the units of those that have one."""
    return {one.name for one in way.fields} | {one.name + _UNIT for one in way.fields if one.units}


def _answer(
    card: Card, answers: Mapping[str, str], fields: Sequence[Field]
) -> tuple[BenchAnswer | None, NotAnswered | None]:
    """Return the answer or why there is none; neither while nothing was typed."""
    initials = {one.name: one.initial for one in card.fields}
    typed = [name for name, text in answers.items() if name != WAY and not name.endswith(_UNIT) and text.strip()]
    if all(answers[name] == initials.get(name) for name in typed):
        return None, None
    # A number without a unit is in the one the page shows first, which is the household's own.
    units = {one.name + _UNIT: one.units[0] for one in fields if one.units}
    try:
        return reckon(card.name, {**units, **answers}), None
    except NotAnswered as refusal:
        return None, refusal


def _in_own_units(fields: Sequence[Field], household: Household) -> tuple[Field, ...]:
    """Return the questions with gallons or degrees Fahrenheit first where they are the household's own."""
    state = household.state
    own = {state.volume_unit, state.temperature_unit} & _NOT_METRIC if state is not None else set()
    return tuple(replace(one, units=tuple(sorted(one.units, key=lambda unit: unit not in own))) for one in fields)


def _way_question(card: Card, way: Way, problems: Mapping[str, str]) -> Question | None:
    said = Sentences(problems={name: one for name, one in problems.items() if name == WAY})
    asked = bind(card.way_field, {WAY: way.key}, said)
    return asked[0] if asked else None


def _groups(questions: Sequence[Question]) -> tuple[Group, ...]:
    errors = {one.name.removesuffix(PLUS_MINUS): one for one in questions if one.name.endswith(PLUS_MINUS)}
    asked = [Asked(one, errors.get(one.name)) for one in questions if not one.name.endswith(PLUS_MINUS)]
    titles = dict.fromkeys(one.question.field.group for one in asked)
    return tuple(Group(title, tuple(one for one in asked if one.question.field.group == title)) for title in titles)


def _is_initial(question: Question) -> bool:
    return question.value == question.field.initial


def _is_missing(refusal: NotAnswered | None, name: str) -> bool:
    return refusal is not None and name in refusal.missing


def _obstacles(
    card: Card, questions: Sequence[Question], problems: Mapping[str, str], refusal: NotAnswered | None
) -> tuple[Obstacle, ...]:
    labels = {one.name: one.label for one in card.fields}
    drawn = {one.name: one.id for one in questions}
    return tuple(
        Obstacle(labels.get(name, ""), drawn.get(name, ""), sentence)
        for name, sentence in problems.items()
        if not _is_missing(refusal, name)
    )


def _still_needed(
    questions: Sequence[Question], problems: Mapping[str, str], refusal: NotAnswered | None
) -> tuple[Obstacle, ...]:
    """Return what is only empty so far, in the order of the page."""
    return tuple(
        Obstacle(one.field.label, one.id, problems[one.name])
        for one in questions
        if one.name in problems and _is_missing(refusal, one.name)
    )


def _link(way: Way, card: Card, answers: Mapping[str, str]) -> str:
    """Return the query that brings this calculation back, at its answer: what was typed, and nothing that is empty."""
    kept = _names(way)
    numbers = {name: text for name, text in answers.items() if name in kept and text.strip()}
    used = {
        name: text for name, text in numbers.items() if not name.endswith(_UNIT) or name.removesuffix(_UNIT) in numbers
    }
    chosen = {WAY: way.key} if len(card.ways) > 1 else {}
    return f"?{urlencode(chosen | used)}#answer"


def _entries(entry: NextStep | None, household: Household) -> tuple[NextStep, ...]:
    """Return the ways into the ledger: a reading has one for each system, for it must say which water was read."""
    if entry is None or entry.form != _PER_SYSTEM:
        return (entry,) if entry is not None else ()
    return tuple(
        replace(entry, words=system.name, answers=(("system", system.key), *entry.answers))
        for system in systems_in_order(household)
    )
