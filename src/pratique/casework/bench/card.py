"""What the bench is made of: cards that ask, the ways a card can be asked, and the answer with all that backs it."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from pratique.casework.sheets import NextStep, Reason
from pratique.casework.writing.fields import Field, Option, Widget

if TYPE_CHECKING:
    from pratique.casework.bench.asking import Asking

type Question = Literal["What does this reading mean?", "Move a value", "Make up water", "Thin it out"]
QUESTIONS: tuple[Question, ...] = ("What does this reading mean?", "Move a value", "Make up water", "Thin it out")
# One answer under each name; a number's unit comes under `<name>_unit`, its error under `<name>_plus_minus`.
Answers = Mapping[str, str]
WAY = "way"
PLUS_MINUS = "_plus_minus"


class NotAnswered(Exception):
    """The card cannot be reckoned: for each field a sentence with what is wrong and what would be right.

    A sentence about the card as a whole stands under the empty name. `missing` names the fields that are only empty.
    """

    def __init__(self, fields: Mapping[str, str], missing: frozenset[str] = frozenset()) -> None:
        super().__init__("; ".join(fields.values()))
        self.fields = dict(fields)
        self.missing = missing


@dataclass(frozen=True, slots=True)
class Line:
    """One line of the working, or one step of a schedule: what it is, and the number where there is one."""

    words: str
    number: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Secondary:
    """A figure beside the answer. `plus_minus` is 95 %, None where the figure only says the same in another unit.

    `low` and `high` are the ends of the interval where they do not lie equally far away; `plus_minus` is the larger.
    """

    words: str
    value: float
    unit: str
    decimals: int
    plus_minus: float | None = None
    low: float | None = None
    high: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class BenchAnswer:
    """What a card came to.

    `plus_minus` is 95 %; `low` and `high` are as in `Secondary`. `dominated_by` names the input that makes most of it.
    `assumed` says what was taken where nothing was given; `extrapolated` which published range was left. `entry` writes
    the answer into the ledger.
    """

    value: float
    unit: str
    plus_minus: float
    decimals: int
    words: str
    working: tuple[Line, ...]
    sources: tuple[Reason, ...]
    cautions: tuple[str, ...] = ()
    warnings: tuple[str, ...] = ()
    dominated_by: str = ""
    volume_words: str = ""
    extrapolated: tuple[str, ...] = ()
    assumed: tuple[str, ...] = ()
    more: tuple[Secondary, ...] = ()
    steps: tuple[Line, ...] = ()
    entry: NextStep | None = None
    low: float | None = None
    high: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """One way to ask a card. `told_by` is the field that only this way asks, so that giving it chooses the way."""

    key: str
    words: str
    fields: tuple[Field, ...]
    reckon: "Callable[[Asking], BenchAnswer]"
    told_by: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Card:
    """One calculation, under the keeper's question it answers."""

    name: str
    question: Question
    title: str
    words: str
    ways: tuple[Way, ...]

    @property
    def fields(self) -> tuple[Field, ...]:
        """Every question of every way, each once; the choice of the way first where there is one."""
        found = {one.name: one for way in reversed(self.ways) for one in reversed(way.fields)}
        ordered = {one.name: found[one.name] for way in self.ways for one in way.fields}
        return (*self.way_field, *ordered.values())

    @property
    def way_field(self) -> tuple[Field, ...]:
        """The question which way is meant; none where there is only one."""
        if len(self.ways) == 1:
            return ()
        options = tuple(Option(way.key, way.words) for way in self.ways)
        return (Field(name=WAY, label="What do you have?", widget=Widget.CHOICE, options=options),)

    def way_of(self, answers: Answers) -> Way:
        """Return the way that was chosen, or the one the answers tell, or the first. Raises NotAnswered."""
        chosen = answers.get(WAY, "").strip().casefold()
        if chosen:
            return self._named(chosen)
        told = [way for way in self.ways if way.told_by and answers.get(way.told_by, "").strip()]
        if len(told) > 1:
            # A way that asks for all that was told is the one meant.
            marks = {way.told_by for way in told}
            told = [way for way in told if marks <= {one.name for one in way.fields}] or told
        if len(told) > 1:
            names = " or ".join(way.words.lower() for way in told)
            raise NotAnswered({told[-1].told_by: f"Give one of these at a time, or say which way is meant: {names}."})
        return told[0] if told else self.ways[0]

    def _named(self, chosen: str) -> Way:
        for way in self.ways:
            if chosen in {way.key.casefold(), way.words.casefold()}:
                return way
        known = ", ".join(way.key for way in self.ways)
        raise NotAnswered({WAY: f"“{chosen}” is no way of asking this; such are {known}."})
