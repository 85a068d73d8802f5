"""Entries of close looks, in words."""

from collections.abc import Callable

from pratique import knowledge
from pratique.casework.words import listed
from pratique.ledger.household import Household
from pratique.ledger.kinds import looks
from pratique.ledger.kinds.payload import Payload
from pratique.web.entries.figure_names import known
from pratique.web.entries.names import name_of


def _look(told: looks.Look, household: Household) -> str:
    names = listed([name_of(household, f"animal/{animal}") for animal in told.animals])
    figure = known(knowledge.close_look, told.method)
    how = figure.name if figure else told.method.replace("_", " ")
    seen, unseen = ([one.replace("_", " ") for one in some] for some in (told.seen, told.not_seen))
    results = [f"{listed(seen)} seen"] if seen else []
    results += [f"no {' and no '.join(unseen)} seen"] if unseen else []
    return f"{names}, {how}: {', '.join(results)}"


SAYINGS: dict[type[Payload], Callable[..., str]] = {looks.Look: _look}
