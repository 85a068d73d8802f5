"""Notes, and the two slips that were put right: a mistyped reading and a feeding logged twice."""

from pratique.demo.days import FIRST_DAY, at
from pratique.demo.story.diary import Diary
from pratique.ledger.kinds.animals import Feeding, FoodGiven
from pratique.ledger.kinds.care import Note, Withdrawal
from pratique.ledger.kinds.water import Reading


def write_notes(diary: Diary) -> None:
    """Write the notes and the corrections."""
    _write_plain_notes(diary)
    _write_mistyped_reading(diary)
    _write_feeding_logged_twice(diary)


def _write_plain_notes(diary: Diary) -> None:
    for minute, words, subjects in (
        (at(FIRST_DAY, "10:40"), "Harbour Row goes into the ledger. What was before stays in the old notebook.", ()),
        (
            at(14, "07:30"),
            "The photometer's copper reagent is used up; the colour chart until more comes.",
            ("system/lazaret",),
        ),
        (at(14, "19:50"), "No more double rations in Lazaret.", ("system/lazaret",)),
        (at(22, "07:05"), "New copper reagent has come.", ("system/lazaret",)),
        (at(28, "17:00"), "Haven filled and running, with the old sponge from Skerry's sump.", ("system/haven",)),
    ):
        diary.write(minute, Note(words=words, subjects=subjects))


def _write_mistyped_reading(diary: Diary) -> None:
    minute = at(9, "20:30")
    wrong = Reading(system="skerry", constituent="temperature", value=22.5, method="thermometer")
    slip = diary.write(minute, wrong)
    right = wrong.model_copy(update={"value": 25.2, "words": "Digits swapped; read again."})
    diary.write(minute, right, recorded=minute + 6, amends=slip)


def _write_feeding_logged_twice(diary: Diary) -> None:
    minute = at(17, "19:02")
    twice = Feeding(
        system="skerry",
        foods=(FoodGiven(food="frozen_mysis", amount_g=3.3),),
        offered_to=("chromis", "dottyback"),
    )
    slip = diary.write(minute, twice, author="helper")
    withdrawal = Withdrawal(words="Logged by both of us; fed once.")
    diary.write(minute + 20, withdrawal, withdraws=slip)
