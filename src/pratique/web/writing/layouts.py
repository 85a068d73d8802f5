"""The forms that have a page of their own making; all others are drawn question by question."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Protocol

from pratique.casework.writing.desk import Answers
from pratique.web.writing import feeding_page, readings_page
from pratique.web.writing.bound import Question


class Context(Protocol):
    """Makes what a template draws out of the form's questions."""

    def __call__(self, questions: Sequence[Question], *, is_amendment: bool) -> dict[str, object]:
        """Return the template's own context."""


@dataclass(frozen=True, slots=True)
class Layout:
    """How one form is drawn, and how what its page sends becomes the form's answers."""

    template: str
    context: Context
    composed: Callable[[Answers], Answers]


def _as_sent(answers: Answers) -> Answers:
    return answers


LAYOUTS: Mapping[str, Layout] = {
    "readings": Layout("pratique/write/readings.html", readings_page.context, readings_page.composed),
    "feeding": Layout("pratique/write/feeding.html", feeding_page.context, _as_sent),
}
