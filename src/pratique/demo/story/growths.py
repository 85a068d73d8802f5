"""What grows in Skerry: the two cases, what was found on them, pictures, and what was siphoned out."""

from typing import Literal

from pratique.demo.days import at
from pratique.demo.drawn import HEIGHT_PX, WIDTH_PX, sand, sha256_of
from pratique.demo.story.diary import Diary
from pratique.ledger.kinds.care import Finding, GrowthCase, Photo, TaskDone
from pratique.ledger.kinds.measured import Cover

_DUST = "brown-dust"
_PATCH = "red-patch"

type State = Literal["present", "absent"]

_FOUND: tuple[tuple[int, str, str, State, str], ...] = (
    (20, _DUST, "brown_or_golden", "present", ""),
    (20, _DUST, "dust_on_sand", "present", "Over the new rock too, but thinner there."),
    (20, _DUST, "slimy_sheet", "absent", ""),
    (23, _DUST, "back_within_a_day", "present", "Siphoned last evening, brown again by the next."),
    (26, _DUST, "back_within_a_day", "present", ""),
    (29, _DUST, "thinner_at_lights_on", "present", "Nearly white sand before the lights come on."),
    (34, _DUST, "back_within_a_day", "present", ""),
    (35, _DUST, "strings_with_bubbles", "absent", ""),
    (37, _DUST, "back_within_a_day", "present", ""),
    (30, _PATCH, "red_purple_or_blue_green", "present", ""),
    (30, _PATCH, "slimy_sheet", "present", "Lifts off whole with a pipette."),
    (35, _PATCH, "back_after_days", "present", "Lifted off on day one, back after four."),
)
_SIPHONED = (22, 25, 33, 36)
_PICTURES = (
    (26, "19:30", "first", "Brown film on the sand before the new rock."),
    (33, "19:40", "spread", "The same place before siphoning."),
    (33, "20:50", "siphoned", "The same place, siphoned."),
    (34, "19:30", "back", "Brown again after one day of light."),
    (37, "19:30", "newest", "The same place a day after the last siphoning."),
)


def write_growths(diary: Diary) -> None:
    """Write both cases, their findings, the pictures with their cover, and the siphonings."""
    diary.write(
        at(20, "19:05"),
        GrowthCase(
            key=_DUST,
            name="Brown dust on the new rock",
            system="skerry",
            where="The new rock on the left, and the sand before it.",
        ),
    )
    patch = GrowthCase(
        key=_PATCH, name="Purple-red patch in the still corner", system="skerry", where="Back right corner."
    )
    diary.write(at(30, "19:05"), patch)
    for index, (day, case, finding, state, words) in enumerate(_FOUND):
        diary.write(at(day, "19:10") + index, Finding(case=case, finding=finding, state=state, words=words))
    for day, clock, name, words in _PICTURES:
        diary.write(at(day, clock), _picture(name, words))
        if name in sand().shares:
            diary.write(at(day, clock) + 2, _cover(name))
    for day in _SIPHONED:
        diary.write(
            at(day, "20:30"), _siphoned(_DUST, "Brown dust siphoned out through a filter sock."), author="helper"
        )
    diary.write(at(31, "20:30"), _siphoned(_PATCH, "The red sheet lifted off with a pipette."))


def _picture(name: str, words: str) -> Photo:
    return Photo(
        sha256=sha256_of(name),
        media_type="image/jpeg",
        width_px=WIDTH_PX,
        height_px=HEIGHT_PX,
        subjects=(f"case/{_DUST}", "system/skerry"),
        words=f"{words} Drawn by the simulator, not by a camera.",
    )


def _cover(name: str) -> Cover:
    return Cover(
        case=_DUST,
        photo=sha256_of(name),
        by="dabs",
        shares=sand().shares[name],
        marks=sand().marks if name == "first" else "",
    )


def _siphoned(case: str, words: str) -> TaskDone:
    return TaskDone(task="Siphoned", subjects=(f"case/{case}", "system/skerry"), words=words)
