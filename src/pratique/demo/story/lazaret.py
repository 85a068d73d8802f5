"""Lazaret's water: copper, changes and readings, as the keeper did them and as the true tank answered."""

from collections.abc import Iterator, Sequence
from random import Random

from pratique.demo.chance import chance
from pratique.demo.days import LAST_MINUTE, TODAY, at
from pratique.demo.story.diary import Diary
from pratique.demo.story.feeding import Meal, ammonia_from
from pratique.demo.story.readings import USUAL_METHODS, Seen, of_conditions, write_reading
from pratique.demo.tank import MINUTES_PER_DAY, Changed, Dosed, Emptied, TankEvent, Trace, simulate
from pratique.demo.truth import TRUTH
from pratique.knowledge import CopperForm, copper_band
from pratique.ledger.kinds.care import Course, CourseStart, CourseStop
from pratique.ledger.kinds.water import Dose, TopOff, WaterChange

COURSE_START = at(2, "09:00")
COURSE_STOP = at(31, "10:00")
EMPTIED = at(33, "10:15")
B2_ARRIVES_DAY = 35

# Copper stock in mL. The ramp reaches the target on day 5; then a little every morning for what slime takes.
_RAMP = ((2, 3.4), (3, 3.4), (4, 3.2), (5, 4.0), (6, 1.6))
_TOP_UPS = range(7, 31)
# Litres changed, and the mL of stock poured in with the new water: on day 11 they were forgotten.
_CHANGES: tuple[tuple[int, float, float | None], ...] = (
    (7, 20.0, 3.8),
    (TRUTH.dip_began_day, 24.0, None),
    (14, 25.0, 4.7),
    (16, 20.0, 3.8),
    (19, 15.0, 2.8),
    (23, 15.0, 2.8),
    (27, 15.0, 2.8),
)
_MAKE_UP = (at(TRUTH.dip_ended_day, "18:45"), 4.9)
_CHART_WEEK = range(14, 22)
_EMPTY_FROM_DAY, _FILLED_DAY = 32, 34
_NITRITE_PER_N = 46.0055 / 14.0067


def lazaret_trace(meals: Sequence[Meal]) -> Trace:
    """Return the true water of Lazaret through the whole story."""
    events: list[TankEvent] = [ammonia_from(meal) for meal in meals if meal.system == "lazaret"]
    events += [Changed(minute, litres) for minute, litres in _changes()]
    events += [Dosed(minute, millilitres * TRUTH.stock_strength_mg_per_ml) for minute, millilitres, _ in _doses()]
    events.append(Emptied(EMPTIED))
    return simulate(TRUTH.lazaret, events, start=at(-2, "00:00"), end=LAST_MINUTE)


def write_lazaret(diary: Diary, trace: Trace) -> None:
    """Write the courses, the doses, the changes and every reading of Lazaret."""
    _write_courses(diary)
    for minute, litres in _changes():
        words = "A large change, for the ammonia." if litres > 20.0 else ""
        diary.write(minute, WaterChange(system="lazaret", volume_l=litres, words=words))
    for minute, millilitres, words in _doses():
        diary.write(minute, _dose(millilitres, words))
    fresh = WaterChange(system="lazaret", emptied=True, words="Emptied, wiped, left dry, filled with new water.")
    diary.write(EMPTIED, fresh)
    for day in range(1, 31, 3):
        diary.write(at(day, "21:10"), TopOff(system="lazaret", volume_l=0.8))
    _write_readings(diary, trace, chance(diary.seed, "lazaret"))


def _changes() -> Iterator[tuple[int, float]]:
    yield from ((at(day, "19:40"), litres) for day, litres, _ in _CHANGES)


