"""How likely each resident fights a newcomer to its harm, why, and how to let the newcomer in.

Odds that add up over reasons. Their order is that of print and custom, their sizes are guesses; so what is told is
which resident to fear most and why, and the chance only roughly.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from pratique.knowledge.introduction import IntroductionFigure, introduction_figure, introduction_figures


@dataclass(frozen=True)
class Fish:
    """One animal: `genus` is the first Latin word; lengths are total lengths in cm, None where nothing tells it."""

    name: str
    species: str
    genus: str
    family: str
    length_cm: float | None = None
    adult_length_cm: tuple[float, float] | None = None

    @property
    def likely_length_cm(self) -> float | None:
        """Return the length told, else the middle of the adult range; a young animal may be far shorter."""
        if self.length_cm is not None or self.adult_length_cm is None:
            return self.length_cm
        return sum(self.adult_length_cm) / 2.0


@dataclass(frozen=True)
class Resident:
    """An animal of the tank, how many days it has been there, and how many it saw the newcomer in a box in view."""

    fish: Fish
    days_there: float
    days_in_view: float = 0.0


@dataclass(frozen=True)
class Risk:
    """What is to be feared from one resident: a rough chance, its reasons, and the rule against the pair, if any."""

    resident: Fish
    chance: float
    reasons: tuple[IntroductionFigure, ...]
    never: IntroductionFigure | None
    not_known: tuple[str, ...]


@dataclass(frozen=True)
class Plan:
    """How to let one in: the risks, worst first, days in a box in view, steps and what to watch."""

    risks: tuple[Risk, ...]
    box: IntroductionFigure
    steps: tuple[IntroductionFigure, ...]
    watch: tuple[IntroductionFigure, ...]

    @property
    def never(self) -> tuple[Risk, ...]:
        """Return those it should not be put with at all."""
        return tuple(risk for risk in self.risks if risk.never is not None)


def plan_of(newcomer: Fish, residents: Sequence[Resident], *, tank_l: float | None) -> Plan:
    """Return how to let a newcomer into a tank of so many litres (None: not known)."""
    risks = sorted(
        (_risk(newcomer, resident, tank_l) for resident in residents), key=lambda one: one.chance, reverse=True
    )
    worst = risks[0].chance if risks else 0.0
    has_rival = any(risk.chance >= introduction_figures("box days")[0].upper for risk in risks)
    steps = introduction_figures("step")
    return Plan(
        risks=tuple(risks),
        box=next(one for one in introduction_figures("box days") if worst <= one.upper),
        steps=(*introduction_figures("step for rivals"), *steps) if has_rival else steps,
        watch=introduction_figures("watch"),
    )


def _risk(newcomer: Fish, resident: Resident, tank_l: float | None) -> Risk:
    reasons = (
        *_kinship(newcomer, resident.fish, tank_l),
        *_size(newcomer, resident.fish),
        *_standing(resident),
    )
    odds = introduction_figure("base").log_odds + sum(reason.log_odds for reason in reasons)
    return Risk(
        resident=resident.fish,
        chance=1.0 / (1.0 + math.exp(-odds)),
        reasons=tuple(sorted(reasons, key=lambda one: -abs(one.log_odds))),
        never=_never(newcomer, resident.fish, tank_l),
        not_known=_not_known(newcomer, resident.fish, tank_l),
    )


def _kinship(newcomer: Fish, resident: Fish, tank_l: float | None) -> list[IntroductionFigure]:
    """Return how near of kind they are, and whether the tank is small for that."""
    small = introduction_figure("small tank")
    if newcomer.species == resident.species:
        found = [introduction_figure("same species")]
    elif newcomer.genus and newcomer.genus == resident.genus:
        found = [introduction_figure("same genus")]
    elif newcomer.family == resident.family:
        return [introduction_figure("same family")]
    else:
        return []
    if tank_l is not None and small.litres is not None and tank_l < small.litres:
        found.append(small)
    return found


def _size(newcomer: Fish, resident: Fish) -> list[IntroductionFigure]:
    """Return what the lengths say: the newcomer's over the resident's."""
    mine, theirs = newcomer.likely_length_cm, resident.likely_length_cm
    if mine is None or theirs is None or theirs <= 0.0:
        return []
    like, larger = introduction_figure("like size"), introduction_figure("larger resident")
    if like.lower <= mine / theirs <= like.upper:
        return [like]
    return [larger] if mine / theirs < larger.upper else []


def _standing(resident: Resident) -> list[IntroductionFigure]:
    """Return what the resident holds, how long it has been there, and whether it has seen the newcomer."""
    territory, long, box = (introduction_figure(kind) for kind in ("territory", "long resident", "box in view"))
    holds = resident.fish.family in territory.families or resident.fish.genus in territory.genera
    found = [territory] if holds else []
    if holds and resident.days_there >= long.days:
        found.append(long)
    if resident.days_in_view >= box.days:
        found.append(box)
    return found


def _never(newcomer: Fish, resident: Fish, tank_l: float | None) -> IntroductionFigure | None:
    """Return the rule of custom that speaks against the pair, if one does; an unknown tank counts as small."""
    for rule in introduction_figures("never together"):
        if newcomer.genus not in rule.genera or resident.genus not in rule.genera:
            continue
        if rule.is_across_species and newcomer.species == resident.species:
            continue
        if rule.litres is None or tank_l is None or tank_l < rule.litres:
            return rule
    return None


def _not_known(newcomer: Fish, resident: Fish, tank_l: float | None) -> tuple[str, ...]:
    """Return what would make the chance better, in words."""
    found = [f"the length of {fish.name}" for fish in (newcomer, resident) if fish.length_cm is None]
    if tank_l is None:
        found.append("how much water the tank holds")
    return tuple(found)
