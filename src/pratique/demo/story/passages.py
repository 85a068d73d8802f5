"""The two batches: how they came, the legs they began, and where they were moved."""

from pratique.demo.days import at
from pratique.demo.story.diary import Diary
from pratique.demo.story.lazaret import B2_ARRIVES_DAY, COURSE_START, COURSE_STOP
from pratique.ledger.kinds.animals import Arrival, Batch, Leg, Move

_PROTOCOL = "copper_ionic_14_move"
TO_CREEL = at(37, "10:30")

_FIRST = (
    (
        "tomini-bristletooth",
        "Tomini bristletooth",
        "tomini_bristletooth",
        1,
        8.5,
        "Thin, with white spots on the fins.",
    ),
    ("maiden-goby", "Maiden goby", "maiden_goby", 1, 9.0, ""),
    ("six-line-wrasse", "Six-line wrasse", "six_line_wrasse", 1, 5.5, "Lively from the first minute."),
)
_SECOND = (
    ("royal-gramma", "Royal gramma", "royal_gramma", 1, 5.0, ""),
    ("two-spined-angelfish", "Two-spined angelfish", "two_spined_angelfish", 1, 6.5, "Shy."),
    ("banggai-pair", "Banggai pair", "banggai_cardinalfish", 2, 5.0, "Bought as a pair."),
)


def write_passages(diary: Diary) -> None:
    """Write both batches from arrival to where they are today."""
    _arrive(diary, at(0, "10:50"), Batch(key="b1", name="B1", protocol=_PROTOCOL), _FIRST)
    diary.write(COURSE_START, Leg(batch="b1", leg="treat", words="White spots on the bristletooth: no time to wait."))
    everyone = tuple(key for key, *_ in _FIRST)
    diary.write(
        COURSE_STOP + 5, Move(animals=everyone, system="haven", words="Netted one by one; no water carried over.")
    )
    diary.write(COURSE_STOP + 20, Leg(batch="b1", leg="recover"))
    early = "Sooner than the plan says: it eats well, and the goby needs the quiet of Haven."
    creel = Move(animals=("tomini-bristletooth",), system="skerry", compartment="creel", words=early)
    diary.write(TO_CREEL, creel)
    _arrive(diary, at(B2_ARRIVES_DAY, "11:20"), Batch(key="b2", name="B2", protocol=_PROTOCOL), _SECOND)


def _arrive(
    diary: Diary, minute: int, batch: Batch, animals: tuple[tuple[str, str, str, int, float, str], ...]
) -> None:
    diary.write(minute, batch)
    for later, (key, name, species, count, length_cm, words) in enumerate(animals, start=1):
        arrival = Arrival(
            key=key,
            name=name,
            species=species,
            count=count,
            system="lazaret",
            batch=batch.key,
            length_cm=length_cm,
            words=words,
        )
        diary.write(minute + later, arrival)
    diary.write(minute + 10, Leg(batch=batch.key, leg="receive"))