def _doses() -> Iterator[tuple[int, float, str]]:
    """Yield minute, millilitres and words; a make-up dose falls on the minute of its water change."""
    yield from ((at(day, "09:30"), amount, "Raising the copper.") for day, amount in _RAMP)
    yield from ((at(day, "07:50"), 0.5 if day % 2 else 0.4, "") for day in _TOP_UPS)
    yield from ((at(day, "19:40"), amount, "With the new water.") for day, _, amount in _CHANGES if amount)
    yield (*_MAKE_UP, "Forgot this with yesterday's new water.")


def _dose(millilitres: float, words: str) -> Dose:
    return Dose(
        system="lazaret",
        substance="copper_ionic",
        stock="copper-stock",
        amount_ml=millilitres,
        amount_mg=millilitres,
        course="b1-copper",
        words=words,
    )


def _write_courses(diary: Diary) -> None:
    diary.write(at(1, "20:15"), _course("b1-copper", "Copper for B1", "b1", "White spots on the bristletooth."))
    diary.write(COURSE_START, CourseStart(course="b1-copper", system="lazaret"))
    stop = CourseStop(course="b1-copper", system="lazaret", words="B1 goes to Haven, into clean water.")
    diary.write(COURSE_STOP, stop)
    words = "Planned, not begun: they shall eat first, and the angelfish takes copper badly."
    diary.write(at(36, "20:30"), _course("b2-copper", "Copper for B2", "b2", words))


def _course(key: str, name: str, batch: str, words: str) -> Course:
    band = copper_band(CopperForm.IONIC)
    return Course(
        key=key,
        name=name,
        system="lazaret",
        substance="copper_ionic",
        stock="copper-stock",
        target_lower=band.target_lower,
        target_upper=band.target_upper,
        hard_upper=band.hard_upper,
        required_days=14.0,
        batch=batch,
        words=words,
    )


def _write_readings(diary: Diary, trace: Trace, rng: Random) -> None:
    for day in range(TODAY + 1):
        if not _EMPTY_FROM_DAY <= day < _FILLED_DAY:
            _write_set(diary, trace, at(day, "07:10") if day else at(day, "12:10"), rng)
    for minute in (*(at(day, "07:18") for day in range(2, 32)), *(at(day, "20:05") for day in (2, 3, 4, 5, 12))):
        _write_copper(diary, trace, minute, rng)
    _write_copper(diary, trace, at(_FILLED_DAY, "09:20"), rng, words="Before anyone moves in.")
    for minute in (at(TRUTH.ammonia_peak_day, "19:15"), at(B2_ARRIVES_DAY, "20:40")):
        for later, constituent in enumerate(("total_ammonia", "ph", "temperature")):
            _write_one(diary, trace, minute + later, constituent, rng)


def _write_set(diary: Diary, trace: Trace, minute: int, rng: Random) -> None:
    """Write the morning's set; the slower ones are not read every day."""
    day = minute // MINUTES_PER_DAY
    for later, constituent in enumerate(("total_ammonia", "ph", "temperature")):
        _write_one(diary, trace, minute + later, constituent, rng)
    if day % 2 == 0:
        _write_one(diary, trace, minute + 4, "salinity", rng)
    if day % 3 == 2:
        _write_one(diary, trace, minute + 6, "nitrite", rng)


def _write_copper(diary: Diary, trace: Trace, minute: int, rng: Random, *, words: str = "") -> None:
    by = "copper_colour_chart" if minute // MINUTES_PER_DAY in _CHART_WEEK else "copper_photometer"
    seen = Seen("lazaret", "copper", by, trace.at(minute).copper_mg_per_l)
    write_reading(diary, minute, seen, rng, words=words)


def _write_one(diary: Diary, trace: Trace, minute: int, constituent: str, rng: Random) -> None:
    water = trace.at(minute)
    match constituent:
        case "total_ammonia":
            truth = water.total_ammonia_mg_n_per_l
        case "nitrite":
            truth = water.nitrite_mg_n_per_l * _NITRITE_PER_N
        case _:
            truth = of_conditions("lazaret", constituent, minute)
    write_reading(diary, minute, Seen("lazaret", constituent, USUAL_METHODS[constituent], truth), rng)
