"""The form for a close look: a skin scrape or a fresh-water dip, and what it showed. All of it by taps."""

from datetime import datetime

from pratique import knowledge
from pratique.casework.words import listed, sentence_case
from pratique.casework.writing.asked import Asked
from pratique.casework.writing.desk import Answers, Desk
from pratique.casework.writing.fields import Field, Option, Widget
from pratique.casework.writing.form import Form
from pratique.casework.writing.lookups import doubt_missing, find_animal, refuse_dead
from pratique.casework.writing.moments import told
from pratique.casework.writing.options import MOMENT, WORDS, animal_options, findable, with_initial
from pratique.ledger.entries import NewEntry, Recorded
from pratique.ledger.household import Household
from pratique.ledger.kinds.looks import Look
from pratique.ledger.states import AnimalState

_SEEN, _NOT_SEEN = "seen", "not seen"
_RESULTS = (Option("", "Not looked for"), Option(_NOT_SEEN, "Not seen"), Option(_SEEN, "Seen"))


def fields(household: Household, answers: Answers, _now: datetime) -> tuple[Field, ...]:
    """Return the questions: who, how, and for each parasite whether it was seen."""
    methods = knowledge.close_looks()
    asked = (
        Field(
            name="animals",
            label="Animals looked at",
            widget=Widget.MANY,
            required=True,
            options=animal_options(household, _fishes(household)),
        ),
        Field(
            name="method",
            label="How",
            widget=Widget.CHOICE,
            required=True,
            options=tuple(Option(one.key, sentence_case(one.name)) for one in methods),
            hint=" ".join(f"{sentence_case(one.name)}: {one.cautions}" for one in methods),
        ),
        *_parasite_fields(),
        MOMENT,
        WORDS,
    )
    return with_initial(asked, answers)


def _fishes(household: Household) -> list[AnimalState]:
    return [one for one in findable(household) if not knowledge.species_or_unknown(one.species).is_invertebrate]


def _parasite_fields() -> list[Field]:
    return [
        Field(name=one.key, label=_name(one.key), widget=Widget.CHOICE, options=_RESULTS, group="What it showed")
        for one in knowledge.parasites()
    ]


def _name(parasite: str) -> str:
    return sentence_case(parasite.replace("_", " "))


def write(desk: Desk, answers: Answers) -> list[NewEntry]:
    """Return the look. Raises Problems and Doubts."""
    asked = Asked(desk, answers, fields(desk.household, answers, desk.now))
    texts = asked.many("animals", "Choose who was looked at.")
    animals = [animal for text in texts if (animal := find_animal(asked, "animals", text=text)) is not None]
    for animal in animals:
        if knowledge.species_or_unknown(animal.species).is_invertebrate:
            asked.problem("animals", f"{animal.name} carries no parasites of fishes on itself. Leave it out.")
        elif not refuse_dead(asked, "animals", animal):
            doubt_missing(asked, "animals", animal)
    method = asked.choice("method", "Choose how they were looked at.")
    results = {one.key: asked.choice(one.key) for one in knowledge.parasites()}
    if not any(results.values()):
        first = knowledge.parasites()[0].key
        asked.problem(first, "Say of at least one parasite whether it was seen.")
    if method:
        _check_method(asked, method, results)
    confirmed = asked.settle()
    look = Look(
        animals=tuple(dict.fromkeys(animal.key for animal in animals)),
        method=method,
        seen=tuple(key for key, result in results.items() if result == _SEEN),
        not_seen=tuple(key for key, result in results.items() if result == _NOT_SEEN),
        words=asked.words,
        confirmed=confirmed,
    )
    return asked.entries(look)


def _check_method(asked: Asked, method: str, results: dict[str, str]) -> None:
    """Refuse a clean look for what the method cannot show; ask about having seen it so."""
    figure = knowledge.close_look(method)
    finds = listed([one.parasite.replace("_", " ") for one in figure.finds])
    for parasite, result in results.items():
        if not result or figure.of(parasite) is not None:
            continue
        words = f"A {figure.name} shows {finds}, hardly {parasite.replace('_', ' ')}."
        if result == _NOT_SEEN:
            asked.problem(parasite, f"{words} Not seeing it says nothing: choose “Not looked for”.")
        else:
            asked.doubt(parasite, f"{words} Was it really seen so?")


def answers_of(entry: Recorded, household: Household) -> Answers:
    """Return a look as answers to this form."""
    look = entry.payload
    if not isinstance(look, Look):
        return {}
    results = dict.fromkeys(look.seen, _SEEN) | dict.fromkeys(look.not_seen, _NOT_SEEN)
    return {"animals": look.animals, "method": look.method, **results, **told(entry, household, look.words)}


LOOK = Form(
    name="look",
    title="Look closely for parasites",
    group="every day",
    fields=fields,
    write=write,
    kinds=("look",),
    answers_of=answers_of,
)
