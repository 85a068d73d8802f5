"""What was seen of the animals: gill beats that follow the ammonia, bodies, spots and quarrels."""

import math
from collections.abc import Iterator
from random import Random

from pratique.demo.chance import chance
from pratique.demo.days import TODAY, at
from pratique.demo.story.conditions import conditions, un_ionised_mg_n_per_l
from pratique.demo.story.diary import Diary
from pratique.demo.story.lazaret import B2_ARRIVES_DAY, COURSE_STOP
from pratique.demo.story.passages import TO_CREEL
from pratique.demo.tank import MINUTES_PER_DAY, Trace
from pratique.demo.truth import TRUTH
from pratique.knowledge import figure
from pratique.ledger.kinds.animals import Observation

# Beats a minute at rest, and the part of that added where un-ionised ammonia begins to harm; it grows with the square.
_BREATHING = {
    "tomini-bristletooth": (82.0, 0.20),
    "maiden-goby": (70.0, 0.45),
    "six-line-wrasse": (94.0, 0.15),
    "royal-gramma": (86.0, 0.18),
    "two-spined-angelfish": (90.0, 0.28),
    "banggai-pair": (66.0, 0.18),
}
_FIRST_BATCH = ("tomini-bristletooth", "maiden-goby", "six-line-wrasse")
_SECOND_BATCH = ("royal-gramma", "two-spined-angelfish", "banggai-pair")
_COUNTED_S = 30.0
_OWN_SPREAD = 0.02
_FRIGHT = 0.25
_FRIGHT_DAYS = 0.6


def write_animals(diary: Diary, trace: Trace) -> None:
    """Write every count and every look at an animal."""
    rng = chance(diary.seed, "animals")
    for minute, animal in _counts(rng):
        beats = _beats(animal, minute, trace, rng)
        diary.write(minute, Observation(animal=animal, beats_per_min=beats, counted_s=_COUNTED_S))
    _write_bodies(diary, rng)
    _write_signs(diary)
    _write_quarrels(diary)


def _counts(rng: Random) -> Iterator[tuple[int, str]]:
    """Yield when each animal was counted: mornings before food, with a day left out here and there."""
    for day in range(1, TODAY + 1):
        for index, animal in enumerate(_FIRST_BATCH):
            if day > TODAY - 4 or rng.random() > 0.15:
                yield at(day, "07:22") + 2 * index, animal
        if day > B2_ARRIVES_DAY:
            yield from ((at(day, "07:30") + 2 * index, animal) for index, animal in enumerate(_SECOND_BATCH))
        if B2_ARRIVES_DAY <= day < TODAY:
            yield from ((at(day, "17:50") + 2 * index, animal) for index, animal in enumerate(_SECOND_BATCH))


def _beats(animal: str, minute: int, trace: Trace, rng: Random) -> float:
    """Return what was counted: the animal's rest, ammonia, the fright of arrival, its own spread, whole beats."""
    rest, added = _BREATHING[animal]
    is_first = animal in _FIRST_BATCH
    arrived = at(0, "11:00") if is_first else at(B2_ARRIVES_DAY, "11:30")
    left = is_first and minute > COURSE_STOP
    ammonia = 0.0 if left else un_ionised_mg_n_per_l(trace.at(minute), conditions("lazaret", minute))
    fright = _FRIGHT * math.exp2(-(minute - arrived) / MINUTES_PER_DAY / _FRIGHT_DAYS)
    harm = ammonia / figure("ammonia.act_mg_n_per_l").value
    true_rate = rest * (1.0 + added * harm**2 + fright) * (1.0 + rng.gauss(0.0, _OWN_SPREAD))
    beats = round(true_rate * _COUNTED_S / 60.0) + rng.choice((-1, 0, 0, 0, 1))
    return beats * 60.0 / _COUNTED_S


def _write_bodies(diary: Diary, rng: Random) -> None:
    """Write the bodies measured on pictures, ± 95 %, and the keeper's own look at them."""
    for day, depth in TRUTH.wrasse_depth_over_length:
        minute = at(day, "07:36") if day == TODAY else at(day, "17:20")
        _write_depth(diary, minute, "six-line-wrasse", depth + rng.gauss(0.0, 0.002))
    for day in (22, 36):
        _write_depth(diary, at(day, "17:25"), "tomini-bristletooth", 0.52 + rng.gauss(0.0, 0.002))
    for day, animal, step in (
        (2, "six-line-wrasse", 0),
        (2, "tomini-bristletooth", 2),
        (2, "maiden-goby", 0),
        (22, "six-line-wrasse", 1),
        (22, "maiden-goby", 1),
        (22, "tomini-bristletooth", 1),
        (34, "six-line-wrasse", 2),
        (34, "maiden-goby", 1),
        (36, "tomini-bristletooth", 0),
    ):
        diary.write(at(day, "17:30") + step, Observation(animal=animal, condition_step=step))


def _write_depth(diary: Diary, minute: int, animal: str, depth: float) -> None:
    words = "Measured on a picture, side-on."
    seen = Observation(
        animal=animal, depth_over_length=round(depth, 3), depth_over_length_plus_minus=0.008, words=words
    )
    diary.write(minute, seen)


def _write_signs(diary: Diary) -> None:
    for day, spots in ((1, 6), (3, 9), (5, 4), (7, 0)):
        diary.write(at(day, "17:40"), Observation(animal="tomini-bristletooth", spots=spots))
    goby = Observation(
        animal="maiden-goby", signs=("lying down",), words="Lies behind the pipe and lets food drift by."
    )
    diary.write(at(19, "18:55"), goby)
    diary.write(
        at(33, "18:50"), Observation(animal="six-line-wrasse", signs=("scratching",), words="Twice, on the pipe.")
    )
    for day in range(10, 37, 2):
        for later, animal in enumerate(_FIRST_BATCH):
            diary.write(at(day, "17:42") + later, Observation(animal=animal, signs=("no signs",)))
    for later, animal in enumerate(_SECOND_BATCH):
        diary.write(at(36, "18:05") + later, Observation(animal=animal, signs=("no signs",)))


def _write_quarrels(diary: Diary) -> None:
    for minute, charges in ((TO_CREEL + 40, 7), (at(37, "18:55"), 4)):
        diary.write(
            minute,
            Observation(
                animal="dottyback",
                signs=("chasing",),
                charges=charges,
                watched_min=10.0,
                words="Charges at the Creel and turns away at the wall.",
            ),
        )
    hides = Observation(animal="tomini-bristletooth", signs=("hiding",), words="In the far corner of the Creel.")
    diary.write(TO_CREEL + 42, hides)
