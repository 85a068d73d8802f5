"""Sending a form: the entries are written, or it is said what is wrong or asked, and then the way on."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from datetime import timedelta
from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponseRedirect
from django.utils import timezone

from pratique.casework.writing.desk import Doubts, Problems
from pratique.ledger.entries import Recorded
from pratique.ledger.household import Household
from pratique.ledger.queries import entries_by_id
from pratique.web.entries.sentences import entry_sentence
from pratique.web.templatetags.writing import undo_tag
from pratique.web.ways import safe_next
from pratique.web.writing.bound import Question, Sentences

_WRITTEN_BEFORE = (
    "This page was sent before, with other answers, and that stays in the ledger as it was. To correct it, amend it "
    "there. To write this as one more entry, press Keep again."
)
# Sent again within this time it was a double tap, and is told as one writing.
_DOUBLE_TAP = timedelta(minutes=1)
# The pages of what an entry may be about, the most telling first.
_PAGES = (
    ("course", "courses"),
    ("case", "growths"),
    ("batch", "passages"),
    ("system", "systems"),
    ("animal", "animals"),
)


class SeeOther(HttpResponseRedirect):
    """Leads to a page by GET after a form was sent (303, RFC 9110)."""

    status_code = 303


@dataclass(frozen=True, slots=True)
class Refusal:
    """Why nothing was written. After a conflict the page needs an id of its own."""

    said: Sentences = field(default_factory=Sentences)
    is_conflict: bool = False

    @property
    def status(self) -> int:
        """The status of the page that says so."""
        return 409 if self.is_conflict else 422

    def whole(self, questions: Sequence[Question]) -> str:
        """Return what is said of the form as a whole, and of anything the page has no box for."""
        drawn = {one.name for one in questions}
        return " ".join(sentence for name, sentence in self.said.problems.items() if name not in drawn)


def send(write: Callable[[], list[Recorded]], ids: Iterable[UUID]) -> list[Recorded] | Refusal:
    """Write, or return why not; `ids` are those the sending may have used before."""
    try:
        return write()
    except Problems as problems:
        if entries_by_id(ids):
            return Refusal(Sentences(problems={"": _WRITTEN_BEFORE}), is_conflict=True)
        return Refusal(Sentences(problems=problems.fields))
    except Doubts as doubts:
        return Refusal(Sentences(doubts=doubts.fields))


def after_writing(request: HttpRequest, recorded: Sequence[Recorded], household: Household) -> SeeOther:
    """Say what was written, offer to undo it, and lead on."""
    ids = [str(entry.id) for entry in recorded]
    recorded_at = recorded[0].recorded_at
    if timezone.now() - recorded_at > _DOUBLE_TAP:
        clock = timezone.localtime(recorded_at).strftime("%H:%M")
        messages.info(
            request, f"This was written at {clock} and was not written again. To write one more, open the form anew."
        )
    else:
        messages.success(request, _written_words(recorded, household), extra_tags=undo_tag(ids))
    return SeeOther(safe_next(request, default=_page_about(recorded)))


def _written_words(recorded: Sequence[Recorded], household: Household) -> str:
    if len(recorded) == 1:
        sentence = entry_sentence(recorded[0], household)
        return f"Written. {sentence if len(sentence) < 160 else f'{sentence[:150].rstrip()} …'}"
    return f"Written: {len(recorded)} entries."


def _page_about(recorded: Sequence[Recorded]) -> str:
    """Return the page of the one thing that was written about, or the rounds."""
    subjects = {link.subject for entry in recorded for link in entry.links()}
    for type_, folder in _PAGES:
        keys = {key for kind, _, key in (subject.partition("/") for subject in subjects) if kind == type_}
        if len(keys) == 1:
            return f"/{folder}/{keys.pop()}/"
    return "/"
