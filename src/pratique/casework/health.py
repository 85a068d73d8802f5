"""How each animal is: how it feeds, breathes, holds its shape, and how rested it is."""

from dataclasses import dataclass
from functools import cached_property

from pratique import knowledge
from pratique.casework.appetites import Appetites
from pratique.casework.earlier import Earlier
from pratique.casework.exposures import ammonia_exposure, medicine_exposures, move_exposures
from pratique.casework.facts import Facts
from pratique.casework.medicines import Medicines
from pratique.casework.sheets import FeedMark
from pratique.casework.timeline import days_of
from pratique.ledger.queries import Point
from pratique.ledger.states import AnimalState
from pratique.science.estimation.reading import NORMAL_95
from pratique.science.health.appetite import Appetite, Fed, appetite
from pratique.science.health.breathing import Breathing, Count, breathing
from pratique.science.health.breathing_lean import Lean, lean
from pratique.science.health.condition import (
    ConditionTrend,
    DepthRatio,
    ScaleTrend,
    Scored,
    condition_trend,
    scale_trend,
)
from pratique.science.health.rest import Exposed, Rest, rest_until


@dataclass(frozen=True)
class AnimalHealth:
    """One animal's health at one look; each part is reckoned when asked for, once."""

    facts: Facts
    animal: AnimalState
    shared: "tuple[Earlier, Medicines, Appetites] | None" = None

    @cached_property
    def earlier(self) -> Earlier:
        """Return what was seen of it earlier; read once for all animals of a look."""
        return self.shared[0] if self.shared else Earlier(self.facts, (self.animal,))

    @cached_property
    def medicines(self) -> Medicines:
        """Return what was in the waters; reckoned once for all animals of a look."""
        return self.shared[1] if self.shared else Medicines(self.facts)

    @cached_property
    def appetites(self) -> Appetites:
        """Return the hidden states of appetite; filtered once for all animals of a look."""
        return self.shared[2] if self.shared else Appetites(self.facts, (self.animal,))

    @property
    def subject(self) -> str:
        """Return the animal's name in the ledger's links."""
        return f"animal/{self.animal.key}"

    @property
    def _now(self) -> float:
        return days_of(self.facts.now)

    @cached_property
    def feeds(self) -> tuple[Point, ...]:
        """Return every feeding it was offered in the time looked back on."""
        return tuple(self.facts.feeds_of(self.subject, "fed"))

    def strip(self, count: int = 14) -> tuple[FeedMark, ...]:
        """Return its last feedings for a feeding strip."""
        return tuple(
            FeedMark(one.happened_at, None if one.number is None else int(one.number), one.entry)
            for one in self.feeds[-count:]
        )

    @cached_property
    def appetite(self) -> Appetite:
        """Return how it feeds."""
        fed = [
            Fed(days_of(one.happened_at), None if one.number is None else int(one.number), one.entry_text)
            for one in self.feeds
        ]
        return appetite(
            fed,
            now=self._now,
            certain_step=int(knowledge.figure("appetite.certain_meal_step").value),
            refusing_step=int(knowledge.figure("appetite.refusing_step").value),
        )

    @cached_property
    def breath_counts(self) -> tuple[Count, ...]:
        """Return its breathing counts, the oldest first."""
        counted = {one.entry_text: one.number for one in self.earlier.counts(self.subject, "counted")}
        return tuple(
            Count(days_of(one.happened_at), one.number, counted.get(one.entry_text) or usual_count_s(), one.entry_text)
            for one in self.earlier.counts(self.subject, "beats")
            if one.number is not None
        )

    @cached_property
    def breathing(self) -> Breathing:
        """Return how it breathes against its own baseline."""
        return breathing(self.breath_counts, self._now)

    @cached_property
    def breathing_lean(self) -> Lean | None:
        """Return the small lasting rise that its counts lean to."""
        return lean(self.breath_counts, self._now)

    @cached_property
    def depth_ratios(self) -> tuple[DepthRatio, ...]:
        """Return its body depth over length, picture by picture, the oldest first."""
        errors = {one.entry_text: one.number for one in self.facts.seen_of(self.subject, "depth-plus-minus")}
        return tuple(
            DepthRatio(
                days_of(one.happened_at),
                one.number,
                (errors.get(one.entry_text) or NORMAL_95 * ratio_error() * one.number) / NORMAL_95,
                one.entry_text,
            )
            for one in self.facts.seen_of(self.subject, "depth")
            if one.number is not None
        )

    @cached_property
    def condition(self) -> ConditionTrend:
        """Return the trend of its body depth over length."""
        return condition_trend(self.depth_ratios)

    @cached_property
    def scale(self) -> ScaleTrend:
        """Return the trend of the keeper's own condition scale."""
        return scale_trend(
            (
                Scored(days_of(one.happened_at), int(one.number), one.entry_text)
                for one in self.facts.seen_of(self.subject, "condition")
                if one.number is not None
            ),
            now=self._now,
            window_days=knowledge.figure("condition.scale_window_days").value,
            thinning_steps=int(knowledge.figure("condition.scale_steps").value),
        )

    @property
    def is_thinning(self) -> bool:
        """Return whether it is sure enough that the body grows thin."""
        likely = self.condition.probability_falling
        return self.scale.is_thinning or (
            likely is not None and likely >= knowledge.figure("condition.fall_probability").value
        )

    @cached_property
    def medicated(self) -> tuple[Exposed, ...]:
        """Return the medicines it was in, the oldest first."""
        return medicine_exposures(self.facts, self.medicines, self.animal)

    @cached_property
    def exposures(self) -> tuple[Exposed, ...]:
        """Return the moves, the medicines and the ammonia it went through, the oldest first."""
        moved = move_exposures(self.facts, self.animal)
        burnt = ammonia_exposure(self.facts, self.medicines, self.animal)
        return tuple(sorted((*moved, *self.medicated, *burnt), key=lambda one: one.at_day))

    @cached_property
    def rest(self) -> Rest:
        """Return when it counts as rested."""
        return rest_until(
            self.exposures,
            now=self._now,
            after_move_days=knowledge.figure("rest.after_move_days").value,
            after_medicine_days=knowledge.figure("rest.after_medicine_days").value,
        )


def health_of(facts: Facts) -> dict[str, AnimalHealth]:
    """Return the health of every living animal, by key; invertebrates are left out, as no fish scale fits them."""
    fishes = tuple(
        one for one in facts.household.living if not knowledge.species_or_unknown(one.species).is_invertebrate
    )
    shared = Earlier(facts, fishes), Medicines(facts), Appetites(facts, fishes)
    return {animal.key: AnimalHealth(facts, animal, shared) for animal in fishes}


def usual_count_s() -> float:
    """Return how many seconds a count of breaths took where that was not written."""
    return knowledge.figure("breathing.usual_count_s").value


def ratio_error() -> float:
    """Return the error of a body's depth over length where none was written, as one sd and a part of the ratio."""
    return knowledge.figure("condition.ratio_error").value
