"""The forms for animals that come: a batch that arrives together, and an animal that was here all along."""

from datetime import datetime

from pratique import knowledge
from pratique.casework.protocol_kept import protocol_of, protocols_known
from pratique.casework.words import sentence_case
from pratique.casework.writing.asked import Asked
from pratique.casework.writing.dangers import newcomers_question
from pratique.casework.writing.desk import Answers, Desk
from pratique.casework.writing.fields import Field, Option, Widget
from pratique.casework.writing.form import Form
from pratique.casework.writing.keys import key_from, nearest
from pratique.casework.writing.lookups import Place, find, find_place
from pratique.casework.writing.moments import told
from pratique.casework.writing.numbers import plain
from pratique.casework.writing.options import MOMENT, WORDS, place_options, species_options, states, with_initial
from pratique.casework.writing.watching import length_question
from pratique.ledger.entries import NewEntry, Recorded
from pratique.ledger.household import Household
from pratique.ledger.kinds.animals import Arrival, Batch, Leg

MOST_ANIMALS = 8
UNCOUNTED = "uncounted"


def _animal_fields(prefix: str, group: str, *, required: bool = False) -> tuple[Field, ...]:
    name = f"{prefix}name"
    return (
        Field(name=name, label="Name", hint="Left empty: its kind's name.", group=group),
        Field(
            name=f"{prefix}species",
            label="Kind",
            widget=Widget.CHOICE,
            required=required,
            options=(*(() if required else (Option("", "None"),)), *species_options()),
            group=group,
        ),
        Field(
            name=f"{prefix}count",
            label="How many",
            widget=Widget.TEXT,
            hint=f"Left empty: 1. Write “{UNCOUNTED}” for a group that cannot be counted.",
            group=group,
        ),
        Field(name=f"{prefix}length", label="Length", widget=Widget.NUMBER, units=("cm", "in"), group=group),
    )


def batch_fields(household: Household, answers: Answers, _now: datetime) -> tuple[Field, ...]:
    """Return the questions about a batch and up to eight animals."""
    protocols = tuple(Option(one.key, one.name, one.words) for one in protocols_known(household))
    number = len(household.batches) + 1
    quarantines = [one.key for one in household.systems.values() if one.role == "quarantine"]
    asked = [
        Field(name="name", label="Name of the batch", required=True, initial=f"B{number}"),
        Field(name="protocol", label="Protocol", widget=Widget.CHOICE, required=True, options=protocols),
        Field(
            name="system",
            label="Where they are put",
            widget=Widget.CHOICE,
            required=True,
            options=place_options(household),
            initial=quarantines[0] if len(quarantines) == 1 else "",
        ),
    ]
    for index in range(1, MOST_ANIMALS + 1):
        asked += _animal_fields(f"animal-{index}-", f"Animal {index}")
    return with_initial((*asked, MOMENT, WORDS), answers)


def write_batch(desk: Desk, answers: Answers) -> list[NewEntry]:
    """Return the batch, its animals' arrivals, and that it began the first leg. Raises Problems and Doubts."""
    asked = Asked(desk, answers, batch_fields(desk.household, answers, desk.now))
    name = asked.line("name", "Write a name for the batch, such as B1.")
    protocol = asked.choice("protocol", "Choose the protocol the batch follows.")
    place = find_place(asked, "system", needed="Choose where they were put.")
    key = key_from(name, asked.household.batches)
    arrivals: list[Arrival] = []
    for index in range(1, MOST_ANIMALS + 1):
        prefix = f"animal-{index}-"
        if any(asked.given(f"{prefix}{part}") for part in ("name", "species", "count", "length")):
            arrival = _arrival(asked, prefix, place, taken={one.key for one in arrivals}, batch=key)
            arrivals += [arrival] if arrival is not None else []
    if not any(asked.given(f"animal-{index}-species") for index in range(1, MOST_ANIMALS + 1)):
        asked.problem("animal-1-species", "Choose the kind of at least one animal.")
    _ask_about_copper(asked, place, arrivals, "system")
    confirmed = asked.settle()
    legs = protocol_of(asked.household, protocol).legs
    batch = Batch(key=key, name=name, protocol=protocol, words=asked.words, confirmed=confirmed)
    return asked.entries(batch, *arrivals, Leg(batch=key, leg=legs[0].key))


def resident_fields(household: Household, answers: Answers, _now: datetime) -> tuple[Field, ...]:
    """Return the questions about an animal that is here already."""
    place = Field(
        name="system", label="Where it is", widget=Widget.CHOICE, required=True, options=place_options(household)
    )
    batch = Field(
        name="batch",
        label="Batch",
        widget=Widget.CHOICE,
        options=(Option("", "No batch"), *states(household.batches.values())),
    )
    when = Field(
        name="moment", label="Here since", widget=Widget.MOMENT, hint="Left empty: now. Roughly is good enough."
    )
    return with_initial((*_animal_fields("", "", required=True), place, batch, when, WORDS), answers)


