"""Whether the gate at the end of a leg is open: each criterion met, not met, or not known."""

import math
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Literal

from pratique import knowledge
from pratique.knowledge import Leg
from pratique.science.estimation.reading import NORMAL_95
from pratique.science.passage.clear import ClearChance
from pratique.units import THIN_SPACE

# With the parasite's key behind it: that no stage of it lives on the animals, or in water moved with them.
FREE_OF = "free_of_"

type FindingStatus = Literal["met", "not met", "not known"]


@dataclass(frozen=True)
class Criterion:
    """What must stand: a key the facts answer, the keeper's words, and the number required with its unit."""

    key: str
    words: str
    required: float
    unit: str


@dataclass(frozen=True)
class Finding:
    """One criterion judged, with the number found, a sentence, the entries behind it and how to make it known."""

    status: FindingStatus
    value: float | None
    words: str
    entries: tuple[str, ...]
    how_to_know: str
    key: str


@dataclass(frozen=True)
class Reached:
    """How likely a number of days was reached, and one standard error of the trajectories it was counted on."""

    probability: float
    monte_carlo_error: float = 0.0


@dataclass(frozen=True)
class AtTarget:
    """How long an animal was held at target without a break, as far as it is known.

    `days` are those held with 95 %; `reached` says for each number of days asked for how likely it was reached. `run`
    are the days that stand at its end and go on counting; None where it is held no longer.
    """

    days: float
    reached: Mapping[float, Reached]
    run: float | None = None


@dataclass(frozen=True)
class PassageFacts:
    """What is known of one animal; None is not known. `entries` maps a field to the ledger entries behind it.

    `clear` says for each parasite how likely the animal is free of it; one that is left out is not known.
    """

    at_target: AtTarget | None = None
    in_clean_tank: bool | None = None
    days_eating: float | None = None
    days_without_signs: float | None = None
    breathing_state: str | None = None
    condition_probability_falling: float | None = None
    days_since_medicine: float | None = None
    days_in_box: float | None = None
    days_without_chasing: float | None = None
    clear: Mapping[str, ClearChance] = field(default_factory=lambda: MappingProxyType({}))
    entries: Mapping[str, tuple[str, ...]] = field(default_factory=lambda: MappingProxyType({}))


@dataclass(frozen=True)
class Gate:
    """A gate is open only when every criterion is met or overridden; one that is not known keeps it shut.

    `overridden` are the keys of the criteria the keeper lets count in words that the ledger keeps.
    """

    is_open: bool
    findings: tuple[Finding, ...]
    overridden: frozenset[str] = frozenset()


_DAYS: Mapping[str, tuple[str, str]] = MappingProxyType(
    {
        "days_eating": ("days_eating", "Watch it at feeding time and tap how it fed."),
        "days_without_signs": (
            "days_without_signs",
            "Look it over under white light and log what you see, or that you see nothing.",
        ),
        "days_since_medicine": (
            "days_since_medicine",
            "Log the end of the course, or the move to water without medicine; after copper, read it there.",
        ),
        "days_in_box": ("days_in_box", "Log the move into the box."),
        "no_chasing_days": (
            "days_without_chasing",
            "Watch it beside the residents for ten minutes and log the behaviour.",
        ),
    }
)


def criteria_of(leg: Leg) -> tuple[Criterion, ...]:
    """Return the criteria that a leg of a shipped protocol puts at its end."""
    return tuple(Criterion(c.key, c.words, c.required, c.unit) for c in leg.criteria)


def gate(criteria: Iterable[Criterion], facts: PassageFacts, *, overridden: Iterable[str] = ()) -> Gate:
    """Return the gate that the facts leave open or shut, with the criteria that were let count all the same."""
    findings = tuple(judge(criterion, facts) for criterion in criteria)
    counts = frozenset(overridden)
    held = frozenset(one.key for one in findings if one.status != "met" and one.key in counts)
    is_open = all(one.status == "met" or one.key in held for one in findings)
    return Gate(is_open=is_open, findings=findings, overridden=held)


def judge(criterion: Criterion, facts: PassageFacts) -> Finding:
    """Return whether one criterion is met; ValueError for a key that no fact answers."""
    if criterion.key == knowledge.PROTOCOL_KNOWN:
        how = "Open the household with the version of this program that wrote it."
        return Finding("not known", None, f"{criterion.words}: not known.", (), how, criterion.key)
    kind = FREE_OF if criterion.key.startswith(FREE_OF) else "days" if criterion.key in _DAYS else criterion.key
    if kind not in _JUDGES:
        raise ValueError(f"No fact answers the criterion “{criterion.key}”.")
    return _JUDGES[kind](criterion, facts)


def _judge_days(criterion: Criterion, facts: PassageFacts) -> Finding:
    name, how = _DAYS[criterion.key]
    days: float | None = getattr(facts, name)
    entries = facts.entries.get(name, ())
    if days is None:
        return Finding("not known", None, f"{criterion.words}: not known.", entries, how, criterion.key)
    # Days are shown whole and rounded down, so the page never shows the number required before it is reached.
    shown = f"{math.floor(days + 1e-9)}{THIN_SPACE}{criterion.unit}, {criterion.required:g} needed"
    status: FindingStatus = "met" if days + 1e-9 >= criterion.required else "not met"
    return Finding(status, days, f"{criterion.words}: {shown}.", entries, "", criterion.key)


