"""Every form by name, and the two ways anything gets from a form into the ledger: write and withdraw."""

from collections.abc import Sequence
from dataclasses import replace
from uuid import UUID

from pratique import knowledge
from pratique.casework.words import listed
from pratique.casework.writing.arriving import BATCH, RESIDENT
from pratique.casework.writing.before import household_without, left_behind
from pratique.casework.writing.changes import TOP_OFF, WATER_CHANGE
from pratique.casework.writing.clips import CLIP
from pratique.casework.writing.course_days import COURSE_START, COURSE_STOP
from pratique.casework.writing.courses import COURSE
from pratique.casework.writing.cover import COVER
from pratique.casework.writing.desk import Answers, Desk, Problems
from pratique.casework.writing.doses import DOSE
from pratique.casework.writing.feeding import FEEDING
from pratique.casework.writing.findings import FINDINGS
from pratique.casework.writing.form import Form
from pratique.casework.writing.gates import CLEARANCE, OVERRIDE
from pratique.casework.writing.growths import CASE_CLOSED, FINDING, GROWTH_CASE
from pratique.casework.writing.households import HOUSEHOLD
from pratique.casework.writing.instruments import METHOD
from pratique.casework.writing.keys import derived_id, nearest
from pratique.casework.writing.legs import LEG
from pratique.casework.writing.looks import LOOK
from pratique.casework.writing.moving import DEATH, LOSS, MOVE
from pratique.casework.writing.notes import NOTE, PHOTO, TASK_DONE
from pratique.casework.writing.places import COMPARTMENT, SYSTEM
from pratique.casework.writing.protocols import PROTOCOL
from pratique.casework.writing.readings import READINGS
from pratique.casework.writing.shelf import STOCK
from pratique.casework.writing.under_microscope import CELLS, MOTION
from pratique.casework.writing.watching import OBSERVATION
from pratique.ledger.append import EntryConflict, append
from pratique.ledger.entries import NewEntry, Recorded
from pratique.ledger.household import Household
from pratique.ledger.kinds.care import Withdrawal
from pratique.ledger.queries import entry_by_id
from pratique.ledger.standing import stands

# In the order of the day's use.
FORMS: dict[str, Form] = {
    form.name: form
    for form in (
        *(READINGS, FEEDING, OBSERVATION, LOOK, DOSE, WATER_CHANGE, TOP_OFF, PHOTO, TASK_DONE, NOTE),
        *(MOVE, BATCH, RESIDENT, LEG, OVERRIDE, CLEARANCE, LOSS, DEATH),
        *(COURSE, COURSE_START, COURSE_STOP),
        *(GROWTH_CASE, FINDINGS, FINDING, COVER, CELLS, MOTION, CLIP, CASE_CLOSED),
        *(HOUSEHOLD, SYSTEM, COMPARTMENT, METHOD, STOCK, PROTOCOL),
    )
}

_WRITTEN_BEFORE = (
    "This was written already, with other answers, and was kept as it was. Open the form anew to write more."
)


class _Everything(frozenset[str]):
    """Holds every question as answered: a form sent twice is not asked about what it did itself."""

    def __contains__(self, _: object) -> bool:
        return True


def write_form(name: str, desk: Desk, answers: Answers, *, amends: UUID | None = None) -> list[Recorded]:
    """Check the answers and append what they make; return the recorded entries.

    The same form sent twice with one entry id writes once, and returns the same entries. Raises Problems with every
    sentence at once, and Doubts that are not among the desk's confirmed. KeyError for a form that is not there.
    """
    form = FORMS[name]
    at_desk = _amending(form, desk, amends) if amends is not None else desk
    before = _written(desk.entry_id)
    if before:
        return _same_again(form, at_desk, answers, before)
    entries = form.write(at_desk, answers)
    _check_amendment(at_desk, entries)
    try:
        return [one.entry for one in append(entries, now=desk.now)]
    except EntryConflict:
        # Another process was first with the same id: a double tap.
        return _same_again(form, at_desk, answers, _written(desk.entry_id))


def _amending(form: Form, desk: Desk, amends: UUID) -> Desk:
    entry = entry_by_id(amends)
    if entry is None:
        raise Problems({"": "There is no such entry to amend."})
    if form.answers_of is None or entry.kind not in form.kinds:
        raise Problems({"": "An entry of this kind is not amended through this form. Withdraw it and write it anew."})
    correction = entry_by_id(desk.entry_id)
    if not stands(amends) and (correction is None or correction.amends != amends):
        raise Problems({"": "This entry was amended or withdrawn before. Amend the newest one in its stead."})
    return replace(desk, amends=entry, household=household_without(desk.household, [entry]))


