"""The form for one feeding in one place: the foods, and how each animal fed where that was seen."""

from datetime import datetime, timedelta

from pratique import knowledge
from pratique.casework.words import sentence_case
from pratique.casework.writing.asked import Asked
from pratique.casework.writing.desk import Answers, Desk
from pratique.casework.writing.fields import Field, Option, Widget
from pratique.casework.writing.form import Form
from pratique.casework.writing.keys import meant
from pratique.casework.writing.lookups import Place, doubt_missing, find_animal, find_place, refuse_dead, stay_at
from pratique.casework.writing.moments import told
from pratique.casework.writing.numbers import plain
from pratique.casework.writing.options import MOMENT, WORDS, first, place_options, with_initial
from pratique.ledger.entries import NewEntry, Recorded
from pratique.ledger.household import Household
from pratique.ledger.kinds.animals import Feeding, FoodGiven
from pratique.ledger.queries import entries_about
from pratique.ledger.states import AnimalState

STEPS = (
    Option("0", "ignores"),
    Option("1", "looks, spits"),
    Option("2", "takes a few"),
    Option("3", "steady"),
    Option("4", "eager"),
)
PORTION = "portion"
_FOODS_BACK = timedelta(days=7)


def fields(household: Household, answers: Answers, now: datetime) -> tuple[Field, ...]:
    """Return the questions; the animals and the foods given last follow from the place."""
    places = place_options(household)
    only = places[0].value if len(places) == 1 else ""
    text = first(answers, "system") or only
    key = text if any(one.value == text for one in places) else meant(text, {one.value: one.words for one in places})
    place = Field(
        name="system", label="Place", widget=Widget.CHOICE, required=True, options=places, initial=key or only
    )
    last = _last_foods(key, now)
    return with_initial((place, *_animal_fields(household, key), *_food_fields(last), MOMENT, WORDS), answers)


def fed_in(household: Household, place: str) -> tuple[AnimalState, ...]:
    """Return the living fishes of a place: of a system those outside its compartments, or those of `skerry/creel`."""
    system, _, compartment = place.partition("/")
    return tuple(
        animal
        for animal in household.living_in(system)
        if animal.place is not None
        and animal.place.compartment == (compartment or None)
        and not knowledge.species_or_unknown(animal.species).is_invertebrate
    )


def _animal_fields(household: Household, place: str | None) -> list[Field]:
    return [
        Field(
            name=f"fed-{animal.key}",
            label=animal.name,
            widget=Widget.STEPS,
            options=STEPS,
            group="How they fed",
            hint="Left untouched means not seen.",
        )
        for animal in (fed_in(household, place) if place else ())
    ]


def _food_fields(last: dict[str, float | None]) -> list[Field]:
    foods = sorted(knowledge.foods(), key=lambda one: (one.key not in last, one.key == "other_food"))
    options = tuple(Option(one.key, sentence_case(one.name), one.portion) for one in foods)
    asked = [
        Field(
            name="foods",
            label="Foods not weighed",
            widget=Widget.MANY,
            options=options,
            initial=tuple(key for key, grams in last.items() if grams is None),
            group="What was fed",
        )
    ]
    for food in foods:
        grams = last.get(food.key)
        asked.append(
            Field(
                name=f"amount-{food.key}",
                label=f"How much {food.name}",
                widget=Widget.NUMBER,
                units=("g", PORTION) if food.grams_per_portion is not None else ("g",),
                hint=f"A portion is {food.portion}." if food.grams_per_portion is not None else "",
                initial=plain(grams) if grams is not None else "",
                group="What was fed",
            )
        )
    return asked


def _last_foods(place: str | None, now: datetime) -> dict[str, float | None]:
    """Return the foods given last in a place, so that the same again needs no typing."""
    if not place:
        return {}
    system, _, compartment = place.partition("/")
    for entry in reversed(entries_about(f"system/{system}", ["feeding"], since=now - _FOODS_BACK, until=now)):
        feeding = entry.payload
        if isinstance(feeding, Feeding) and feeding.foods and (feeding.compartment or "") == compartment:
            return {one.food: one.amount_g for one in feeding.foods}
    return {}


