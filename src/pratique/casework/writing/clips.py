"""The form for a clip from the microscope: kept without sound, place and maker."""

from datetime import datetime

from pratique.casework.measuring.decoding import NotDecoded, bare_clip
from pratique.casework.writing.asked import Asked
from pratique.casework.writing.desk import Answers, Desk, Problems
from pratique.casework.writing.fields import Field, Widget
from pratique.casework.writing.form import Form
from pratique.casework.writing.lookups import find_subjects
from pratique.casework.writing.moments import told
from pratique.casework.writing.options import MOMENT, WORDS, subject_options, with_initial
from pratique.ledger.entries import NewEntry, Recorded
from pratique.ledger.household import Household
from pratique.ledger.kinds.measured import Clip
from pratique.ledger.photos import CLIP_EXTENSIONS, store


def clip_fields(household: Household, answers: Answers, _now: datetime) -> tuple[Field, ...]:
    """Return the questions about a clip."""
    asked = (
        Field(
            name="file",
            label="Clip",
            widget=Widget.CLIP,
            required=True,
            hint="Five to ten seconds, the slide and the phone at rest. Sound and place are not kept.",
        ),
        Field(name="subjects", label="About", widget=Widget.MANY, options=subject_options(household)),
        MOMENT,
        WORDS,
    )
    return with_initial(asked, answers)


def write_clip(desk: Desk, answers: Answers) -> list[NewEntry]:
    """Keep the clip and return its entry. Raises Problems and Doubts."""
    asked = Asked(desk, answers, clip_fields(desk.household, answers, desk.now))
    subjects = find_subjects(asked)
    content = asked.content("file")
    before = desk.amends.payload if desk.amends is not None else None
    if not content and not isinstance(before, Clip):
        asked.problem("file", "Choose a clip: an MP4, MOV, WebM, MKV or AVI file.")
    confirmed = asked.settle()
    told_of = {"subjects": subjects, "words": asked.words, "confirmed": confirmed}
    if not content and isinstance(before, Clip):
        return asked.entries(before.model_copy(update=told_of))
    try:
        bare = bare_clip(content)
    except NotDecoded as refused:
        raise Problems({"file": str(refused)}) from None
    kept = {
        "sha256": store(bare.content, CLIP_EXTENSIONS[bare.media_type]),
        "media_type": bare.media_type,
        "width_px": bare.width_px,
        "height_px": bare.height_px,
        "seconds": round(bare.seconds, 3),
    }
    return asked.entries(Clip.model_validate(kept | told_of))


def answers_of_clip(entry: Recorded, household: Household) -> Answers:
    """Return a clip as answers to its form; without a new file it keeps its own."""
    clip = entry.payload
    if not isinstance(clip, Clip):
        return {}
    return {"subjects": clip.subjects, **told(entry, household, clip.words)}


CLIP = Form(
    name="clip",
    title="A clip from the microscope",
    group="growths",
    fields=clip_fields,
    write=write_clip,
    kinds=("clip",),
    answers_of=answers_of_clip,
)
