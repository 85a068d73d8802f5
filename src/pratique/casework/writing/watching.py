"""The form for what was seen of one animal, or of a system as a whole."""

from datetime import datetime
from typing import get_args

from pratique import knowledge
from pratique.casework.words import amount, sentence_case
from pratique.casework.writing.asked import Asked
from pratique.casework.writing.desk import Answers, Desk
from pratique.casework.writing.fields import Field, Option, Widget
from pratique.casework.writing.form import Form
from pratique.casework.writing.lookups import doubt_missing, find_animal, find_system, refuse_dead
from pratique.casework.writing.moments import told
from pratique.casework.writing.numbers import plain, slipped
from pratique.casework.writing.options import MOMENT, WORDS, animal_options, findable, states, with_initial
from pratique.ledger.entries import NewEntry, Recorded
from pratique.ledger.household import Household
from pratique.ledger.kinds.animals import Observation, Sign
from pratique.ledger.states import AnimalState

CONDITION = (
    Option("0", "rounded"),
    Option("1", "flat belly"),
    Option("2", "pinched belly"),
    Option("3", "pinched belly, hollow nape"),
)
_COUNTED_S = "20"
_MINUTE_S = 60
_NO_SIGNS: Sign = "no signs"


def fields(household: Household, answers: Answers, _now: datetime) -> tuple[Field, ...]:
    """Return the questions."""
    return with_initial((*_about(household), *_breathing(), *_body(), *_behaviour(), MOMENT, WORDS), answers)


def _about(household: Household) -> tuple[Field, ...]:
    animals = animal_options(household, findable(household))
    none = Option("", "None")
    return (
        Field(name="animal", label="Animal", widget=Widget.CHOICE, options=(none, *animals)),
        Field(
            name="system",
            label="Or a system as a whole",
            widget=Widget.CHOICE,
            options=(none, *states(household.systems.values())),
        ),
    )


def _breathing() -> tuple[Field, ...]:
    group = "Breathing"
    return (
        Field(name="beats", label="Gill beats counted", widget=Widget.NUMBER, group=group),
        Field(
            name="seconds", label="Counted for", widget=Widget.NUMBER, hint="Seconds.", initial=_COUNTED_S, group=group
        ),
    )


def _body() -> tuple[Field, ...]:
    group = "Body"
    return (
        Field(name="spots", label="White spots", widget=Widget.NUMBER, group=group),
        Field(name="condition", label="Condition", widget=Widget.STEPS, options=CONDITION, group=group),
        Field(name="depth", label="Body depth on one picture", widget=Widget.NUMBER, hint="Any unit.", group=group),
        Field(
            name="length",
            label="Length without tail fin, on the same picture",
            widget=Widget.NUMBER,
            hint="In the same unit as the depth.",
            group=group,
        ),
        Field(name="depth-plus-minus", label="± of depth divided by length", widget=Widget.NUMBER, group=group),
        Field(name="body-length", label="Its length", widget=Widget.NUMBER, units=("cm", "in"), group=group),
        Field(name="weight", label="Its weight", widget=Widget.NUMBER, units=("g",), group=group),
    )


def _behaviour() -> tuple[Field, ...]:
    group = "Behaviour"
    signs = tuple(Option(sign, sentence_case(sign)) for sign in get_args(Sign))
    return (
        Field(name="signs", label="Signs", widget=Widget.MANY, options=signs, group=group),
        Field(name="charges", label="Charges at it", widget=Widget.NUMBER, hint="0 if watched and none.", group=group),
        Field(name="watched", label="Minutes watched", widget=Widget.NUMBER, group=group),
    )


def write(desk: Desk, answers: Answers) -> list[NewEntry]:
    """Return the observation. Raises Problems and Doubts."""
    asked = Asked(desk, answers, fields(desk.household, answers, desk.now))
    animal = find_animal(asked, "animal")
    system = find_system(asked, needed="") if not asked.given("animal") else None
    if not asked.given("animal") and not asked.given("system"):
        asked.problem("animal", "Choose the animal, or the system, that was watched.")
    if animal is not None and not refuse_dead(asked, "animal", animal):
        doubt_missing(asked, "animal", animal)
    seen: dict[str, object] = {
        **_counted(asked),
        **_shape(asked),
        "spots": asked.whole("spots"),
        "signs": _signs(asked),
        "condition_step": asked.whole("condition", most=len(CONDITION) - 1),
        "length_cm": _length(asked, animal),
        "weight_g": asked.number("weight", "g", above=0),
        "charges": asked.whole("charges"),
        "watched_min": asked.zero_or_more("watched"),
    }
    told_of = {name: value for name, value in seen.items() if value not in (None, ())}
    if not told_of and not asked.words:
        asked.problem("", "Write at least one thing that was seen.")
    confirmed = asked.settle()
    about = {"animal": animal.key if animal else None, "system": system.key if system else None}
    observation = Observation.model_validate(about | told_of | {"words": asked.words, "confirmed": confirmed})
    return asked.entries(observation)


