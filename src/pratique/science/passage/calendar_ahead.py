"""The earliest day on which what keeps a gate shut can be met, if all goes well from now on."""

from collections.abc import Iterable
from dataclasses import dataclass

from pratique import knowledge
from pratique.knowledge import Leg
from pratique.science.passage.gates import FREE_OF, Criterion, Finding, PassageFacts

_DAYS = "days"


@dataclass(frozen=True)
class Ahead:
    """Days from now until something can be met: 0 where it is; None, with the reason, where no day can be told."""

    days: float | None
    words: str = ""


def ahead(criterion: Criterion, finding: Finding, facts: PassageFacts) -> Ahead:
    """Return when one criterion can be met at the earliest."""
    if finding.status == "met":
        return Ahead(0.0)
    if criterion.key.startswith(FREE_OF):
        return _clear_ahead(criterion, facts)
    again = knowledge.figure("clearance.count_again_days").value
    told = {
        "clean_move": Ahead(0.0, "with the move"),
        "breathing_normal": Ahead(again, "if it is counted calm"),
        "condition_holding": _condition_ahead(finding),
        "days_at_target": _at_target_ahead(criterion, facts),
        knowledge.PROTOCOL_KNOWN: Ahead(None, "this version does not know the protocol"),
    }
    return told.get(criterion.key) or Ahead(max(criterion.required - (finding.value or 0.0), 0.0))


def _clear_ahead(criterion: Criterion, facts: PassageFacts) -> Ahead:
    found = facts.clear.get(criterion.key.removeprefix(FREE_OF))
    if found is None:
        return Ahead(None, "not known")
    if found.reached_in_days is None:
        horizon = knowledge.figure("clearance.horizon_days").value
        return Ahead(None, f"not within {horizon:g} days as things stand: it needs treatment, or moves to clean tanks")
    return Ahead(found.reached_in_days)


def _at_target_ahead(criterion: Criterion, facts: PassageFacts) -> Ahead:
    held = facts.at_target
    if held is None or held.run is None:
        return Ahead(None, "no course is held in its water now")
    return Ahead(max(criterion.required - held.run, 0.0), "if the level is held from now on")


def _condition_ahead(finding: Finding) -> Ahead:
    apart = knowledge.figure("clearance.pictures_apart_days").value
    words = "if the next picture says that it holds" if finding.status == "not met" else "with a second picture then"
    return Ahead(apart, words)


def all_ahead(found: Iterable[Ahead]) -> Ahead:
    """Return when all of several can be met: the latest of them, None where one has no day."""
    some = list(found)
    unknown = [one for one in some if one.days is None]
    if unknown:
        return Ahead(None, unknown[0].words)
    return max(some, key=lambda one: one.days or 0.0, default=Ahead(0.0))


def least_days(leg: Leg) -> float:
    """Return the least days a leg takes: those its protocol gives it, or that its gate asks for."""
    asked = [one.required for one in leg.criteria if one.unit == _DAYS]
    return max([leg.days, *asked])
