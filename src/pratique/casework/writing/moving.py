"""The forms for animals that go to another place, are not to be found, or died."""

from datetime import datetime

from pratique.casework.invertebrates import is_invertebrate
from pratique.casework.words import listed
from pratique.casework.writing.asked import Asked
from pratique.casework.writing.combining import meeting_question
from pratique.casework.writing.dangers import newcomers_question
from pratique.casework.writing.desk import Answers, Desk
from pratique.casework.writing.fields import Field, Widget
from pratique.casework.writing.form import Form
from pratique.casework.writing.lookups import (
    Place,
    doubt_missing,
    find_animal,
    find_place,
    is_gone,
    refuse_dead,
    stay_at,
)
from pratique.casework.writing.moments import told
from pratique.casework.writing.options import MOMENT, WORDS, animal_options, findable, place_options, with_initial
from pratique.ledger.entries import NewEntry, Recorded
from pratique.ledger.household import Household
from pratique.ledger.kinds.animals import Death, Loss, Move
from pratique.ledger.states import AnimalState


def move_fields(household: Household, answers: Answers, _now: datetime) -> tuple[Field, ...]:
    """Return the questions of a move."""
    asked = (
        Field(
            name="animals",
            label="Animals",
            widget=Widget.MANY,
            required=True,
            options=animal_options(household, findable(household)),
        ),
        Field(name="place", label="Where to", widget=Widget.CHOICE, required=True, options=place_options(household)),
        MOMENT,
        WORDS,
    )
    return with_initial(asked, answers)


def write_move(desk: Desk, answers: Answers) -> list[NewEntry]:
    """Return the move. Raises Problems and Doubts."""
    asked = Asked(desk, answers, move_fields(desk.household, answers, desk.now))
    place = find_place(asked, "place", needed="Choose where they went.")
    texts = asked.many("animals", "Choose at least one animal.")
    found = [animal for text in texts if (animal := find_animal(asked, "animals", text=text)) is not None]
    for animal in found:
        if not refuse_dead(asked, "animals", animal):
            doubt_missing(asked, "animals", animal)
    if place is not None:
        _check_place(asked, found, place)
    confirmed = asked.settle()
    if place is None:
        return []
    move = Move(
        animals=tuple(dict.fromkeys(animal.key for animal in found)),
        system=place.system.key,
        compartment=place.compartment,
        words=asked.words,
        confirmed=confirmed,
    )
    return asked.entries(move)


def _check_place(asked: Asked, animals: list[AnimalState], place: Place) -> None:
    where = asked.household.place_name(place.system.key, place.compartment)
    stays = [(animal, stay_at(animal, asked)) for animal in animals]
    there = [
        animal.name
        for animal, stay in stays
        if stay is not None and (stay.system, stay.compartment) == (place.system.key, place.compartment)
    ]
    if there:
        verb = "is" if len(there) == 1 else "are"
        asked.problem("animals", f"{listed(there)} {verb} in {where} already. Leave out who did not move.")
    newcomers = [
        animal.name
        for animal, stay in stays
        if is_invertebrate(animal) and (stay is None or stay.system != place.system.key)
    ]
    question = newcomers_question(asked.household, place.system, newcomers, asked.at)
    if question is not None:
        asked.doubt("place", question)
    comers = [one for one, stay in stays if stay is not None and stay.system != place.system.key]
    met = meeting_question(asked, place.system, comers)
    if met is not None:
        asked.doubt("place", met)


def answers_of_move(entry: Recorded, household: Household) -> Answers:
    """Return a move as answers to its form."""
    move = entry.payload
    if not isinstance(move, Move):
        return {}
    place = move.system if move.compartment is None else f"{move.system}/{move.compartment}"
    return {"animals": move.animals, "place": place, **told(entry, household, move.words)}


def end_fields(household: Household, answers: Answers, _now: datetime) -> tuple[Field, ...]:
    """Return the questions about an animal that is missing or dead."""
    animal = Field(
        name="animal",
        label="Animal",
        widget=Widget.CHOICE,
        required=True,
        options=animal_options(household, findable(household)),
    )
    return with_initial((animal, MOMENT, WORDS), answers)


def write_loss(desk: Desk, answers: Answers) -> list[NewEntry]:
    """Return that an animal is not to be found. Raises Problems and Doubts."""
    asked, animal = _ending(desk, answers)
    if animal is not None and animal.life == "missing" and is_gone(animal, asked):
        asked.problem("animal", f"{animal.name} is written down as missing already.")
    confirmed = asked.settle()
    return [] if animal is None else asked.entries(Loss(animal=animal.key, words=asked.words, confirmed=confirmed))


def write_death(desk: Desk, answers: Answers) -> list[NewEntry]:
    """Return that an animal died. Raises Problems and Doubts."""
    asked, animal = _ending(desk, answers)
    confirmed = asked.settle()
    return [] if animal is None else asked.entries(Death(animal=animal.key, words=asked.words, confirmed=confirmed))


def _ending(desk: Desk, answers: Answers) -> tuple[Asked, AnimalState | None]:
    asked = Asked(desk, answers, end_fields(desk.household, answers, desk.now))
    asked.text("animal", "Choose the animal.")
    animal = find_animal(asked, "animal")
    if animal is not None and not refuse_dead(asked, "animal", animal) and animal.count != 1:
        many = "a group that is not counted" if animal.count is None else f"a group of {animal.count}"
        asked.doubt(
            "animal",
            f"{animal.name} is {many} in the ledger, and this ends all of it. If only one is gone, write a note "
            "about the group instead. Is all of it gone?",
        )
    return asked, animal


def answers_of_end(entry: Recorded, household: Household) -> Answers:
    """Return a loss or a death as answers to its form."""
    end = entry.payload
    if not isinstance(end, Loss | Death):
        return {}
    return {"animal": end.animal, **told(entry, household, end.words)}


MOVE = Form(
    name="move",
    title="Move animals",
    group="animals",
    fields=move_fields,
    write=write_move,
    kinds=("move",),
    answers_of=answers_of_move,
)
LOSS = Form(
    name="loss",
    title="An animal is missing",
    group="animals",
    fields=end_fields,
    write=write_loss,
    kinds=("loss",),
    answers_of=answers_of_end,
)
DEATH = Form(
    name="death",
    title="An animal died",
    group="animals",
    fields=end_fields,
    write=write_death,
    kinds=("death",),
    answers_of=answers_of_end,
)
