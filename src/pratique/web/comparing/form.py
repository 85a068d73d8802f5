"""The questions of the comparison as the page draws them, with what was chosen and what is wrong."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from pratique import knowledge
from pratique.casework.words import sentence_case
from pratique.knowledge import Protocol


@dataclass(frozen=True, slots=True)
class Option:
    """One choice: the value the address holds, its words, and whether it is chosen."""

    value: str
    words: str
    hint: str
    is_chosen: bool


@dataclass(frozen=True, slots=True)
class Form:
    """Everything the questions need; `problems` is by name."""

    protocols: tuple[Option, ...]
    species: tuple[Option, ...]
    typed: tuple[str, ...]
    temperature: str
    volume: str
    problems: Mapping[str, str]


def form_of(told: Mapping[str, Sequence[str]], problems: Mapping[str, str], known: Sequence[Protocol]) -> Form:
    """Return the questions with what was told; kinds that no choice holds, such as two of one, stay typed."""
    chosen, kinds = set(told["protocol"]), set(told["species"])
    fishes = [one for one in knowledge.all_species() if not one.is_invertebrate]
    keys = {one.key for one in fishes}
    return Form(
        protocols=tuple(
            Option(one.short_name or one.key, one.name, "", bool({one.short_name, one.key} & chosen)) for one in known
        ),
        species=tuple(
            Option(one.key, sentence_case(one.name), one.latin, one.key in kinds)
            for one in sorted(fishes, key=lambda one: one.name.casefold())
        ),
        typed=tuple(one for one in told["species"] if one not in keys),
        temperature=told["temperature"][0],
        volume=told["volume"][0],
        problems=problems,
    )
