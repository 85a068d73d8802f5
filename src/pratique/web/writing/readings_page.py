"""The page for a round of readings: one number in a row, with unit, scale and method tucked under its name."""

from collections.abc import Sequence
from dataclasses import dataclass

from pratique.casework.writing.desk import Answers
from pratique.web.writing.bound import Question

_METHOD = "_method"
_SCALE = "_scale"
_SELDOM = "Seldom read here"


@dataclass(frozen=True, slots=True)
class ReadingRow:
    """One constituent: its number, and the method and, for pH, the scale that go with it."""

    number: Question
    method: Question | None
    scale: Question | None = None

    @property
    def how(self) -> str:
        """The unit, an unusual scale and the method in use, in a few words."""
        scale = [one.words for one in self.scale.choices[1:] if one.is_chosen] if self.scale else []
        chosen = [one.words for one in self.method.choices if one.is_chosen and one.value] if self.method else []
        chosen = scale + chosen
        return ", ".join(word for word in (self.number.unit, *chosen) if word and word != "NBS") or "how it was read"

    @property
    def described_by(self) -> str:
        """The ids of what is said about the number."""
        told = {"problem": self.number.problem, "doubt": self.number.doubt}
        return " ".join(f"{self.number.id}-{kind}" for kind, sentence in told.items() if sentence)


def reading_rows(questions: Sequence[Question]) -> tuple[list[ReadingRow], list[ReadingRow]]:
    """Return the rows for what is usually read here, and those for the rest."""
    by_name = {one.name: one for one in questions}
    numbers = [one for one in questions if f"{one.name}{_METHOD}" in by_name]
    made = [ReadingRow(one, by_name[f"{one.name}{_METHOD}"], by_name.get(f"{one.name}{_SCALE}")) for one in numbers]
    usual = [row for row in made if row.number.field.group != _SELDOM]
    return usual, [row for row in made if row.number.field.group == _SELDOM]


def composed(answers: Answers) -> Answers:
    """Return the answers with “below”, “above” and “up to” written into the number they belong to."""
    found = dict(answers)
    for name in [one for one in answers if one.endswith(("_is", "_to"))]:
        number, _, part = name.rpartition("_")
        extra, text = found.pop(name), found.get(number, "")
        if not isinstance(extra, str) or not isinstance(text, str) or not extra.strip() or not text.strip():
            continue
        found[number] = f"{extra}{text}" if part == "is" else f"{text} - {extra}"
    return found


def context(questions: Sequence[Question], *, is_amendment: bool) -> dict[str, object]:
    """Return what the page draws; an amendment shows only the one number it changes."""
    usual, seldom = reading_rows(questions)
    if is_amendment:
        usual, seldom = [row for row in [*usual, *seldom] if row.number.value or row.number.problem], []
    opened = any(row.number.value or row.number.problem or row.number.doubt for row in seldom)
    return {"usual": usual, "seldom": seldom, "seldom_is_open": opened}
