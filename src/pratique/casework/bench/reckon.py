"""The one way to an answer: find the card and the way that is meant, reckon, and let nothing unsound through."""

from math import isfinite

from pratique.casework.bench.asking import Asking
from pratique.casework.bench.card import PLUS_MINUS, WAY, Answers, BenchAnswer, Card, NotAnswered, Way
from pratique.casework.bench.cards import BENCH
from pratique.science.chemistry.domain import DomainError

_BEYOND = "With these numbers there is no sensible answer; check each for a slipped decimal point or unit."


def reckon(name: str, answers: Answers) -> BenchAnswer:
    """Return what a card comes to. Raises NotAnswered with every sentence at once, KeyError for no such card."""
    card = BENCH[name]
    way = card.way_of(answers)
    asked = Asking((*card.way_field, *way.fields), answers)
    _refuse_what_is_not_asked(card, way, asked)
    try:
        found = way.reckon(asked)
    except DomainError as problem:
        raise NotAnswered({"": str(problem)}) from None
    except ArithmeticError:
        raise NotAnswered({"": _BEYOND}) from None
    if not all(map(isfinite, _numbers(found))):
        raise NotAnswered({"": _BEYOND})
    return found


def _refuse_what_is_not_asked(card: Card, way: Way, asked: Asking) -> None:
    """Keep a problem for each answer that this way of asking would silently leave out."""
    used = {one.name for one in way.fields} | {WAY}
    for one in card.fields:
        if one.name not in used and not one.name.endswith(PLUS_MINUS) and asked.given(one.name):
            asked.problem(one.name, f"This is not used when the question is “{way.words}”; leave it out.")


def _numbers(found: BenchAnswer) -> list[float]:
    errors = [one.plus_minus for one in found.more if one.plus_minus is not None]
    return [found.value, found.plus_minus, *errors, *(one.value for one in found.more)]
