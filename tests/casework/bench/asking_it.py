"""Ask a card of the bench as a page or a command would, in few words."""

import pytest

from pratique.casework.bench.card import BenchAnswer, NotAnswered
from pratique.casework.bench.reckon import reckon


def ask(card: str, **answers: str) -> BenchAnswer:
    """Return what a card comes to; `raise_` stands for the field whose name is a word of the language."""
    return reckon(card, {name.rstrip("_") if name == "raise_" else name: text for name, text in answers.items()})


def refusal(card: str, **answers: str) -> dict[str, str]:
    """Return the sentences with which a card refuses, by field."""
    with pytest.raises(NotAnswered) as refused:
        ask(card, **answers)
    return refused.value.fields


def also(answer: BenchAnswer, words: str) -> float:
    """Return the figure beside the answer that begins with these words."""
    return next(one.value for one in answer.more if one.words.startswith(words))
