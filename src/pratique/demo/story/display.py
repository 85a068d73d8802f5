"""The water of Skerry and Haven: readings, changes, and the rock that was replaced."""

from random import Random

from pratique.demo.chance import chance
from pratique.demo.days import FIRST_DAY, TODAY, at
from pratique.demo.story.diary import Diary
from pratique.demo.story.readings import USUAL_METHODS, Seen, of_conditions, write_reading
from pratique.ledger.kinds.care import TaskDone
from pratique.ledger.kinds.water import TopOff, WaterChange

ROCK_REPLACED_DAY = 3
_HAVEN_FROM_DAY = 30


def write_display(diary: Diary) -> None:
    """Write what was read and done in Skerry and Haven."""
    rng = chance(diary.seed, "display")
    words = "Five pieces out, five dry ones in, on the left side; the sand before them stirred up."
    rock = TaskDone(task="A third of the rock replaced", subjects=("system/skerry",), words=words)
    diary.write(at(ROCK_REPLACED_DAY, "15:00"), rock)
    for day in range(FIRST_DAY + 1, TODAY + 1):
        _write_skerry(diary, day, rng)
        if day >= _HAVEN_FROM_DAY:
            _write_haven(diary, day, rng)


def _write_skerry(diary: Diary, day: int, rng: Random) -> None:
    _conditions(diary, "skerry", at(day, "07:01"), ("temperature",), rng)
    if day % 7 == 0:
        _conditions(diary, "skerry", at(day, "16:05"), ("ph", "salinity"), rng)
        for later, (constituent, truth) in enumerate(_nutrients(day).items()):
            seen = Seen("skerry", constituent, USUAL_METHODS[constituent], truth)
            write_reading(diary, at(day, "16:10") + 4 * later, seen, rng)
    if day % 7 == 6:
        diary.write(at(day, "16:30"), WaterChange(system="skerry", volume_l=40.0))
    if day % 4 == 0 and day < TODAY:
        diary.write(at(day, "21:05"), TopOff(system="skerry", volume_l=8.0), author="helper")


def _nutrients(day: int) -> dict[str, float]:
    """Return the true nutrients: low, and lower while the growth takes them; silicate leaves the new rock."""
    new_rock = max(0.0, 1.0 - abs(day - 12) / 14.0) if day > ROCK_REPLACED_DAY else 0.0
    return {
        "nitrate": max(1.2, 4.0 - 0.08 * day),
        "phosphate": max(0.02, 0.05 - 0.001 * day),
        "silicate": 0.08 + 0.15 * new_rock,
        "alkalinity": 7.9 + 0.01 * day,
        "calcium": 415.0,
        "magnesium": 1310.0,
    }


def _write_haven(diary: Diary, day: int, rng: Random) -> None:
    morning = at(day, "07:04")
    write_reading(diary, morning, Seen("haven", "total_ammonia", USUAL_METHODS["total_ammonia"], 0.02), rng)
    _conditions(diary, "haven", morning + 1, ("ph", "temperature"), rng)
    if day % 2 == 0:
        _conditions(diary, "haven", morning + 3, ("salinity",), rng)
    if day % 3 == 1:
        write_reading(diary, morning + 4, Seen("haven", "nitrite", USUAL_METHODS["nitrite"], 0.03), rng)
    if day == TODAY - 4:
        diary.write(at(day, "20:10"), WaterChange(system="haven", volume_l=15.0))


def _conditions(diary: Diary, system: str, minute: int, constituents: tuple[str, ...], rng: Random) -> None:
    for later, constituent in enumerate(constituents):
        truth = of_conditions(system, constituent, minute)
        write_reading(diary, minute + later, Seen(system, constituent, USUAL_METHODS[constituent], truth), rng)
