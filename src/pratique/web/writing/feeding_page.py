"""The page for feeding: five big words for each animal, in one place or in all of them at once."""

import zlib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from uuid import UUID

from django.db import transaction

from pratique.casework.words import listed
from pratique.casework.writing.desk import Answers, Desk, Doubts, Problems
from pratique.casework.writing.feeding import fed_in
from pratique.casework.writing.forms import write_form
from pratique.casework.writing.keys import derived_id
from pratique.casework.writing.options import place_options
from pratique.ledger.entries import Recorded
from pratique.ledger.household import Household
from pratique.web.writing.bound import Question
from pratique.web.writing.order import systems_in_order

UNSEEN = "fed-unseen"
SHARED = ("moment", "words")


@dataclass(frozen=True, slots=True)
class FoodRow:
    """One food: how much was given, or that some was, not weighed."""

    value: str
    words: str
    portion: str
    is_unweighed: bool
    amount: Question

    @property
    def given(self) -> str:
        """What was given of it, in a few words; empty for nothing."""
        if self.amount.value:
            return f"{self.amount.value}\u202f{self.amount.unit} {self.words.lower()}"
        return self.words.lower() if self.is_unweighed else ""


@dataclass(frozen=True, kw_only=True)
class Table:
    """One place at feeding time."""

    name: str
    prefix: str
    animals: tuple[Question, ...]
    foods: tuple[FoodRow, ...]
    foods_question: Question
    is_fed_unseen: bool

    @property
    def foods_name(self) -> str:
        """The name under which the foods are sent."""
        return self.foods_question.name

    @property
    def foods_id(self) -> str:
        """The id of the list of foods."""
        return self.foods_question.id

    @property
    def foods_problem(self) -> str:
        """What is wrong with the foods."""
        return self.foods_question.problem

    @property
    def foods_are_open(self) -> bool:
        """Whether there is something to see among the foods."""
        return any(one.problem or one.doubt for one in [self.foods_question, *(row.amount for row in self.foods)])

    @property
    def foods_words(self) -> str:
        """What is given, in a few words."""
        return listed([row.given for row in self.foods if row.given]) or "none yet"


def places_fed(household: Household) -> dict[str, str]:
    """Return the places where fish live, by key, with their names, in the order of a round."""
    order = [one.key for one in systems_in_order(household)]
    places = sorted(place_options(household), key=lambda one: order.index(one.value.partition("/")[0]))
    return {one.value: one.words for one in places if fed_in(household, one.value)}


def context(questions: Sequence[Question], *, is_amendment: bool) -> dict[str, object]:  # noqa: ARG001 - as all layouts
    """Return what the page of one place draws."""
    return {"tables": [table("", questions)], "is_round": False}


def table(name: str, questions: Sequence[Question], *, prefix: str = "", is_fed_unseen: bool = False) -> Table:
    """Return one place as drawn."""
    by_name = {one.field.name: one for one in questions}
    foods = by_name["foods"]
    return Table(
        name=name,
        prefix=prefix,
        animals=tuple(one for one in questions if one.field.name.startswith("fed-")),
        foods=tuple(
            FoodRow(one.value, one.words, one.hint, one.is_chosen, by_name[f"amount-{one.value}"])
            for one in foods.choices
        ),
        foods_question=foods,
        is_fed_unseen=is_fed_unseen,
    )


def split_by_place(answers: Answers, places: Iterable[str]) -> dict[str, Answers]:
    """Return the answers that belong to each place, without its prefix, and with what all places share."""
    shared = {name: answers[name] for name in SHARED if name in answers}
    return {
        place: {
            **shared,
            **{
                name.removeprefix(f"{place}:"): value for name, value in answers.items() if name.startswith(f"{place}:")
            },
        }
        for place in places
    }


def write_round(desk: Desk, by_place: Mapping[str, Answers]) -> list[Recorded]:
    """Write one feeding for each place where something was tapped: all of them or none.

    Raises Problems and Doubts, their fields with the place's prefix.
    """
    fed = {place: answers for place, answers in by_place.items() if _is_fed(answers)}
    if not fed:
        raise Problems({"": "Tap how at least one animal fed, or say where food was given with nobody watching."})
    recorded: list[Recorded] = []
    problems: dict[str, str] = {}
    doubts: dict[str, str] = {}
    with transaction.atomic():
        for place, answers in fed.items():
            own = replace(desk, entry_id=round_ids(desk.entry_id, [place])[0])
            try:
                recorded += write_form("feeding", own, _for_the_form(answers, place))
            except Problems as found:
                problems |= {_named(place, name): sentence for name, sentence in found.fields.items()}
            except Doubts as found:
                doubts |= {_named(place, name): sentence for name, sentence in found.fields.items()}
        if problems:
            raise Problems(problems)
        if doubts:
            raise Doubts(doubts)
    return recorded


def round_ids(entry_id: UUID, places: Iterable[str]) -> list[UUID]:
    """Return the id each place's feeding gets: the same place of the same sending always gets the same one."""
    return [derived_id(entry_id, zlib.crc32(place.encode())) for place in places]


def _for_the_form(answers: Answers, place: str) -> Answers:
    return {name: value for name, value in answers.items() if name != UNSEEN} | {"system": place}


def _named(place: str, name: str) -> str:
    return name if name in SHARED or not name else f"{place}:{name}"


def _is_fed(answers: Answers) -> bool:
    return bool(answers.get(UNSEEN)) or any(
        name.startswith("fed-") and value for name, value in answers.items() if name != UNSEEN
    )