def _counted(asked: Asked) -> dict[str, float]:
    beats = asked.number("beats", above=0)
    seconds = asked.number("seconds", above=0)
    if beats is None:
        return {}
    if seconds is None:
        asked.problem("seconds", "Write for how many seconds the beats were counted.")
        return {}
    per_minute = beats * _MINUTE_S / seconds
    distress = knowledge.figure("breathing.distress_per_min").value
    if per_minute > distress:
        asked.doubt(
            "beats",
            f"That is {plain(round(per_minute))} beats a minute, more than the {plain(distress)} of a fish in "
            f"distress. Were these beats counted in {plain(seconds)}\u202fs?",
        )
    return {"beats_per_min": per_minute, "counted_s": seconds}


def _shape(asked: Asked) -> dict[str, float]:
    depth, length = asked.number("depth", above=0), asked.number("length", above=0)
    plus_minus = asked.zero_or_more("depth-plus-minus")
    if asked.given("depth") != asked.given("length"):
        missing = "length" if asked.given("depth") else "depth"
        asked.problem(missing, "Depth and length go together: measure both on one picture.")
    if depth is None or length is None:
        return {}
    if depth > length:
        asked.doubt("depth", "The body is deeper than it is long. Are depth and length the right way round?")
    if depth >= 3 * length:
        asked.problem("depth", "Depth is three times the length or more; write the depth first, then the length.")
    error = {} if plus_minus is None else {"depth_over_length_plus_minus": plus_minus}
    return {"depth_over_length": depth / length} | error


def _signs(asked: Asked) -> tuple[str, ...]:
    signs = tuple(sign for text in asked.many("signs") if (sign := asked.option("signs", text)))
    if _NO_SIGNS in signs and len(signs) > 1:
        asked.problem("signs", "“No signs” stands alone; take it away, or the other signs.")
    return signs


def _length(asked: Asked, animal: AnimalState | None) -> float | None:
    length_cm = asked.number("body-length", "cm", above=0)
    if animal is not None and length_cm is not None:
        question = length_question(animal.species, length_cm)
        if question is not None:
            asked.doubt("body-length", question)
    return length_cm


def length_question(species: str, length_cm: float) -> str | None:
    """Return the question about an animal longer than its kind grows, or None."""
    kind = knowledge.species_or_unknown(species)
    if kind.adult_length_cm is None or length_cm <= kind.adult_length_cm[1]:
        return None
    longest = kind.adult_length_cm[1]
    meant = slipped(length_cm, 1.0, longest)
    hint = f" Did you mean {plain(meant)}?" if meant is not None else " Is it right?"
    name = sentence_case(kind.name)
    return f"{name} grows to about {amount(longest, 0, 'cm')}; {plain(length_cm)} is longer.{hint}"


def answers_of(entry: Recorded, household: Household) -> Answers:
    """Return an observation as answers to this form."""
    seen = entry.payload
    if not isinstance(seen, Observation):
        return {}
    has_beats, has_shape = seen.beats_per_min is not None, seen.depth_over_length is not None
    return {
        "animal": seen.animal or "",
        "system": seen.system or "",
        "beats": plain((seen.beats_per_min or 0) * seen.counted_s / _MINUTE_S) if has_beats else "",
        "seconds": plain(seen.counted_s),
        "spots": _number(seen.spots),
        "condition": _number(seen.condition_step),
        "depth": _number(seen.depth_over_length),
        "length": "1" if has_shape else "",
        "depth-plus-minus": _number(seen.depth_over_length_plus_minus),
        "body-length": _number(seen.length_cm),
        "weight": _number(seen.weight_g),
        "signs": seen.signs,
        "charges": _number(seen.charges),
        "watched": _number(seen.watched_min),
        **told(entry, household, seen.words),
    }


def _number(number: float | None) -> str:
    return "" if number is None else plain(number)


OBSERVATION = Form(
    name="observation",
    title="Watch an animal",
    group="every day",
    fields=fields,
    write=write,
    kinds=("observation",),
    answers_of=answers_of,
)
