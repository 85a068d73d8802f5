"""How each animal is: how it feeds, breathes, holds its shape, and how rested it is."""

from dataclasses import dataclass
from datetime import datetime
from functools import cached_property

from pratique import knowledge
from pratique.casework.facts import Facts
from pratique.casework.sheets import FeedMark
from pratique.casework.timeline import days_of
from pratique.casework.words import when
from pratique.ledger.queries import Point
from pratique.ledger.states import AnimalState, CourseState
from pratique.science.estimation.reading import NORMAL_95
from pratique.science.health.appetite import Appetite, Fed, appetite
from pratique.science.health.breathing import Breathing, Count, breathing
from pratique.science.health.condition import (
    ConditionTrend,
    DepthRatio,
    ScaleTrend,
    Scored,
    condition_trend,
    scale_trend,
)
from pratique.science.health.rest import Exposed, Rest, rest_until

# Where a photo's error was not written: landmarks by hand are good to about 2 % of the ratio.
RATIO_ERROR = 0.02
USUAL_COUNT_S = 20.0


@dataclass(frozen=True)
class AnimalHealth:
    """One animal's health at one look; each part is reckoned when asked for, once."""

    facts: Facts
    animal: AnimalState

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
    def breathing(self) -> Breathing:
        """Return how it breathes against its own baseline."""
        counted = {one.entry_text: one.number for one in self.facts.seen_of(self.subject, "counted")}
        counts = [
            Count(days_of(one.happened_at), one.number, counted.get(one.entry_text) or USUAL_COUNT_S, one.entry_text)
            for one in self.facts.seen_of(self.subject, "beats")
            if one.number is not None
        ]
        return breathing(counts, self._now)

    @cached_property
    def condition(self) -> ConditionTrend:
        """Return the trend of its body depth over length."""
        errors = {one.entry_text: one.number for one in self.facts.seen_of(self.subject, "depth-plus-minus")}
        return condition_trend(
            DepthRatio(
                days_of(one.happened_at),
                one.number,
                (errors.get(one.entry_text) or NORMAL_95 * RATIO_ERROR * one.number) / NORMAL_95,
                one.entry_text,
            )
            for one in self.facts.seen_of(self.subject, "depth")
            if one.number is not None
        )

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
    def exposures(self) -> tuple[Exposed, ...]:
        """Return the moves and medicines it went through, the oldest first."""
        return tuple(sorted((*self._moves(), *self._medicines()), key=lambda one: one.at_day))

    @cached_property
    def rest(self) -> Rest:
        """Return when it counts as rested."""
        return rest_until(
            self.exposures,
            now=self._now,
            after_move_days=knowledge.figure("rest.after_move_days").value,
            after_medicine_days=knowledge.figure("rest.after_medicine_days").value,
        )

    def _moves(self) -> list[Exposed]:
        household, found = self.facts.household, []
        for number, stay in enumerate(self.animal.stays):
            if stay.since > self.facts.now:
                continue
            words = f"moved to {household.place_name(stay.system, stay.compartment)}" if number else "arrived"
            moment = when(stay.since, self.facts.now, self.facts.zone)
            found.append(Exposed(days_of(stay.since), "move", f"{words} {moment}", str(stay.entry)))
        return found

    def _medicines(self) -> list[Exposed]:
        found = []
        for course in self.facts.household.courses.values():
            ended = self.end_of_exposure(course)
            if ended is not None:
                name = knowledge.substance(course.substance).name
                words = f"{name} until {when(ended, self.facts.now, self.facts.zone).removeprefix('on ')}"
                if course.stopped is None and ended >= self.facts.now:
                    found.append(Exposed(days_of(self.facts.now), "medicine", f"in {name} now", str(course.entry)))
                else:
                    found.append(Exposed(days_of(ended), "medicine_end", words, str(course.entry)))
        return found

    def end_of_exposure(self, course: CourseState) -> datetime | None:
        """Return when the animal last shared a course's water, or None where it never did."""
        if course.started is None or course.started > self.facts.now:
            return None
        end = min(course.stopped or self.facts.now, self.facts.now)
        shared = [
            min(stay.until or self.facts.now, end)
            for stay in self.animal.stays
            if stay.system == course.system and stay.since < end and (stay.until or self.facts.now) > course.started
        ]
        return max(shared, default=None)


def health_of(facts: Facts) -> dict[str, AnimalHealth]:
    """Return the health of every living animal, by key; invertebrates are left out, as no fish scale fits them."""
    return {
        animal.key: AnimalHealth(facts, animal)
        for animal in facts.household.living
        if not knowledge.species(animal.species).is_invertebrate
    }
