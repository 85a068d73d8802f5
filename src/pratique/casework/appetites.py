"""How likely each fish eats, hesitates or refuses today: the hidden states of appetite over its logged feeds."""

from collections import Counter, defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from functools import cached_property
from uuid import UUID

import numpy as np

from pratique import knowledge
from pratique.casework.facts import Facts
from pratique.knowledge.appetite import appetite_figure
from pratique.ledger.queries import Point
from pratique.ledger.states import AnimalState
from pratique.science.health.appetite_states import (
    EATING,
    REFUSING,
    AppetiteModel,
    AppetiteStates,
    Chances,
    DayFed,
    appetite_states,
    filter_states,
    seen_chances,
)


@dataclass(frozen=True)
class FedDays:
    """One animal's feeds by the keeper's days, counted from `first`; the last day is today."""

    first: date
    days: int
    feeds: tuple[DayFed, ...]


@dataclass(frozen=True)
class Change:
    """When the spell of not eating that still lasts began: the likeliest day, and 90 % of the chance between two."""

    likeliest: date
    earliest: date
    latest: date


@dataclass(frozen=True)
class Appetites:
    """The appetite of some animals at one look, filtered for all of them in one go."""

    facts: Facts
    animals: tuple[AnimalState, ...]

    def chances(self, key: str) -> Chances | None:
        """Return the chances that it eats, hesitates and refuses today; None where it was not seen at food."""
        return self._chances.get(key)

    def is_alarming(self, key: str) -> bool:
        """Return whether refusing is likely enough for the alarm that `knowledge` sets."""
        found = self.chances(key)
        return found is not None and float(found[REFUSING]) >= appetite_figure("alarm").values[0]

    def states(self, key: str) -> AppetiteStates | None:
        """Return what its feeds say day by day; None where it was not seen at food."""
        fed = self._fed.get(key)
        if fed is None:
            return None
        step = int(knowledge.figure("appetite.certain_meal_step").value)
        return appetite_states(fed.feeds, days=fed.days, certain_step=step, model=self._model)

    def last_sure_meal(self, key: str) -> date | None:
        """Return the last day of a good meal on which, with the days around it, it surely ate."""
        states = self.states(key)
        if states is None or states.last_certain_meal is None:
            return None
        return self._fed[key].first + timedelta(days=states.last_certain_meal)

    def change(self, key: str) -> Change | None:
        """Return when it stopped eating; None where it more likely eats, or its feeds do not reach back so far."""
        states = self.states(key)
        if states is None or states.filtered[-1, EATING] >= 0.5:
            return None
        shares = np.cumsum(states.began / states.began.sum())
        # A spell that may have begun before the first day has no day that could be named.
        if shares[0] >= 0.5:
            return None
        low, high = (int(np.searchsorted(shares, level)) for level in (0.05, 0.95))
        first, last = self._fed[key].first, self._fed[key].days - 1
        days = (int(np.argmax(states.began)), low, min(high, last))
        likeliest, earliest, latest = (first + timedelta(days=day) for day in days)
        return Change(likeliest, earliest, latest)

    @cached_property
    def _model(self) -> AppetiteModel:
        return AppetiteModel.shipped()

    @cached_property
    def _chances(self) -> dict[str, Chances]:
        together: dict[int, list[str]] = defaultdict(list)
        for key, fed in self._fed.items():
            together[fed.days].append(key)
        found: dict[str, Chances] = {}
        for days, keys in together.items():
            seen = np.stack([seen_chances(self._fed[key].feeds, days=days, model=self._model) for key in keys])
            filtered, _ = filter_states(seen, self._model)
            found.update(zip(keys, filtered[:, -1], strict=True))
        return found

    @cached_property
    def _fed(self) -> dict[str, FedDays]:
        offered = {one.key: self.facts.feeds_of(f"animal/{one.key}", "fed") for one in self.animals}
        # An animal that was never seen at food has only what was assumed of it.
        return {
            key: self._fed_days(points)
            for key, points in offered.items()
            if any(one.number is not None for one in points)
        }

    def _fed_days(self, points: Sequence[Point]) -> FedDays:
        foods = self._foods
        seen = [
            (self._day(one.happened_at), int(one.number), foods.get(one.entry_id))
            for one in points
            if one.number is not None
        ]
        first, today = seen[0][0], self._day(self.facts.now)
        usual = _usual([named for _, _, named in seen if named])
        feeds = (
            # Where no food was named, the usual one is taken.
            DayFed(day - first, step, is_other_food=bool(named) and usual.isdisjoint(named or ()))
            for day, step, named in seen
        )
        return FedDays(date.fromordinal(first), today - first + 1, tuple(feeds))

    @cached_property
    def _foods(self) -> dict[UUID | str, set[str]]:
        """Return the foods of each feeding, by its entry."""
        found: dict[UUID | str, set[str]] = defaultdict(set)
        for system in self.facts.household.systems:
            for food, points in self.facts.foods_of(f"system/{system}"):
                for point in points:
                    found[point.entry_id].add(food)
        return found

    def _day(self, moment: datetime) -> int:
        """Return the keeper's day of a moment as a count of days; many animals are fed at one moment."""
        if moment not in self._days:
            self._days[moment] = moment.astimezone(self.facts.zone).date().toordinal()
        return self._days[moment]

    @cached_property
    def _days(self) -> dict[datetime, int]:
        return {}


def _usual(named: Sequence[set[str]]) -> frozenset[str]:
    """Return the foods that stand in enough of an animal's feeds with a named food to be its usual ones."""
    counted = Counter(food for foods in named for food in foods)
    share = appetite_figure("usual_food").values[0]
    return frozenset(food for food, count in counted.items() if count >= share * len(named))