def _check_amendment(desk: Desk, entries: Sequence[NewEntry]) -> None:
    before = desk.amends
    if before is not None and [one.payload.kind for one in entries] != [before.kind]:
        raise Problems({"": "An amendment changes one entry. Leave the others out and write them by themselves."})


def _written(first: UUID) -> list[Recorded]:
    """Return the entries that a form with this id wrote, none if it was never sent."""
    found: list[Recorded] = []
    while (entry := entry_by_id(derived_id(first, len(found)))) is not None:
        found.append(entry)
    return found


def _same_again(form: Form, desk: Desk, answers: Answers, before: list[Recorded]) -> list[Recorded]:
    """Return what was written before, if the answers are the same; raise Problems if they say something else."""
    household = household_without(desk.household, before)
    as_then = replace(desk, household=household, now=before[0].happened_at, confirmed=_Everything())
    again = form.write(as_then, answers)
    if [_content(one) for one in again] != [(one.kind, _without_questions(one)) for one in before]:
        raise Problems({"": _WRITTEN_BEFORE})
    return before


def _content(entry: NewEntry) -> tuple[str, object]:
    raw = entry.payload.model_dump(mode="json", exclude_defaults=True, exclude={"confirmed"})
    return entry.payload.kind, raw


def _without_questions(entry: Recorded) -> object:
    return {key: value for key, value in entry.raw.items() if key != "confirmed"}


def withdraw(desk: Desk, entry_id: UUID, words: str) -> Recorded:
    """Withdraw an entry for a reason in words; it stays readable. Raises Problems."""
    target = entry_by_id(entry_id)
    if target is None:
        raise Problems({"": "There is no such entry to withdraw."})
    before = entry_by_id(desk.entry_id)
    if before is not None and before.withdraws == entry_id:
        return before
    if not words.strip():
        raise Problems({"words": "Write in a few words why it is withdrawn."})
    if not stands(entry_id):
        raise Problems({"": "This entry was amended or withdrawn before, and does not stand any more."})
    _check_nothing_leans_on(desk.household, target)
    new = NewEntry(
        id=desk.entry_id,
        payload=Withdrawal(words=words.strip()[:4000]),
        happened_at=desk.now,
        zone=desk.household.zone.key,
        author=desk.author,
        source=desk.source,
        withdraws=entry_id,
    )
    return append([new], now=desk.now)[0].entry


def _check_nothing_leans_on(household: Household, target: Recorded) -> None:
    left = left_behind(household, target)
    if left:
        name, others = target.raw["name"], [one.name for one in left]
        lost = "without legs and gates" if target.kind == "protocol" else "in a place nobody knows"
        raise Problems(
            {
                "": f"{name} cannot be withdrawn: {listed(others)} would be left {lost}. Withdraw "
                f"{'that' if len(others) == 1 else 'those'} first, or change what is known of {name}."
            }
        )


def answers_to_amend(form: Form, desk: Desk, entry_id: UUID) -> Answers:
    """Return an entry as the answers that would write it again, to be changed. Raises Problems."""
    entry = _amending(form, desk, entry_id).amends
    return form.answers_of(entry, desk.household) if form.answers_of is not None and entry is not None else {}


def form_that_amends(entry: Recorded) -> Form | None:
    """Return the form through which an entry is amended, or None where it can only be withdrawn."""
    return next((form for form in FORMS.values() if form.answers_of is not None and entry.kind in form.kinds), None)


def check_names(form: Form, desk: Desk, answers: Answers) -> None:
    """Raise Problems for answers to questions the form does not ask, so that a slip of the pen is not lost."""
    fields = form.fields(desk.household, answers, desk.now)
    known = {field.name for field in fields} | {f"{field.name}_unit" for field in fields if field.units}
    strange = [name for name in answers if name not in known and not name.startswith("fed-")]
    if strange:
        near = {name: nearest(name, {one: one for one in known}) for name in strange}
        raise Problems(
            {
                name: f"“{form.title}” does not ask for “{name}”." + (f" Did you mean {right}?" if right else "")
                for name, right in near.items()
            }
        )


def cautions_of(entries: Sequence[Recorded]) -> tuple[str, ...]:
    """Return what can hurt a person or an animal in what was written: to be shown wherever a dose or a course is."""
    substances = dict.fromkeys(one.raw["substance"] for one in entries if one.kind in {"dose", "course"})
    return tuple(dict.fromkeys(caution.text for key in substances for caution in knowledge.cautions_for(key)))