def write_resident(desk: Desk, answers: Answers) -> list[NewEntry]:
    """Return the arrival of an animal. Raises Problems and Doubts."""
    asked = Asked(desk, answers, resident_fields(desk.household, answers, desk.now))
    # An animal may well have been here before its system was written down.
    place = find_place(asked, "system", needed="Choose where it is.", dated=False)
    asked.text("species", "Choose the kind of animal.")
    batch = find(asked, "batch", asked.household.batches, "batch")
    arrival = _arrival(asked, "", place, batch=batch.key if batch else None)
    if arrival is not None:
        _ask_about_copper(asked, place, [arrival], "system")
    confirmed = asked.settle()
    if arrival is None:
        return []
    return asked.entries(arrival.model_copy(update={"words": asked.words, "confirmed": confirmed}))


def _arrival(
    asked: Asked, prefix: str, place: Place | None, *, taken: set[str] | None = None, batch: str | None
) -> Arrival | None:
    """Return one animal's arrival, or None, with problems kept, where its answers are not whole."""
    species = _species(asked, f"{prefix}species")
    count = _count(asked, f"{prefix}count")
    length_cm = asked.number(f"{prefix}length", "cm", above=0)
    if not species or place is None:
        return None
    question = length_question(species, length_cm) if length_cm is not None else None
    if question is not None:
        asked.doubt(f"{prefix}length", question)
    name = asked.line(f"{prefix}name") or sentence_case(knowledge.species_or_unknown(species).name)
    namesakes = [one for one in asked.household.living if one.name.casefold() == name.casefold()]
    if namesakes:
        asked.doubt(f"{prefix}name", f"There is a living animal called {name} already. Is this another one?")
    before = asked.desk.amends
    return Arrival(
        key=before.raw["key"] if before else key_from(name, asked.household.animals.keys() | (taken or set())),
        name=name,
        species=species,
        count=count,
        system=place.system.key,
        compartment=place.compartment,
        batch=batch,
        length_cm=length_cm,
    )


def _species(asked: Asked, field: str) -> str:
    text = asked.text(field)
    if not text:
        asked.problem(field, "Choose the kind of animal.")
        return ""
    kinds = {one.key: one for one in knowledge.all_species()}
    wanted = text.casefold().replace("-", "_")
    found = [key for key, one in kinds.items() if wanted in {key, one.name.casefold(), one.latin.casefold()}]
    if not found:
        found = [key for key, one in kinds.items() if one.name.casefold().replace("-", "_") == wanted]
    if found:
        return found[0]
    near = nearest(text, {key: one.name for key, one in kinds.items()})
    right = f"Did you mean {kinds[near].name}?" if near else "Choose “other fish” or “other invertebrate”."
    asked.problem(field, f"There is no kind of animal called “{text}” here. {right}")
    return ""


def _count(asked: Asked, field: str) -> int | None:
    text = asked.text(field)
    if text.casefold() == UNCOUNTED:
        return None
    return asked.whole(field, least=1) if text else 1


def _ask_about_copper(asked: Asked, place: Place | None, arrivals: list[Arrival], field: str) -> None:
    if place is None:
        return
    names = [one.name for one in arrivals if knowledge.species_or_unknown(one.species).is_invertebrate]
    question = newcomers_question(asked.household, place.system, names, asked.at)
    if question is not None:
        asked.doubt(field, question)


def answers_of_arrival(entry: Recorded, household: Household) -> Answers:
    """Return an arrival as answers to the form for one animal."""
    arrival = entry.payload
    if not isinstance(arrival, Arrival):
        return {}
    place = arrival.system if arrival.compartment is None else f"{arrival.system}/{arrival.compartment}"
    return {
        "name": arrival.name,
        "species": arrival.species,
        "count": UNCOUNTED if arrival.count is None else str(arrival.count),
        "length": plain(arrival.length_cm) if arrival.length_cm is not None else "",
        "length_unit": "cm",
        "system": place,
        "batch": arrival.batch or "",
        **told(entry, household, arrival.words),
    }


BATCH = Form(
    name="batch",
    title="Receive a batch",
    group="animals",
    fields=batch_fields,
    write=write_batch,
    kinds=("batch", "arrival", "leg"),
)
RESIDENT = Form(
    name="resident",
    title="An animal already here",
    group="animals",
    fields=resident_fields,
    write=write_resident,
    kinds=("arrival",),
    answers_of=answers_of_arrival,
)
