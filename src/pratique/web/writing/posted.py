"""What a page sent: the answers, the entry's id made on the phone, and the questions already answered with yes."""

from dataclasses import dataclass
from uuid import UUID

from django.http import HttpRequest, QueryDict

from pratique.casework.writing.desk import Answers
from pratique.ledger.entries import new_entry_id

# RFC 9562: only version 7 is ordered by the moment it was made.
_TIME_ORDERED = 7
# What a page sends besides the answers.
_NOT_ANSWERS = frozenset({"csrfmiddlewaretoken", "entry_id", "next", "confirmed", "asked", "yes"})


@dataclass(frozen=True, slots=True)
class Posted:
    """One sending of a form."""

    entry_id: UUID
    answers: Answers
    confirmed: frozenset[str]


def posted(request: HttpRequest) -> Posted:
    """Return what the page sent. An id that is none gets a fresh one, so nothing typed is lost for it."""
    confirmed = set(request.POST.getlist("confirmed"))
    if request.POST.get("yes"):
        confirmed |= set(request.POST.getlist("asked"))
    files = {
        name: file.read() for name, file in request.FILES.items() if file is not None and not isinstance(file, list)
    }
    return Posted(
        entry_id=_uuid(request.POST.get("entry_id", "")),
        answers=answers_in(request.POST) | files,
        confirmed=frozenset(confirmed),
    )


def answers_in(query: QueryDict) -> dict[str, str | tuple[str, ...] | bytes]:
    """Return the answers in a form or an address: one text for each name, several where it was sent several times."""
    found: dict[str, str | tuple[str, ...] | bytes] = {}
    for name in query:
        if name not in _NOT_ANSWERS:
            # No text of a keeper holds a NUL, and PostgreSQL cannot store one.
            values = [str(value).replace("\0", "") for value in query.getlist(name)]
            found[name] = values[0] if len(values) == 1 else tuple(values)
    return found


def _uuid(text: str) -> UUID:
    try:
        found = UUID(text)
    except ValueError:
        return new_entry_id()
    return found if found.version == _TIME_ORDERED else new_entry_id()
