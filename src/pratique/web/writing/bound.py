"""A form's questions as a page draws them: with what was typed, what is wrong with it, and what is asked about it."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from dataclasses import field as held
from itertools import groupby

from pratique.casework.writing.desk import Answers
from pratique.casework.writing.fields import Field, Widget

# With more options than this a menu is quicker to read than a row of words.
MOST_CHIPS = 7
_ALWAYS_SHOWN = 2
# A page sends nothing for these where nothing is chosen, so what was chosen before must not come back.
_SILENT = frozenset({Widget.MANY, Widget.YES, Widget.STEPS, Widget.PHOTO, Widget.CLIP, Widget.FILE})


@dataclass(frozen=True, slots=True)
class Choice:
    """One option as drawn."""

    id: str
    value: str
    words: str
    hint: str
    is_chosen: bool


@dataclass(frozen=True, kw_only=True)
class Question:
    """One field as drawn. `values` is what was typed or is assumed; a file is never put back."""

    field: Field
    name: str
    values: tuple[str, ...]
    unit: str
    problem: str = ""
    doubt: str = ""

    @property
    def id(self) -> str:
        """The element's id."""
        return f"field-{self.name}"

    @property
    def value(self) -> str:
        """What was typed."""
        return self.values[0] if self.values else ""

    @property
    def template(self) -> str:
        """The part that draws this kind of question."""
        kind = self.field.widget
        if kind is Widget.CHOICE and len(self.field.options) > MOST_CHIPS:
            return "pratique/write/widgets/menu.html"
        return f"pratique/write/widgets/{kind.value.replace(' ', '_')}.html"

    @property
    def choices(self) -> tuple[Choice, ...]:
        """The options, with those chosen marked."""
        return tuple(
            Choice(f"{self.id}-{number}", one.value, one.words, one.hint, one.value in self.values)
            for number, one in enumerate(self.field.options)
        )

    @property
    def described_by(self) -> str:
        """The ids of the sentences that belong to this question."""
        told = {"problem": self.problem, "doubt": self.doubt, "hint": self.field.hint}
        return " ".join(f"{self.id}-{kind}" for kind, sentence in told.items() if sentence)

    @property
    def is_group(self) -> bool:
        """Whether this is several boxes under one legend rather than one box with a label."""
        drawn_as_rows = {Widget.MANY, Widget.STEPS}
        return self.field.widget in drawn_as_rows or (
            self.field.widget is Widget.CHOICE and len(self.field.options) <= MOST_CHIPS
        )


@dataclass(frozen=True, slots=True)
class Section:
    """Questions under one heading; the heading may be empty."""

    title: str
    questions: tuple[Question, ...]

    @property
    def is_tucked(self) -> bool:
        """Whether this is a section that is still empty and would only make the page long."""
        if any(one.value or one.problem or one.doubt for one in self.questions):
            return False
        number = self.title.rpartition(" ")[2]
        is_further = number.isdecimal() and int(number) > _ALWAYS_SHOWN
        return is_further or all(one.field.is_tucked for one in self.questions)


@dataclass(frozen=True, slots=True)
class Sentences:
    """What is to be said at each field: problems, and questions asked once."""

    problems: Mapping[str, str] = held(default_factory=dict)
    doubts: Mapping[str, str] = held(default_factory=dict)


def bind(
    fields: Sequence[Field], answers: Answers | None, said: Sentences | None = None, *, prefix: str = ""
) -> tuple[Question, ...]:
    """Return the fields as questions. Without answers each holds what is assumed; with them, what was typed.

    `prefix` stands before every name, where one page holds the same questions several times.
    """
    sentences = said or Sentences()
    return tuple(
        Question(
            field=one,
            name=prefix + one.name,
            values=_values(one, answers),
            unit=_unit(one, answers),
            problem=sentences.problems.get(prefix + one.name, ""),
            doubt=sentences.doubts.get(prefix + one.name, ""),
        )
        for one in fields
    )


def sections(questions: Sequence[Question]) -> Iterator[Section]:
    """Yield the questions under their headings, in their order."""
    for title, some in groupby(questions, key=lambda question: question.field.group):
        yield Section(title, tuple(some))


def _values(one: Field, answers: Answers | None) -> tuple[str, ...]:
    if answers is not None and one.name in answers:
        typed = answers[one.name]
        if isinstance(typed, bytes):
            return ()
        return (typed,) if isinstance(typed, str) else tuple(typed)
    if answers is not None and one.widget in _SILENT:
        return ()
    initial = (one.initial,) if isinstance(one.initial, str) else one.initial
    return tuple(value for value in initial if value)


def _unit(one: Field, answers: Answers | None) -> str:
    typed = (answers or {}).get(f"{one.name}_unit", "")
    return typed if isinstance(typed, str) and typed in one.units else next(iter(one.units), "")
