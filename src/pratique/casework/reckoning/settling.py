"""Odd readings that later readings have settled: one of them wrong, or something nobody wrote down.

A case believes every reading, so a single slip would bend the level, the loss and the volume for weeks. The newest
reading is never settled: it is read again first.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import tzinfo
from typing import TYPE_CHECKING

from pratique import knowledge
from pratique.casework.reckoning.ledger_case import LedgerCase
from pratique.casework.reckoning.memory import explanations_in, fits_in, log_evidence_in, posterior_of
from pratique.casework.reckoning.sorting import LeftOut
from pratique.casework.words import day_words
from pratique.science.chemistry.domain import DomainError
from pratique.science.estimation.case import Case

# The compiled loops take a second to load: only what really reckons loads them.
if TYPE_CHECKING:
    from pratique.science.estimation.surprises import Explanation

_FEWEST = 3
_CLEAREST = 1e-12
_WRONG, _UNLOGGED = "wrong reading", "unlogged"
_SET_ASIDE = "It does not fit what was read before and after it: most likely a wrong reading."


@dataclass(frozen=True)
class _Settled:
    number: int
    explained: "Explanation"


def settled(ledger: LedgerCase, *, zone: tzinfo) -> LedgerCase:
    """Return a case with what its later readings have settled: a wrong reading set aside, something unlogged let in.

    A case that cannot be reckoned, or whose oddities have no clear explanation, comes back as it was. `zone` is the
    keeper's, by whose days it is told.
    """
    for _ in range(int(knowledge.figure("reckoning.most_settled").value)):
        try:
            best = _clearest(ledger.case)
        except DomainError:
            return ledger
        if best is None:
            return ledger
        ledger = (
            _without(ledger, best.number)
            if best.explained.key == _WRONG
            else _with_something_unlogged(ledger, best.number, zone)
        )
    return ledger


def level_spread_in(case: Case) -> float:
    """Return by how much something unlogged may have moved a level: as far as it ranged. Raises DomainError."""
    found = posterior_of(case)
    return float(found.mean.max() - found.mean.min()) or max(float(found.sd.max()), _CLEAREST)


def _clearest(case: Case) -> _Settled | None:
    """Return what explains all readings far better than if nothing were wrong, and far better than anything else.

    None where that is about the newest reading, which no later one has settled yet, or about the strength of the doses,
    which is no slip of one day.
    """
    odd = list(_odd(case))
    newest = len(case.readings) - 1
    if not any(number < newest for number in odd):
        return None
    spread = level_spread_in(case)
    thought_of = [_Settled(n, one) for n in odd for one in explanations_in(case, n, level_spread=spread)]
    best = max(thought_of, key=lambda one: one.explained.log_evidence)
    top = best.explained.log_evidence
    if best.number == newest or best.explained.key not in {_WRONG, _UNLOGGED}:
        return None
    gained, share = (
        top - log_evidence_in(case),
        1.0 / sum(math.exp(one.explained.log_evidence - top) for one in thought_of),
    )
    is_clear = gained >= math.log(knowledge.figure("reckoning.settling_odds").value)
    return best if is_clear and share >= knowledge.figure("reckoning.settling_share").value else None


def _odd(case: Case) -> Iterator[int]:
    """Yield the readings that do not fit, the oddest few."""
    if len(case.readings) < _FEWEST:
        return
    tail = knowledge.figure("reckoning.surprising_tail").value
    fits = sorted((fit for fit in fits_in(case) if fit.tail < tail), key=lambda fit: fit.tail)
    yield from (fit.number for fit in fits[: int(knowledge.figure("reckoning.most_explained").value)])


def _without(ledger: LedgerCase, number: int) -> LedgerCase:
    case, wrong = ledger.case, ledger.entry(ledger.case.readings[number].entry)
    readings = (*case.readings[:number], *case.readings[number + 1 :])
    return replace(
        ledger,
        case=replace(case, readings=readings),
        entries=tuple(one for one in ledger.entries if one is not wrong),
        left_out=(*ledger.left_out, *([LeftOut(wrong, _SET_ASIDE)] if wrong is not None else [])),
    )


def _with_something_unlogged(ledger: LedgerCase, number: int, zone: tzinfo) -> LedgerCase:
    from pratique.science.estimation.surprises import with_unlogged  # noqa: PLC0415 - loads the compiled loops

    moment = ledger.moment_of(ledger.case.readings[number].day).astimezone(zone)
    name = knowledge.constituent(ledger.constituent).name
    said = f"Something nobody wrote down seems to have moved {name} before the reading of {day_words(moment.date())}."
    case = with_unlogged(ledger.case, number, level_spread_in(ledger.case))
    return replace(ledger, case=case, assumed=(*ledger.assumed, said))