def write(desk: Desk, answers: Answers) -> list[NewEntry]:
    """Return the feeding. Raises Problems and Doubts."""
    asked = Asked(desk, answers, fields(desk.household, answers, desk.now))
    place = find_place(asked, "system", needed="Choose where they were fed.")
    foods = _foods(asked, answers)
    fed = _fed(asked, answers, place)
    if not foods and not fed and "system" not in asked.problems:
        asked.problem("", "Tap how at least one animal fed, or choose a food.")
    confirmed = asked.settle()
    if place is None:
        return []
    there = [
        animal.key
        for animal in asked.household.animals.values()
        if (stay := stay_at(animal, asked)) is not None
        and (stay.system, stay.compartment) == (place.system.key, place.compartment)
        and not knowledge.species_or_unknown(animal.species).is_invertebrate
    ]
    feeding = Feeding(
        system=place.system.key,
        compartment=place.compartment,
        foods=foods,
        offered_to=tuple(dict.fromkeys((*sorted(there), *fed))),
        fed=fed,
        words=asked.words,
        confirmed=confirmed,
    )
    return asked.entries(feeding)


def _foods(asked: Asked, answers: Answers) -> tuple[FoodGiven, ...]:
    """Return the foods named, and those with an amount; an amount nobody sent is not taken from the last feeding."""
    named = [key for text in asked.many("foods") if (key := asked.option("foods", text))]
    weighed = [food.key for food in knowledge.foods() if answers.get(f"amount-{food.key}")]
    return tuple(FoodGiven(food=key, amount_g=_grams(asked, key, answers)) for key in dict.fromkeys((*weighed, *named)))


def _grams(asked: Asked, key: str, answers: Answers) -> float | None:
    name, food = f"amount-{key}", knowledge.food(key)
    if not answers.get(name):
        return None
    text = asked.text(name)
    if food.grams_per_portion is not None and (asked.unit(name) == PORTION or PORTION in text):
        bare = text.replace(f"{PORTION}s", "").replace(PORTION, "")
        portions = asked.zero_or_more(name, text=bare)
        return None if portions is None else portions * food.grams_per_portion
    return asked.zero_or_more(name, "g")


def _fed(asked: Asked, answers: Answers, place: Place | None) -> dict[str, int]:
    fed: dict[str, int] = {}
    for name in (name for name in answers if name.startswith("fed-")):
        if not asked.text(name):
            continue
        animal = find_animal(asked, name, text=name.removeprefix("fed-"))
        step = asked.whole(name, least=0, most=len(STEPS) - 1)
        if animal is None or step is None or refuse_dead(asked, name, animal):
            continue
        doubt_missing(asked, name, animal)
        stay = stay_at(animal, asked)
        if place is not None and stay is not None and stay.system != place.system.key:
            was = asked.household.place_name(stay.system, stay.compartment)
            asked.problem(name, f"{animal.name} was in {was} then, not in {place.system.name}. Write a move first.")
        fed[animal.key] = step
    return fed


def answers_of(entry: Recorded, household: Household) -> Answers:
    """Return a feeding as answers to this form."""
    feeding = entry.payload
    if not isinstance(feeding, Feeding):
        return {}
    place = feeding.system if feeding.compartment is None else f"{feeding.system}/{feeding.compartment}"
    amounts = {f"amount-{one.food}": plain(one.amount_g) for one in feeding.foods if one.amount_g is not None}
    return {
        "system": place,
        "foods": tuple(one.food for one in feeding.foods),
        **amounts,
        **{f"fed-{animal}": str(step) for animal, step in feeding.fed.items()},
        **told(entry, household, feeding.words),
    }


FEEDING = Form(
    name="feeding",
    title="Feeding",
    group="every day",
    fields=fields,
    write=write,
    kinds=("feeding",),
    answers_of=answers_of,
)
