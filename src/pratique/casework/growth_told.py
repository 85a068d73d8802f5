"""The verdict on a growth in words: candidates, why, what does not fit, and what to look at next."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from uuid import UUID

from pratique import knowledge
from pratique.casework.growth_measured import Measured
from pratique.casework.reckoning.memory import MEMORY
from pratique.casework.sheets.growth import CandidateLine, LookLine, WhyLine
from pratique.casework.sheets.lines import NextStep
from pratique.casework.words import listed, percent, sentence_case
from pratique.knowledge.candidates import candidates, model_figure
from pratique.ledger.entries import Recorded
from pratique.ledger.kinds.care import Finding
from pratique.science.chemistry.domain import DomainError
from pratique.science.growths.differential import NextLook, Reasoned, Verdict, next_looks, table, verdict

_SMALL = 2**12
_LOOKS = 6
_LEAST_TOLD = 0.3
_TIED = 0.02
_ANSWERS = {"present": True, "absent": False}


@dataclass(frozen=True)
class Made:
    """The findings that stand: the newest answer to each, and the entry that gave it."""

    answers: Mapping[str, bool]
    entries: Mapping[str, UUID]


@dataclass(frozen=True)
class Judged:
    """The verdict with the looks that are left; None where the answers cannot all be true."""

    verdict: Verdict | None
    looks: tuple[NextLook, ...]


def made_of(findings: Sequence[tuple[Recorded, Finding]]) -> Made:
    """Return the newest answer to each finding that the table knows; a number is no answer."""
    known = {*table().findings, *table().context}
    told = [(one, found) for one, found in findings if found.finding in known and found.state in _ANSWERS]
    return Made(
        {found.finding: _ANSWERS[found.state] for _, found in told}, {found.finding: one.id for one, found in told}
    )


def with_measured(made: Made, findings: Sequence[tuple[Recorded, Finding]], measured: Measured) -> Made:
    """Return the findings with what the newest movement answers, unless the keeper looked again since."""
    if measured.motion is None:
        return made
    moved = measured.motion
    newest = {told.finding: one.happened_at for one, told in findings}
    counts = {
        key: yes for key, yes in measured.answers.items() if key not in made.answers or newest[key] <= moved.happened_at
    }
    return Made({**made.answers, **counts}, {**made.entries, **dict.fromkeys(counts, moved.id)})


def clip_contradictions(findings: Sequence[tuple[Recorded, Finding]], measured: Measured) -> tuple[str, ...]:
    """Return where what the keeper noted and what the newest clip shows say the opposite, and which of them counts."""
    noted = made_of(findings).answers
    counting = with_measured(made_of(findings), findings, measured)
    return tuple(
        f"“{_words(key)}” was noted as {'yes' if noted[key] else 'no'}, and the cells followed say "
        f"{'yes' if yes else 'no'}: what came later counts, the {'clip' if counting.answers[key] == yes else 'note'}. "
        "Look again at a fresh sample."
        for key, yes in measured.answers.items()
        if noted.get(key, yes) != yes
    )


def judged(answers: Mapping[str, bool], odds: Mapping[str, float] | None = None) -> Judged:
    """Return what the answers, and the odds of what was measured, make of it; reckoned once for the same."""
    told, weighed = dict(sorted(answers.items())), dict(sorted((odds or {}).items()))
    key = ("growth", tuple(told.items()), tuple(weighed.items()))
    return MEMORY.recall(key, lambda: _judged(told, weighed), size_of=lambda _: _SMALL)


def _judged(answers: Mapping[str, bool], odds: Mapping[str, float]) -> Judged:
    try:
        return Judged(verdict(answers, soft_odds=odds), next_looks(answers, soft_odds=odds))
    except DomainError:
        return Judged(None, ())


def candidate_lines(found: Verdict) -> tuple[CandidateLine, ...]:
    """Return every candidate, the likeliest first."""
    return tuple(
        CandidateLine(
            key=key,
            name=sentence_case(candidates()[key].name),
            chance=chance,
            low=found.ranges[key][0],
            high=found.ranges[key][1],
            harm=candidates()[key].harm,
        )
        for key, chance in found.chances.items()
    )


def gist_words(found: Judged, count: int) -> str:
    """Return what it probably is, in one sentence or two."""
    if found.verdict is None:
        return "What was found cannot all be true of one growth. Look again at what was noted below."
    if not count:
        return "Nothing has been noted of it yet. One look with a torch is a beginning."
    first, second = list(found.verdict.chances.items())[:2]
    if found.verdict.leading == "something_else":
        return "Nothing that is named here fits well; it may be something else."
    names = [candidates()[key].name for key, _ in (first, second)]
    if first[1] - second[1] < _LEAST_TOLD:
        return f"Not settled: {names[0]} {percent(first[1])} likely, {names[1]} {percent(second[1])}."
    return f"Probably {names[0]}, {percent(first[1])} likely."


def why_lines(found: Verdict, made: Made) -> tuple[WhyLine, ...]:
    """Return what each finding does to the verdict, the weightiest first."""
    ordered = sorted(found.reasons, key=lambda one: -max(abs(move) for move in one.moves.values()))
    return tuple(
        WhyLine(
            words=f"{'Yes' if made.answers[one.finding] else 'No'}: {_words(one.finding)}",
            says=_moved(one),
            entry=made.entries.get(one.finding),
        )
        for one in ordered
    )


def _moved(one: Reasoned) -> str:
    """Return which candidates a finding speaks for and against, and that it is weak where it is."""
    up = sorted((move, key) for key, move in one.moves.items() if move >= _LEAST_TOLD)[::-1][:3]
    down = sorted((move, key) for key, move in one.moves.items() if move <= -_LEAST_TOLD)[:3]
    said = [
        f"{side} {listed([candidates()[key].name for _, key in some])}"
        for side, some in (("for", up), ("against", down))
        if some
    ]
    if not said:
        return "Says nearly nothing."
    is_weak = max(abs(move) for move in one.moves.values()) < model_figure("weak_log_odds")
    return f"{'Weak evidence' if is_weak else 'Speaks'} {', and '.join(said)}."


def contradiction_words(found: Verdict | None) -> tuple[str, ...]:
    """Return the pairs of findings that no one growth shows well."""
    pairs = () if found is None else found.contradicting
    return tuple(
        f"“{_words(one)}” and “{_words(other)}” hardly go together in one growth: look again, or there are two."
        for one, other in pairs
    )


def turning_words(found: Judged) -> str:
    """Return which single look would most likely turn the verdict, and to what."""
    if found.verdict is None:
        return ""
    leading = found.verdict.leading
    turning = [
        (chance, one, leader, answer)
        for one in found.looks
        for chance, leader, answer in ((one.yes, one.leader_if_yes, "yes"), (1.0 - one.yes, one.leader_if_no, "no"))
        if leader != leading
    ]
    if not turning:
        return "No single look would turn this."
    chance, one, leader, answer = max(turning, key=lambda some: some[0])
    chances = found.verdict.chances
    verb = "settle on" if chances[leading] - chances[leader] < _TIED else "turn to"
    return (
        f"It would {verb} {candidates()[leader].name} by a {answer} to “{_words(one.finding)}”, which is "
        f"{percent(chance)} likely."
    )


def look_lines(found: Judged, case: str) -> tuple[LookLine, ...]:
    """Return the looks most worth their time, and those that tell nearly nothing, said so."""
    told = [*[one for one in found.looks if not one.is_trap][:_LOOKS], *[one for one in found.looks if one.is_trap][:2]]
    return tuple(_look(one, case) for one in told)


def _look(one: NextLook, case: str) -> LookLine:
    kind = knowledge.finding_kind(one.finding)
    says = (
        "Tells next to nothing, whichever way it comes out."
        if one.is_trap
        else f"Yes is {percent(one.yes)} likely; yes would point to {candidates()[one.leader_if_yes].name}, no to "
        f"{candidates()[one.leader_if_no].name}."
    )
    return LookLine(
        words=kind.words,
        picture=kind.key,
        tool=kind.tool,
        minutes=kind.minutes,
        says=says,
        bits=one.bits,
        step=NextStep("Note it", form="finding", answers=(("case", case), ("finding", kind.key))),
    )


def is_perhaps_toxic(found: Judged) -> bool:
    """Return whether handling cautions stand: always but where harm is next to ruled out."""
    return found.verdict is None or found.verdict.toxic >= model_figure("harmful_from")


def _words(finding: str) -> str:
    return knowledge.finding_kind(finding).words.rstrip(".")
