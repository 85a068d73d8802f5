"""The answers to one card as they are read: numbers with their errors, every problem collected, none hiding another."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import nan

from pratique.casework.bench.card import PLUS_MINUS, Answers, NotAnswered
from pratique.casework.bench.quantities import Measure
from pratique.casework.sheets import Reason
from pratique.casework.writing.fields import Field
from pratique.casework.writing.keys import meant, nearest
from pratique.knowledge.assumed_errors import AssumedError, assumed_error
from pratique.science.chemistry.domain import DomainError
from pratique.science.chemistry.uncertainty import Propagated, Uncertain, propagate
from pratique.units import THIN_SPACE, show, split_quantity

_LONGEST = 200
# Short ways of writing units, as they are shown back.
_FULL_NAMES = {"c": "°C", "f": "°F", "l": "L"} | dict.fromkeys(("gal", "gals", "gallon", "gallons"), "US gal")
_GALLONS = ("US gal", "imperial gal")


@dataclass(frozen=True, slots=True)
class Measured:
    """A number that was given, in our unit, with its 95 % error and how it was written."""

    name: str
    label: str
    value: float
    plus_minus: float
    shown: str

    @property
    def uncertain(self) -> Uncertain:
        """The number as science takes it."""
        return Uncertain(self.value, self.plus_minus)


class Asking:
    """One card's answers. The first problem of a field is kept."""

    def __init__(self, fields: Sequence[Field], answers: Answers) -> None:
        self.problems: dict[str, str] = {}
        self.assumed: list[str] = []
        self.assumed_sources: list[Reason] = []
        self._missing: set[str] = set()
        self._answers = answers
        self._fields = {one.name: one for one in fields}

    def problem(self, name: str, sentence: str) -> None:
        """Keep a sentence that says what is wrong at a field and what would be right."""
        self.problems.setdefault(name, sentence)

    def text(self, name: str, needed: str = "") -> str:
        """Return one answer as a line; `needed` is the problem where there is none."""
        raw = self._answers.get(name)
        if raw is None or not raw.strip():
            initial = self._fields[name].initial if name in self._fields else ""
            raw = initial if isinstance(initial, str) else ""
        text = " ".join(raw.split())
        if not text and needed:
            self._missing.add(name)
            self.problem(name, needed)
        if len(text) > _LONGEST:
            self.problem(name, f"This has {len(text)} letters; at most {_LONGEST} can be read here.")
            return ""
        return text

    def given(self, name: str) -> bool:
        """Return whether there is any answer, an initial one included."""
        return bool(self.text(name))

    def choice(self, name: str, needed: str = "") -> str:
        """Return one of the field's options, found by its value or its words; empty where none was given."""
        text = self.text(name, needed)
        options = {one.value: one.words for one in self._fields[name].options}
        if not text or text in options:
            return text
        key = meant(text, options)
        if key is None:
            near = nearest(text, options)
            right = f"did you mean {near}?" if near else f"it can be {', '.join(one for one in options if one)}."
            self.problem(name, f"“{text}” is not a choice here; {right}")
        return key or ""

    def unit(self, name: str) -> str:
        """Return the unit chosen beside a number, or the one assumed."""
        chosen = self._answers.get(f"{name}_unit", "").strip()
        field = self._fields.get(name)
        return chosen or (field.units[0] if field is not None and field.units else "")

    def number(self, name: str, measure: Measure, needed: str, *, error: str = "", unit: str = "") -> Measured:
        """Return a number that is needed; without it, or where it cannot be read, a problem and no number (NaN).

        `error` names the assumed error that holds where no ± was given; without a name the number is exact. `unit` is
        the one chosen elsewhere on the card.
        """
        found = self.optional(name, measure, error=error, unit=unit)
        if found is None and name not in self.problems:
            self.text(name, needed)
        return found or Measured(name, self._label(name), nan, 0.0, "")

    def optional(self, name: str, measure: Measure, *, error: str = "", unit: str = "") -> Measured | None:
        """Return a number if it was given and can be read, as `number` does."""
        text = self.text(name)
        if not text:
            return None
        try:
            value, unit = measure.read(text, unit or self.unit(name))
        except ValueError as problem:
            self.problem(name, str(problem))
            return None
        plus_minus = self._plus_minus(name, value, unit, measure, error)
        if plus_minus is None:
            return None
        digits = split_quantity(text)[0] or text
        shown = f"{digits}{THIN_SPACE}{_FULL_NAMES.get(unit.casefold(), unit)}" if unit else digits
        return Measured(name, self._label(name), value, plus_minus, shown)

    def _plus_minus(self, name: str, value: float, unit: str, measure: Measure, error: str) -> float | None:
        given = self.text(name + PLUS_MINUS)
        if given:
            try:
                return measure.width(value, given, unit)
            except ValueError as problem:
                self.problem(name + PLUS_MINUS, str(problem))
                return None
        if not error:
            return 0.0
        told = _FULL_NAMES.get(unit.casefold(), unit)
        told = told if told in _GALLONS else measure.canonical
        return self._assume(name, value, (told, measure.to_canonical(1.0, told)), assumed_error(error))

    def _assume(self, name: str, value: float, told: tuple[str, float], error: AssumedError) -> float:
        """Return the error taken, in our unit; `told` is the unit it is said in, and one of it in ours."""
        plus_minus = error.plus_minus(value)
        in_unit = plus_minus / told[1]
        shown = show(float(f"{in_unit:.2g}"), _decimals_for(in_unit), told[0])
        words = f"{self._label(name)}: no ± was given, so ± {shown} is taken, as of {error.name}."
        self.assumed.append(words)
        self.assumed_sources.append(Reason(f"The ± taken for {error.name}.", error.source, error.status))
        return plus_minus

    def assume(self, words: str, reason: Reason) -> None:
        """Keep what was taken where nothing was given."""
        self.assumed.append(words)
        self.assumed_sources.append(reason)

    def keep_within(self, part: Measured, whole: Measured) -> None:
        """Keep a problem for a part that is more than the whole it is taken from."""
        if part.value > whole.value:
            self.problem(part.name, f"This cannot be more than all there is, {whole.shown}; {part.shown} is.")

    def settle(self) -> None:
        """Raise NotAnswered if there is any problem so far."""
        if self.problems:
            raise self.unanswered()

    def unanswered(self) -> NotAnswered:
        """Return the refusal to raise, with every problem so far."""
        return NotAnswered(self.problems, frozenset(self._missing & set(self.problems)))

    def refuse(self, name: str, sentence: str) -> NotAnswered:
        """Return the refusal to raise: one sentence at one field."""
        return NotAnswered({name: sentence})

    def carry(self, function: Callable[..., float], inputs: Mapping[str, Measured]) -> Propagated:
        """Return what a function of science makes of the numbers, with their errors carried through.

        `inputs` names the function's arguments. Raises NotAnswered where the numbers leave what science can answer.
        """
        self.settle()
        try:
            return propagate(function, {name: one.uncertain for name, one in inputs.items()})
        except DomainError as problem:
            raise self.not_in_domain(problem, inputs.values()) from None

    def not_in_domain(self, problem: DomainError, inputs: Iterable[Measured]) -> NotAnswered:
        """Return the refusal for numbers beyond science, at the field it speaks of."""
        said = str(problem)
        named = [one.name for one in inputs if one.label.casefold() in said.casefold()]
        return NotAnswered({named[0] if named else "": said})

    def _label(self, name: str) -> str:
        return self._fields[name].label if name in self._fields else name


def _decimals_for(number: float) -> int:
    text = f"{number:.2g}"
    return len(f"{float(text):.10f}".rstrip("0").partition(".")[2])