def _judge_at_target(criterion: Criterion, facts: PassageFacts) -> Finding:
    """Judge the days at target: met once they were reached with the probability that counts as met."""
    held, entries = facts.at_target, facts.entries.get("at_target", ())
    if held is None or criterion.required not in held.reached:
        how = "Log the doses, the water changes and a reading every day."
        return Finding("not known", None, f"{criterion.words}: not known.", entries, how, criterion.key)
    reached, needed = held.reached[criterion.required], knowledge.figure("gate.held_probability").value
    status: FindingStatus = "met" if reached.probability >= needed else "not met"
    days = f"{math.floor(held.days + 1e-9)}{THIN_SPACE}{criterion.unit} with 95{THIN_SPACE}%"
    # Both are rounded down, so that the page never shows what is required before it is reached.
    shown = _percent(math.floor(100.0 * reached.probability + 1e-9) / 100.0)
    chance = f"{criterion.required:g} reached with {shown}{_drawn_words(reached)}"
    words = f"{criterion.words}: {days}; {chance}, {_percent(needed)} needed."
    return Finding(status, held.days, words, entries, "", criterion.key)


def _judge_clear(criterion: Criterion, facts: PassageFacts) -> Finding:
    """Judge the chance that no stage lives on the animals, or in water moved with them."""
    found, entries = facts.clear.get(criterion.key.removeprefix(FREE_OF)), facts.entries.get("clear", ())
    if found is None:
        how = "Log its moves, the doses, and readings of the medicine and of the temperature."
        return Finding("not known", None, f"{criterion.words}: not known.", entries, how, criterion.key)
    status: FindingStatus = "met" if found.probability >= criterion.required else "not met"
    # Rounded down, so that the page never shows what is required before it is reached.
    shown, low = (_percent(math.floor(100.0 * one + 1e-9) / 100.0) for one in (found.probability, found.low))
    between = f"{low} to {_percent(found.high)} by what is not known of it"
    words = f"{criterion.words}: {shown} likely, {_percent(criterion.required)} needed; {between}."
    return Finding(status, found.probability, words, entries, "", criterion.key)


def _drawn_words(reached: Reached) -> str:
    """Return what drawing trajectories adds to a probability, 95 %, where it shows in whole per cent."""
    points = round(100.0 * NORMAL_95 * reached.monte_carlo_error)
    return f" ± {points} (drawn)" if points else ""


def _judge_clean_move(criterion: Criterion, facts: PassageFacts) -> Finding:
    entries = facts.entries.get("in_clean_tank", ())
    if facts.in_clean_tank is None:
        how = "Log which tank it is in now, and read copper there."
        return Finding("not known", None, f"{criterion.words}: not known.", entries, how, criterion.key)
    status: FindingStatus = "met" if facts.in_clean_tank else "not met"
    words = "done" if facts.in_clean_tank else "not yet"
    return Finding(status, float(facts.in_clean_tank), f"{criterion.words}: {words}.", entries, "", criterion.key)


def _judge_breathing(criterion: Criterion, facts: PassageFacts) -> Finding:
    entries = facts.entries.get("breathing_state", ())
    if facts.breathing_state in {None, "unknown"}:
        how = "Count its gill beats for half a minute, undisturbed and unfed, on a few days."
        return Finding("not known", None, f"{criterion.words}: not known.", entries, how, criterion.key)
    is_normal = facts.breathing_state == "normal"
    words = f"{criterion.words}: {facts.breathing_state}."
    return Finding("met" if is_normal else "not met", float(is_normal), words, entries, "", criterion.key)


def _judge_condition(criterion: Criterion, facts: PassageFacts) -> Finding:
    """Judge the body: from the required probability of falling on, it no longer counts as holding."""
    probability = facts.condition_probability_falling
    entries = facts.entries.get("condition_probability_falling", ())
    if probability is None:
        how = "Photograph it side-on twice, some days apart, and mark its depth and length."
        return Finding("not known", None, f"{criterion.words}: not known.", entries, how, criterion.key)
    shown = f"{_percent(probability)} likely to be growing thin, under {_percent(criterion.required)} needed"
    status: FindingStatus = "met" if probability < criterion.required else "not met"
    return Finding(status, probability, f"{criterion.words}: {shown}.", entries, "", criterion.key)


def _percent(probability: float) -> str:
    """Return a probability for people, never as a false 0 or 100."""
    if probability < 0.01:
        return f"under 1{THIN_SPACE}%"
    if probability > 0.99:
        return f"over 99{THIN_SPACE}%"
    return f"{probability * 100:.0f}{THIN_SPACE}%"


_JUDGES: Mapping[str, Callable[[Criterion, PassageFacts], Finding]] = MappingProxyType(
    {
        FREE_OF: _judge_clear,
        "days": _judge_days,
        "days_at_target": _judge_at_target,
        "clean_move": _judge_clean_move,
        "breathing_normal": _judge_breathing,
        "condition_holding": _judge_condition,
    }
)
