"""What a growth is likely to be: the shipped table as a network, its verdict on what was found, and why."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from itertools import combinations
from math import log

import numpy as np
from numpy.typing import NDArray

from pratique.knowledge.candidates import (
    candidates,
    chance_of,
    finding_rows,
    first_action,
    model_figure,
)
from pratique.knowledge.findings import finding_kind, finding_kinds
from pratique.science.chemistry.domain import DomainError
from pratique.science.growths.looks import Look, looks
from pratique.science.growths.network import Floats, Network, Posterior, links_of, posterior, spread

SOMETHING_ELSE = "something_else"
_FEWEST_OF_A_GROUP = 2


@dataclass(frozen=True)
class Table:
    """The table of findings and candidates as numbers: rows are findings that are looked for, in the order of the keys.

    `cells` are the chances of a yes with one candidate alone; `context` is what a yes and a no of a row of context
    multiply the odds of each candidate by. `actions` numbers what is done first against each candidate.
    """

    candidates: tuple[str, ...]
    findings: tuple[str, ...]
    network: Network
    cells: Floats
    context: Mapping[str, tuple[Floats, Floats]]
    actions: NDArray[np.int64]


@dataclass(frozen=True)
class Reasoned:
    """One finding's part in the verdict: by how much it moves each candidate's log-odds, all else told."""

    finding: str
    moves: Mapping[str, float]


@dataclass(frozen=True)
class Verdict:
    """Chances of every candidate with the 5 and 95 % points that the doubt of the table leaves, the likeliest first.

    `toxic` is the chance that any candidate that may do harm is there. `reasons` are the findings made, and
    `contradicting` pairs of them that no one growth shows well together.
    """

    chances: Mapping[str, float]
    ranges: Mapping[str, tuple[float, float]]
    toxic: float
    reasons: tuple[Reasoned, ...]
    contradicting: tuple[tuple[str, str], ...]

    @property
    def leading(self) -> str:
        """Return the likeliest candidate."""
        return next(iter(self.chances))


@dataclass(frozen=True, slots=True)
class NextLook:
    """One finding not yet made: how likely a yes, the bits it is expected to tell, and how far it settles what to do.

    `worth` is the bits, less for the time it takes. `leader_if_yes` and `leader_if_no` are the likeliest candidates
    after either answer; `is_trap` says that it tells next to nothing whichever way it comes out.
    """

    finding: str
    yes: float
    bits: float
    worth: float
    settles: float
    leader_if_yes: str
    leader_if_no: str
    is_trap: bool


@cache
def table() -> Table:
    """Return the shipped table; "something else" shows anything, and nothing of it well."""
    keys, rows = tuple(candidates()), finding_rows()
    leak, plain = chance_of("very unlikely"), chance_of("neutral")
    looked_for = tuple(key for key, row in rows.items() if not row.context)

    def cell(finding: str, candidate: str) -> float:
        word = rows[finding].cells.get(candidate)
        return model_figure("something_else_cell") if word is None else chance_of(word)

    cells = np.array([[cell(one, candidate) for candidate in keys] for one in looked_for])
    leaks = np.full(len(looked_for), leak)
    neutral = np.array([[rows[one].cells.get(candidate) == "neutral" for candidate in keys] for one in looked_for])
    return Table(
        candidates=keys,
        findings=looked_for,
        network=Network(
            priors=np.full(len(keys), model_figure("prior")),
            links=np.where(neutral, 0.0, links_of(cells, leaks)),
            leaks=leaks,
            group=_groups(looked_for),
            cause_prior=model_figure("common_cause_prior"),
            cause_link=model_figure("common_cause_link"),
        ),
        cells=cells,
        context={key: _odds(key, keys, plain) for key, row in rows.items() if row.context},
        actions=np.array([_numbered(first_action(one)) for one in keys], dtype=np.int64),
    )


def _odds(finding: str, keys: tuple[str, ...], plain: float) -> tuple[Floats, Floats]:
    """Return what a yes and a no of a row of context multiply the odds by; nothing where the row has no word."""
    cells = finding_rows()[finding].cells
    chances = np.array([chance_of(cells[one]) if one in cells else plain for one in keys])
    return chances / plain, (1.0 - chances) / (1.0 - plain)


@cache
def _actions() -> dict[str, int]:
    return {one: number for number, one in enumerate(sorted({first_action(key) for key in candidates()}))}


def _numbered(action: str) -> int:
    return _actions()[action]


def _groups(findings: tuple[str, ...]) -> NDArray[np.int64]:
    """Return the hidden cause of each finding: one for each group of two and more, -1 for a finding by itself."""
    named = {one.key: one.group for one in finding_kinds()}
    of = [named[one] for one in findings]
    shared = sorted({one for one in of if of.count(one) >= _FEWEST_OF_A_GROUP})
    return np.array([shared.index(one) if one in shared else -1 for one in of], dtype=np.int64)


def verdict(answers: Mapping[str, bool], *, soft_odds: Mapping[str, float] | None = None, draws: int = 200) -> Verdict:
    """Return what the answers, by finding, make of the candidates; `soft_odds` multiply the odds of some of them.

    KeyError for a finding the table does not hold; DomainError where the answers cannot all be true.
    """
    shipped, evidence, odds = _asked(answers, soft_odds or {})
    found = _posterior(shipped.network, evidence, odds)
    points = spread(shipped.network, shipped.cells, evidence, odds=odds, count=model_figure("cell_count"), draws=draws)
    order = np.argsort(-found.chances, kind="stable")
    return Verdict(
        chances={shipped.candidates[c]: float(found.chances[c]) for c in order},
        ranges={
            shipped.candidates[c]: (
                min(float(points[0, c]), float(found.chances[c])),
                max(float(points[2, c]), float(found.chances[c])),
            )
            for c in order
        },
        toxic=_any_of(found, [n for n, key in enumerate(shipped.candidates) if candidates()[key].harm]),
        reasons=_reasons(answers, found, soft_odds or {}),
        contradicting=_contradicting(shipped, evidence),
    )


def next_looks(
    answers: Mapping[str, bool], *, soft_odds: Mapping[str, float] | None = None, waiting: tuple[str, ...] | None = None
) -> tuple[NextLook, ...]:
    """Return every look not yet made, or those named, the one most worth its time first. Raises as `verdict` does."""
    shipped, evidence, odds = _asked(answers, soft_odds or {})
    found = _posterior(shipped.network, evidence, odds)
    open_rows = [
        row for row, key in enumerate(shipped.findings) if row not in evidence and (waiting is None or key in waiting)
    ]
    ranked = looks(shipped.network, found, evidence, open_rows, shipped.actions)
    return tuple(sorted((_told(shipped, one) for one in ranked), key=lambda one: -one.worth))


def _told(shipped: Table, one: Look) -> NextLook:
    finding = shipped.findings[one.finding]
    minutes = finding_kind(finding).minutes
    return NextLook(
        finding=finding,
        yes=one.yes,
        bits=one.bits,
        worth=one.bits / (1.0 + minutes / model_figure("halving_minutes")),
        settles=one.settles,
        leader_if_yes=shipped.candidates[int(np.argmax(one.after_yes))],
        leader_if_no=shipped.candidates[int(np.argmax(one.after_no))],
        is_trap=one.bits < model_figure("trap_bits"),
    )


def _asked(answers: Mapping[str, bool], soft_odds: Mapping[str, float]) -> tuple[Table, dict[int, bool], Floats]:
    shipped = table()
    strange = [one for one in answers if one not in shipped.findings and one not in shipped.context]
    if strange:
        raise KeyError(f"There is no finding “{strange[0]}”.")
    odds = np.array([soft_odds.get(one, 1.0) for one in shipped.candidates])
    for key, is_yes in answers.items():
        if key in shipped.context:
            odds = odds * shipped.context[key][0 if is_yes else 1]
    evidence = {shipped.findings.index(key): is_yes for key, is_yes in answers.items() if key in shipped.findings}
    return shipped, evidence, odds


def _posterior(network: Network, evidence: Mapping[int, bool], odds: Floats) -> Posterior:
    try:
        return posterior(network, evidence, odds)
    except ValueError as impossible:
        raise DomainError(str(impossible)) from impossible


def _any_of(found: Posterior, members: list[int]) -> float:
    """Return the chance that any of some candidates is there."""
    mask = sum(1 << one for one in members)
    none = (np.arange(len(found.weights)) & mask) == 0
    return float(1.0 - found.weights[none].sum())


def _reasons(answers: Mapping[str, bool], found: Posterior, soft_odds: Mapping[str, float]) -> tuple[Reasoned, ...]:
    """Return what each finding does: the log-odds with it, less those without it."""
    names = table().candidates
    told = []
    for key in answers:
        shipped, evidence, odds = _asked({one: yes for one, yes in answers.items() if one != key}, soft_odds)
        without = _posterior(shipped.network, evidence, odds).chances
        moved = _log_odds(found.chances) - _log_odds(without)
        told.append(Reasoned(key, {name: float(one) for name, one in zip(names, moved, strict=True)}))
    return tuple(told)


def _log_odds(chances: Floats) -> Floats:
    kept = np.clip(chances, 1e-12, 1.0 - 1e-12)
    return np.asarray(np.log(kept) - np.log1p(-kept))


def _contradicting(shipped: Table, evidence: Mapping[int, bool]) -> tuple[tuple[str, str], ...]:
    """Return pairs seen together far less often than each by itself would make them."""
    alone = {row: posterior(shipped.network, {row: yes}).log_evidence for row, yes in evidence.items()}
    least = log(model_figure("contradiction_ratio"))
    return tuple(
        (shipped.findings[one], shipped.findings[other])
        for one, other in combinations(sorted(evidence), 2)
        if posterior(shipped.network, {one: evidence[one], other: evidence[other]}).log_evidence
        < alone[one] + alone[other] + least
    )
