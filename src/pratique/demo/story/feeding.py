"""Every feeding of the story: what was given where, and how each animal fed."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from random import Random

from pratique.demo.chance import chance
from pratique.demo.days import FIRST_DAY, TODAY, at
from pratique.demo.story.diary import Diary
from pratique.demo.tank import Fed
from pratique.knowledge import food
from pratique.ledger.kinds.animals import Feeding, FoodGiven

# Share of the protein that is excreted as ammonia nitrogen: Timmons & Ebeling, recalled; 0.16 · 0.80 · 0.80 · 0.90.
_AMMONIA_N_OF_PROTEIN = 0.092

# One pair of feedings a day from day 0, morning then evening: a step, "." for not seen, "-" for no feeding.
_B1 = {
    "tomini-bristletooth": (
        "-1 12 23 33 34 3. 43 33 34 44 33 34 34 43 33 34 33 43 34 44"
        " 34 33 44 34 43 34 33 44 34 43 34 -2 34 34 44 34 44 42"
    ),
    "maiden-goby": (
        "-1 23 34 33 3. 43 34 33 .3 34 33 3. 33 43 33 33 22 22 10 01"
        " 1. 00 10 01 .1 10 01 11 01 22 12 -2 21 22 12 32 22 32"
    ),
    "six-line-wrasse": (
        "-2 33 34 44 34 .4 43 44 34 4. 44 34 44 43 34 44 .4 34 44 4."
        " 34 44 43 44 34 .4 44 43 44 34 44 -3 44 34 .4 44 44 43"
    ),
}
_B2_FROM_DAY = 35
_B2 = {
    "royal-gramma": "-2 33 34",
    "two-spined-angelfish": "-1 22 33",
    "banggai-pair": "-1 23 33",
}
_MOVED_TO_HAVEN = 31
_MOVED_TO_CREEL = at(37, "10:30")
_DOUBLED = range(12, 15)
_HALVED_FROM = 16


@dataclass(frozen=True)
class Meal:
    """One feeding: grams by food, and each animal it was offered to with its step (None where not seen)."""

    minute: int
    system: str
    grams: Mapping[str, float]
    steps: Mapping[str, int | None]
    compartment: str | None = None
    author: str = "keeper"
    words: str = ""


def meals(seed: int) -> list[Meal]:
    """Return every feeding of the story."""
    rng = chance(seed, "feeding")
    return [*_first_batch(rng), *_second_batch(rng), *_residents(rng)]


def ammonia_from(meal: Meal) -> Fed:
    """Return the ammonia nitrogen a meal becomes, whether eaten or left to rot."""
    protein_g = sum(food(key).protein_fraction * grams for key, grams in meal.grams.items())
    return Fed(meal.minute, 1000.0 * protein_g * _AMMONIA_N_OF_PROTEIN)


def write_meals(diary: Diary, told: list[Meal]) -> None:
    """Write every feeding down."""
    for meal in told:
        diary.write(
            meal.minute,
            Feeding(
                system=meal.system,
                compartment=meal.compartment,
                foods=tuple(FoodGiven(food=key, amount_g=grams) for key, grams in meal.grams.items()),
                offered_to=tuple(meal.steps),
                fed={animal: step for animal, step in meal.steps.items() if step is not None},
                words=meal.words,
            ),
            author=meal.author,
        )


def _first_batch(rng: Random) -> Iterator[Meal]:
    for day, is_evening, steps in _table(_B1, from_day=0):
        minute = _about(day, is_evening, rng)
        if day < _MOVED_TO_HAVEN:
            doubled = day in _DOUBLED
            yield Meal(
                minute,
                "lazaret",
                _ration(_b1_scale(day), is_evening),
                steps,
                author="helper" if doubled else "keeper",
                words="A double ration; they looked hungry." if doubled and is_evening else "",
            )
        elif minute < _MOVED_TO_CREEL:
            yield Meal(minute, "haven", _ration(0.9, is_evening), steps)
        else:
            apart = {"tomini-bristletooth": steps.pop("tomini-bristletooth")}
            yield Meal(minute, "haven", _ration(0.6, is_evening), steps)
            yield Meal(minute + 10, "skerry", {"nori": 0.4, "frozen_mysis": 0.3}, apart, compartment="creel")


def _b1_scale(day: int) -> float:
    if day in _DOUBLED:
        return 2.6
    return 0.55 if day >= _HALVED_FROM else 1.0


def _second_batch(rng: Random) -> Iterator[Meal]:
    for day, is_evening, steps in _table(_B2, from_day=_B2_FROM_DAY):
        yield Meal(_about(day, is_evening, rng) + 5, "lazaret", _ration(2.0, is_evening), steps)


def _ration(scale: float, is_evening: bool) -> dict[str, float]:
    if is_evening:
        return {"frozen_blend": round(0.6 * scale, 2), "nori": round(0.15 * scale, 2)}
    return {"frozen_mysis": round(0.8 * scale, 2)}


def _residents(rng: Random) -> Iterator[Meal]:
    for day in range(FIRST_DAY, TODAY):
        for is_evening in (False, True):
            if day == FIRST_DAY and not is_evening:
                continue
            grams = {"frozen_mysis": 3.3} if is_evening else {"marine_pellet": 0.4}
            if is_evening and day % 3 == 0:
                grams["nori"] = 2.7
            steps = {"chromis": 4, "dottyback": None if rng.random() < 0.15 else rng.choice((3, 4, 4))}
            author = "helper" if day % 7 in {5, 6} else "keeper"
            yield Meal(_about(day, is_evening, rng) + 15, "skerry", grams, steps, author=author)


def _table(table: Mapping[str, str], *, from_day: int) -> Iterator[tuple[int, bool, dict[str, int | None]]]:
    days = {animal: row.split() for animal, row in table.items()}
    for index in range(len(next(iter(days.values())))):
        for half in (0, 1):
            marks = {animal: row[index][half] for animal, row in days.items() if row[index][half] != "-"}
            if marks:
                steps = {animal: None if mark == "." else int(mark) for animal, mark in marks.items()}
                yield from_day + index, half == 1, steps


def _about(day: int, is_evening: bool, rng: Random) -> int:
    return at(day, "18:30" if is_evening else "08:00") + rng.randint(-10, 12)
