"""The options and the fields that many forms share."""

from collections.abc import Iterable
from dataclasses import replace

from pratique import knowledge
from pratique.casework.words import sentence_case
from pratique.casework.writing.desk import Answers
from pratique.casework.writing.fields import Field, Option, Widget
from pratique.ledger.household import Household
from pratique.ledger.states import AnimalState, State

VOLUMES = ("L", "US gal")
MOMENT = Field(name="moment", label="When", widget=Widget.MOMENT, hint="Left empty: now.")
WORDS = Field(name="words", label="Words", widget=Widget.LONG_TEXT)
PH_SCALES = (
    Option("nbs", "As a hobby meter reads it (NBS)"),
    Option("total", "Total scale"),
    Option("free", "Free scale"),
)
YES_NO = (Option("no", "No"), Option("yes", "Yes"))


def first(answers: Answers, name: str) -> str:
    """Return one answer given beforehand, such as one in an address, or nothing."""
    raw = answers.get(name, "")
    if isinstance(raw, bytes):
        return ""
    return raw if isinstance(raw, str) else next(iter(raw), "")


def several(answers: Answers, name: str) -> tuple[str, ...]:
    """Return all answers given beforehand under one name."""
    raw = answers.get(name, ())
    if isinstance(raw, bytes):
        return ()
    return (raw,) if isinstance(raw, str) and raw else tuple(raw)


def with_initial(fields: Iterable[Field], answers: Answers) -> tuple[Field, ...]:
    """Return the fields with the answers given beforehand filled in."""
    return tuple(_filled(field, answers) for field in fields)


def _filled(field: Field, answers: Answers) -> Field:
    if field.name not in answers or field.widget in {Widget.PHOTO, Widget.CLIP, Widget.FILE}:
        return field
    initial = several(answers, field.name) if field.widget is Widget.MANY else first(answers, field.name)
    return replace(field, initial=initial)


def volumes(household: Household) -> tuple[str, ...]:
    """Return the units of volume, the household's own first."""
    own = household.state.volume_unit if household.state else "L"
    return (own, *(unit for unit in VOLUMES if unit != own))


def states(found: Iterable[State]) -> tuple[Option, ...]:
    """Return an option for each thing the household keeps."""
    return tuple(Option(one.key, one.name) for one in found)


def system_field(household: Household, *, required: bool = True) -> Field:
    """Return the question which system; where there is only one, it is filled in."""
    options = states(household.systems.values())
    only = options[0].value if len(options) == 1 and required else ""
    return Field(name="system", label="System", widget=Widget.CHOICE, required=required, options=options, initial=only)


def place_options(household: Household) -> tuple[Option, ...]:
    """Return every system and, after each, its compartments as `skerry/creel`."""
    found = []
    for system in household.systems.values():
        found.append(Option(system.key, system.name))
        found += [
            Option(f"{system.key}/{inner.key}", household.place_name(system.key, inner.key))
            for inner in household.compartments_of(system.key)
        ]
    return tuple(found)


def animal_options(household: Household, animals: Iterable[AnimalState]) -> tuple[Option, ...]:
    """Return an option for each animal, with where it is."""
    found = []
    for animal in animals:
        place = animal.place
        hint = household.place_name(place.system, place.compartment) if place else animal.life
        found.append(Option(animal.key, animal.name, hint))
    return tuple(found)


def findable(household: Household) -> tuple[AnimalState, ...]:
    """Return the animals a move or an end may be written of: the living, then the missing."""
    missing = (one for one in household.animals.values() if one.life == "missing")
    return (*household.living, *sorted(missing, key=lambda one: one.name))


def subject_options(household: Household) -> tuple[Option, ...]:
    """Return everything a picture, a chore or a note may be about."""
    kept: tuple[tuple[str, Iterable[State]], ...] = (
        ("system", household.systems.values()),
        ("animal", household.living),
        ("batch", household.batches.values()),
        ("course", household.courses.values()),
        ("case", (case for case in household.cases.values() if case.closed is None)),
        ("compartment", household.compartments.values()),
    )
    return tuple(Option(f"{type_}/{one.key}", one.name, type_) for type_, some in kept for one in some)


def species_options() -> tuple[Option, ...]:
    """Return every kind of animal known here."""
    return tuple(Option(one.key, sentence_case(one.name), one.latin) for one in knowledge.all_species())


def substance_options() -> tuple[Option, ...]:
    """Return every substance known here."""
    return tuple(Option(one.key, sentence_case(one.name)) for one in knowledge.substances())
