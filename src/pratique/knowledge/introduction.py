"""What makes residents fight a newcomer, and the steps of letting it in."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from pratique.knowledge.loading import read
from pratique.knowledge.status import Status


@dataclass(frozen=True)
class IntroductionFigure:
    """One reason, rule or step; `kind` says which. `lower` and `upper` are lengths over the resident's, or chances."""

    key: str
    kind: str
    words: str
    source: str
    status: Status
    log_odds: float = 0.0
    lower: float = 0.0
    upper: float = 0.0
    days: float = 0.0
    litres: float | None = None
    families: tuple[str, ...] = ()
    genera: tuple[str, ...] = ()
    is_across_species: bool = False


@cache
def _figures() -> Mapping[str, IntroductionFigure]:
    return read("introduction.toml", IntroductionFigure)


def introduction_figures(kind: str) -> tuple[IntroductionFigure, ...]:
    """Return every figure of a kind, in the order of the file; KeyError for a kind that is not there."""
    found = tuple(one for one in _figures().values() if one.kind == kind)
    if not found:
        raise KeyError(f"There is no figure of introductions of the kind “{kind}”.")
    return found


def introduction_figure(kind: str) -> IntroductionFigure:
    """Return the first figure of a kind; KeyError as above."""
    return introduction_figures(kind)[0]
