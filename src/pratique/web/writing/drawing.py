"""One form as its page draws it, whichever form it is."""

from collections.abc import Iterable
from dataclasses import dataclass
from uuid import UUID

from pratique.casework.writing.fields import Widget
from pratique.web.writing.bound import Question, Section, sections


def _is_last(question: Question) -> bool:
    """Return whether nearly every form asks this and seldom gets an answer: kept out of the way, at the end."""
    asked = question.field
    return (asked.name == "words" and not asked.required) or (asked.name == "moment" and asked.label == "When")


@dataclass(frozen=True, slots=True)
class Said:
    """One sentence of the summary at the top, with the field it leads to."""

    sentence: str
    label: str = ""
    target: str = ""


@dataclass(frozen=True, kw_only=True)
class Sheet:
    """Everything the template of a form needs.

    `is_fresh` says that the script may put the phone's own id in place of this one; a page that came back with a
    problem or a question keeps its id, for it is still the same entry.
    """

    title: str
    questions: tuple[Question, ...]
    entry_id: UUID
    is_fresh: bool
    next: str
    whole: str = ""
    confirmed: tuple[str, ...] = ()
    lost_file: bool = False
    keep_words: str = "Keep"
    chosen: frozenset[str] = frozenset()
    redrawn_by: frozenset[str] = frozenset()

    @property
    def hidden(self) -> tuple[Question, ...]:
        """What was chosen before this page and is only sent along."""
        return tuple(one for one in self.questions if one.field.name in self.chosen)

    @property
    def sections(self) -> tuple[Section, ...]:
        """The questions that come first, under their headings."""
        return tuple(sections([one for one in self.questions if not _is_last(one) and one.name not in self.chosen]))

    @property
    def place(self) -> Question | None:
        """The question where, on a page whose other questions are laid out by hand."""
        return next((one for one in self.questions if one.name == "system" and "system" not in self.chosen), None)

    @property
    def last(self) -> tuple[Question, ...]:
        """When it happened, and free words."""
        return tuple(one for one in self.questions if _is_last(one))

    @property
    def last_is_open(self) -> bool:
        """Whether there is something to see among the last questions, or nothing else to answer."""
        said = any(one.problem or one.doubt or one.value for one in self.last)
        return said or all(_is_last(one) or one.field.widget is Widget.CHOICE for one in self.questions)

    @property
    def problems(self) -> tuple[Said, ...]:
        """What is wrong, in the order of the page."""
        whole = (Said(self.whole),) if self.whole else ()
        return (*whole, *_said((one, one.problem) for one in self.questions))

    @property
    def doubts(self) -> tuple[Said, ...]:
        """What is asked once, in the order of the page."""
        return tuple(_said((one, one.doubt) for one in self.questions))


def _said(found: Iterable[tuple[Question, str]]) -> tuple[Said, ...]:
    return tuple(Said(sentence, one.field.label, one.id) for one, sentence in found if sentence)
