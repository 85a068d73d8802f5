"""The answers to one form as they are read: every problem and every doubt is collected, none hides another."""

from collections.abc import Sequence
from datetime import datetime
from functools import cached_property

from pratique.casework.words import sentence_case
from pratique.casework.writing.desk import Answers, Desk, Doubts, Problems
from pratique.casework.writing.fields import Field, Widget
from pratique.casework.writing.keys import derived_id, meant, nearest
from pratique.casework.writing.moments import NoSuchMoment, came_twice, moment_of
from pratique.casework.writing.numbers import plain, quantity
from pratique.ledger.entries import NewEntry
from pratique.ledger.household import Household
from pratique.ledger.kinds.payload import Payload

_LINE = 80
_WORDS = 4000
_VERBATIM = 1_000_000
# A page sends nothing for a box left empty, so for these nothing is an answer; for all others it is the initial one.
_SILENT = {Widget.MANY, Widget.YES, Widget.STEPS, Widget.PHOTO, Widget.CLIP, Widget.FILE}


class Asked:
    """One form's answers at one desk. The first problem of a field is kept, and the first doubt."""

    def __init__(self, desk: Desk, answers: Answers, fields: Sequence[Field]) -> None:
        self.desk = desk
        self.household: Household = desk.household
        self.problems: dict[str, str] = {}
        self.doubts: dict[str, str] = {}
        self._answers = answers
        self._fields = {field.name: field for field in fields}

    def problem(self, name: str, sentence: str) -> None:
        """Keep a sentence that says what is wrong at a field and what would be right."""
        self.problems.setdefault(name, sentence)

    def doubt(self, name: str, sentence: str) -> None:
        """Keep a question to ask once at a field; questions at one field are asked together."""
        asked = self.doubts.get(name)
        self.doubts[name] = f"{asked} {sentence}" if asked else sentence

    def given(self, name: str) -> bool:
        """Return whether there is any answer, an initial one included."""
        return bool(self.many(name))

    def text(self, name: str, needed: str = "", *, longest: int = _WORDS) -> str:
        """Return one answer as text; `needed` is the problem where there is none."""
        raw = self._answers.get(name)
        if raw is None:
            field = self._fields.get(name)
            raw = field.initial if field is not None and field.widget not in _SILENT else ""
        if isinstance(raw, bytes):
            return ""
        text = (raw if isinstance(raw, str) else ", ".join(raw)).strip()
        if not text and needed:
            self.problem(name, needed)
        if len(text) > longest:
            self.problem(name, f"This has {len(text)} letters; at most {longest} can be kept here.")
            return text[:longest]
        return text

    def verbatim(self, name: str, needed: str = "") -> str:
        """Return one answer with every space and line as it was typed; `needed` is the problem where there is none."""
        raw = self._answers.get(name)
        text = raw if isinstance(raw, str) else self.text(name, longest=_VERBATIM)
        if not text.strip() and needed:
            self.problem(name, needed)
        return text

    def line(self, name: str, needed: str = "") -> str:
        """Return one answer as a short line, such as a name."""
        return " ".join(self.text(name, needed, longest=_LINE).split())

    @cached_property
    def words(self) -> str:
        """Return the free words."""
        return self.text("words")

    def many(self, name: str, needed: str = "") -> tuple[str, ...]:
        """Return several answers, each once; commas and line ends part them in a single text."""
        raw = self._answers.get(name)
        parts = [self.text(name)] if raw is None or isinstance(raw, str | bytes) else list(raw)
        split = (part.strip() for text in parts for part in text.replace("\n", ",").split(","))
        found = tuple(dict.fromkeys(part for part in split if part))
        if not found and needed:
            self.problem(name, needed)
        return found

    def content(self, name: str) -> bytes:
        """Return a file that was given, or nothing."""
        raw = self._answers.get(name)
        return raw if isinstance(raw, bytes) else b""

    def is_yes(self, name: str) -> bool:
        """Return whether the answer is yes."""
        text = self.text(name).casefold()
        if text not in {"", "yes", "y", "on", "true", "1", "no", "n", "off", "false", "0"}:
            self.problem(name, f"“{text}” is neither yes nor no; write yes or no.")
        return text in {"yes", "y", "on", "true", "1"}

    def number(
        self, name: str, canonical: str = "", needed: str = "", *, above: float | None = None, text: str | None = None
    ) -> float | None:
        """Return a number in the canonical unit, or None where none was given or it cannot be read.

        `above` is the number it must be more than; `text` is read in place of the answer itself.
        """
        text = self.text(name, needed) if text is None else text
        if not text:
            return None
        try:
            number = quantity(text, self.unit(name) or canonical, canonical)
        except ValueError as error:
            self.problem(name, str(error))
            return None
        if above is not None and number <= above:
            self.problem(name, f"This must be more than {plain(above)}; {plain(number)} is not.")
            return None
        return number

    def zero_or_more(
        self, name: str, canonical: str = "", needed: str = "", *, text: str | None = None
    ) -> float | None:
        """Return a number that is not below zero, in the canonical unit; read as `number` reads it."""
        number = self.number(name, canonical, needed, text=text)
        if number is not None and number < 0:
            self.problem(name, f"This cannot be below 0; {plain(number)} is.")
            return None
        return number

    def whole(self, name: str, needed: str = "", *, least: int = 0, most: int = 10_000) -> int | None:
        """Return a whole number between two bounds, or None."""
        number = self.number(name, needed=needed)
        if number is None:
            return None
        if number != int(number) or not least <= number <= most:
            self.problem(name, f"This must be a whole number from {least} to {most}; {plain(number)} is not.")
            return None
        return int(number)

    def unit(self, name: str) -> str:
        """Return the unit chosen beside a number, or the one assumed."""
        chosen = self.text(f"{name}_unit")
        field = self._fields.get(name)
        return chosen or (field.units[0] if field is not None and field.units else "")

    def choice(self, name: str, needed: str = "") -> str:
        """Return one of the field's options, found by its value or its words; empty where none was given."""
        text = self.text(name, needed)
        return self.option(name, text) if text else ""

    def option(self, name: str, text: str) -> str:
        """Return the field's option that a text means; a text that means none is a problem."""
        options = {option.value: option.words for option in self._fields[name].options}
        key = text if text in options else meant(text, options)
        if key is None:
            near = nearest(text, options)
            right = f"did you mean {near}?" if near else f"it can be {', '.join(key for key in options if key)}."
            self.problem(name, sentence_case(f"“{text}” is not a choice here; {right}"))
            return ""
        return key

    @cached_property
    def at(self) -> datetime:
        """Return when it happened; where that cannot be read, now, so that the rest is still checked."""
        try:
            moment = moment_of(self.text("moment"), self.desk)
        except NoSuchMoment as problem:
            self.problem("moment", str(problem))
            return self.desk.now
        question = came_twice(self.text("moment"), self.desk)
        if question:
            self.doubt("moment", question)
        return moment

    def settle(self) -> tuple[str, ...]:
        """Return every question that was answered with yes; raise Problems, or Doubts not yet confirmed."""
        _ = self.at
        if self.problems:
            raise Problems(self.problems)
        open_ones = {name: one for name, one in self.doubts.items() if one not in self.desk.confirmed}
        if open_ones:
            raise Doubts(open_ones)
        return tuple(self.doubts.values())

    def answered(self, *names: str) -> tuple[str, ...]:
        """Return the questions asked at some of the fields, for a form that writes an entry for each."""
        return tuple(one for name, one in self.doubts.items() if name in names)

    def entries(self, *payloads: Payload, at: datetime | None = None) -> list[NewEntry]:
        """Return the entries for these payloads, all of one moment, their ids derived from the desk's."""
        desk = self.desk
        return [
            NewEntry(
                id=derived_id(desk.entry_id, index),
                payload=payload,
                happened_at=at or self.at,
                zone=self.household.zone.key,
                author=desk.author,
                source=desk.source,
                amends=desk.amends.id if desk.amends is not None else None,
            )
            for index, payload in enumerate(payloads)
        ]
