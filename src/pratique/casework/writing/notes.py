"""The forms for a picture, a chore that was done, and free words."""

from datetime import UTC, datetime

from pratique.casework.writing.asked import Asked
from pratique.casework.writing.desk import Answers, Desk, Problems
from pratique.casework.writing.fields import Field, Option, Widget
from pratique.casework.writing.form import Form
from pratique.casework.writing.lookups import find_subjects
from pratique.casework.writing.moments import NoSuchMoment, in_zone, told
from pratique.casework.writing.options import MOMENT, WORDS, subject_options, with_initial
from pratique.ledger.entries import NewEntry, Recorded
from pratique.ledger.household import Household
from pratique.ledger.kinds.care import Note, Photo, TaskDone
from pratique.ledger.photos import PhotoRefused, keep_photo

_BY_CAMERA = "camera"


def _subjects(household: Household) -> Field:
    return Field(name="subjects", label="About", widget=Widget.MANY, options=subject_options(household))


def photo_fields(household: Household, answers: Answers, _now: datetime) -> tuple[Field, ...]:
    """Return the questions about a picture."""
    when = (Option(_BY_CAMERA, "As the picture says"), Option("now", "Now"))
    asked = (
        Field(name="file", label="Picture", widget=Widget.PHOTO, required=True, hint="Where it was taken is not kept."),
        _subjects(household),
        Field(
            name="taken",
            label="Where no time is written",
            widget=Widget.CHOICE,
            options=when,
            initial=_BY_CAMERA,
        ),
        MOMENT,
        WORDS,
    )
    return with_initial(asked, answers)


def write_photo(desk: Desk, answers: Answers) -> list[NewEntry]:
    """Keep the picture and return its entry. Raises Problems and Doubts.

    Where no moment is typed, it is the camera's, read by the household's clock, unless that lies in the future.
    """
    asked = Asked(desk, answers, photo_fields(desk.household, answers, desk.now))
    subjects = find_subjects(asked)
    by_camera = asked.choice("taken") == _BY_CAMERA
    content = asked.content("file")
    before = desk.amends.payload if desk.amends is not None else None
    if not content and not isinstance(before, Photo):
        asked.problem("file", "Choose a picture: a JPEG, PNG or WebP file.")
    confirmed = asked.settle()
    told_of = {"subjects": subjects, "words": asked.words, "confirmed": confirmed}
    if not content and isinstance(before, Photo):
        return asked.entries(before.model_copy(update=told_of))
    try:
        kept = keep_photo(content)
    except PhotoRefused as refused:
        raise Problems({"file": str(refused)}) from None
    picture = {
        "sha256": kept.sha256,
        "media_type": kept.media_type,
        "width_px": kept.width_px,
        "height_px": kept.height_px,
    }
    taken = None if asked.text("moment") or not by_camera else _taken(asked, kept.taken_at)
    return asked.entries(Photo.model_validate(picture | told_of), at=taken)


def _taken(asked: Asked, taken_at: datetime | None) -> datetime | None:
    if taken_at is None:
        return None
    try:
        moment = in_zone(taken_at.replace(tzinfo=None), asked.household.zone).astimezone(UTC)
    except NoSuchMoment:
        return None
    return moment if moment <= asked.desk.now else None


def answers_of_photo(entry: Recorded, household: Household) -> Answers:
    """Return a picture as answers to its form; without a new file it keeps its own."""
    photo = entry.payload
    if not isinstance(photo, Photo):
        return {}
    return {"subjects": photo.subjects, **told(entry, household, photo.words)}


def task_fields(household: Household, answers: Answers, _now: datetime) -> tuple[Field, ...]:
    """Return the questions about a chore."""
    task = Field(name="task", label="What was done", required=True, hint="Such as: siphoned, sock changed.")
    return with_initial((task, _subjects(household), MOMENT, WORDS), answers)


def write_task(desk: Desk, answers: Answers) -> list[NewEntry]:
    """Return the chore. Raises Problems and Doubts."""
    asked = Asked(desk, answers, task_fields(desk.household, answers, desk.now))
    task = asked.line("task", "Write in a few words what was done.")
    subjects = find_subjects(asked)
    confirmed = asked.settle()
    return asked.entries(TaskDone(task=task, subjects=subjects, words=asked.words, confirmed=confirmed))


def answers_of_task(entry: Recorded, household: Household) -> Answers:
    """Return a chore as answers to its form."""
    done = entry.payload
    if not isinstance(done, TaskDone):
        return {}
    return {"task": done.task, "subjects": done.subjects, **told(entry, household, done.words)}


def note_fields(household: Household, answers: Answers, _now: datetime) -> tuple[Field, ...]:
    """Return the questions about free words."""
    words = Field(name="words", label="Words", widget=Widget.LONG_TEXT, required=True)
    return with_initial((words, _subjects(household), MOMENT), answers)


def write_note(desk: Desk, answers: Answers) -> list[NewEntry]:
    """Return the note. Raises Problems and Doubts."""
    asked = Asked(desk, answers, note_fields(desk.household, answers, desk.now))
    words = asked.text("words", "Write the words to keep.")
    subjects = find_subjects(asked)
    confirmed = asked.settle()
    return asked.entries(Note(words=words, subjects=subjects, confirmed=confirmed))


def answers_of_note(entry: Recorded, household: Household) -> Answers:
    """Return a note as answers to its form."""
    note = entry.payload
    if not isinstance(note, Note):
        return {}
    return {"subjects": note.subjects, **told(entry, household, note.words)}


PHOTO = Form(
    name="photo",
    title="A picture",
    group="every day",
    fields=photo_fields,
    write=write_photo,
    kinds=("photo",),
    answers_of=answers_of_photo,
)
TASK_DONE = Form(
    name="task-done",
    title="A chore done",
    group="every day",
    fields=task_fields,
    write=write_task,
    kinds=("task-done",),
    answers_of=answers_of_task,
)
NOTE = Form(
    name="note",
    title="A note",
    group="every day",
    fields=note_fields,
    write=write_note,
    kinds=("note",),
    answers_of=answers_of_note,
)
