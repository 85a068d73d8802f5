"""How an animal feeds, from what the keeper saw at each feeding.

Steps: 0 ignores food, 1 looks or spits, 2 takes a few, 3 steady, 4 eager. "Not seen" is not "did not eat": feeds
without a step are left out. Days are counted in any one continuous scale.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from statistics import median
from typing import Literal, NamedTuple

from pratique.knowledge import figure

type AppetiteState = Literal["eating", "hesitant", "refusing", "unknown"]

_ENDING_FEEDS = 2


class Fed(NamedTuple):
    """How one animal fed at one feeding; `step` is None when it was not seen."""

    at_day: float
    step: int | None
    entry: str


@dataclass(frozen=True)
class AppetiteRule:
    """How many feeds make a spell, how old the newest may be, and how far back to look, in days."""

    spell_feeds: int
    stale_days: float
    window_days: float

    @classmethod
    def shipped(cls) -> "AppetiteRule":
        """Return the rule that `knowledge` ships."""
        return cls(
            spell_feeds=int(figure("appetite.spell_feeds").value),
            stale_days=figure("appetite.stale_days").value,
            window_days=figure("appetite.window_days").value,
        )


@dataclass(frozen=True)
class Spell:
    """A stretch of poor feeds: its first feed, and the feed that ended it (None while it lasts)."""

    began: Fed
    ended: Fed | None


@dataclass(frozen=True)
class Appetite:
    """What the feeds in the window say; `eating_days_run` is the run that still stands, 0 unless it eats."""

    state: AppetiteState
    refusal_began: Fed | None
    refusal_ended: Fed | None
    last_certain_meal: Fed | None
    last_certain_before_refusal: Fed | None
    days_since_certain_meal: float | None
    eating_less_since: Fed | None
    hesitant_since: Fed | None
    good_meals: int
    seen_meals: int
    eating_days_run: float


def appetite(
    feeds: Iterable[Fed],
    *,
    now: float,
    certain_step: int = 3,
    refusing_step: int = 1,
    rule: AppetiteRule | None = None,
) -> Appetite:
    """Return how the animal feeds at day `now`.

    A spell begins with the first of `spell_feeds` seen feeds in a row at or under its step, and ends with the first of
    two in a row above it: one odd feed neither begins nor ends one. A refusal is a spell at `refusing_step`; eating
    less is one under `certain_step`. `eating_less_since` is the start of the spell that led to the newest refusal, or
    else of one that still lasts; `hesitant_since` is the start of one that still lasts.
    """
    rule = rule or AppetiteRule.shipped()
    seen = sorted(
        (f for f in feeds if f.step is not None and now - rule.window_days <= f.at_day <= now), key=lambda f: f.at_day
    )
    certain = [f for f in seen if _step(f) >= certain_step]
    refusal = next(reversed(spells(seen, at_or_under=refusing_step, feeds_to_begin=rule.spell_feeds)), None)
    poor = spells(seen, at_or_under=certain_step - 1, feeds_to_begin=rule.spell_feeds)
    lasting = poor[-1] if poor and poor[-1].ended is None else None
    leading = _spell_around(poor, refusal) or lasting
    last = certain[-1] if certain else None
    state = _state(seen, now, certain_step=certain_step, refusal=refusal, lasting=lasting, rule=rule)
    return Appetite(
        state=state,
        refusal_began=refusal.began if refusal else None,
        refusal_ended=refusal.ended if refusal else None,
        last_certain_meal=last,
        last_certain_before_refusal=_last_before(certain, refusal),
        days_since_certain_meal=now - last.at_day if last else None,
        eating_less_since=leading.began if leading else None,
        hesitant_since=lasting.began if lasting else None,
        good_meals=len(certain),
        seen_meals=len(seen),
        eating_days_run=_eating_run(seen, certain_step=certain_step, rule=rule) if state == "eating" else 0.0,
    )


def spells(seen: Sequence[Fed], *, at_or_under: int, feeds_to_begin: int) -> list[Spell]:
    """Return the spells of seen feeds at or under a step, in order of time; every feed must have been seen."""
    found: list[Spell] = []
    began: Fed | None = None
    run = 0
    for index, fed in enumerate(seen):
        # How many feeds in a row, up to this one, speak for a change: poor ones to begin, better ones to end.
        is_poor = _step(fed) <= at_or_under
        run = run + 1 if is_poor == (began is None) else 0
        if began is None and run == feeds_to_begin:
            began, run = seen[index + 1 - feeds_to_begin], 0
        elif began is not None and run == _ENDING_FEEDS:
            found.append(Spell(began, seen[index + 1 - _ENDING_FEEDS]))
            began, run = None, 0
    if began is not None:
        found.append(Spell(began, None))
    return found


def _step(fed: Fed) -> int:
    """Return the step of a seen feed; ValueError for one that was not seen."""
    if fed.step is None:
        raise ValueError("A feed that was not seen has no step.")
    return fed.step


def _state(
    seen: Sequence[Fed],
    now: float,
    *,
    certain_step: int,
    refusal: Spell | None,
    lasting: Spell | None,
    rule: AppetiteRule,
) -> AppetiteState:
    if not seen or now - seen[-1].at_day > rule.stale_days:
        return "unknown"
    if refusal and refusal.ended is None:
        return "refusing"
    newest = median(_step(f) for f in seen[-rule.spell_feeds :])
    return "hesitant" if lasting or newest < certain_step else "eating"


def _spell_around(poor: Sequence[Spell], refusal: Spell | None) -> Spell | None:
    """Return the spell of eating less that holds the refusal's first feed."""
    if refusal is None:
        return None
    day = refusal.began.at_day
    return next((s for s in poor if s.began.at_day <= day and (s.ended is None or day < s.ended.at_day)), None)


def _last_before(certain: Sequence[Fed], refusal: Spell | None) -> Fed | None:
    if refusal is None:
        return None
    return next((f for f in reversed(certain) if f.at_day < refusal.began.at_day), None)


def _eating_run(seen: Sequence[Fed], *, certain_step: int, rule: AppetiteRule) -> float:
    """Return the days from the first certain meal to the newest of the run that still stands.

    A gap of more than `stale_days` without a seen feed breaks the run: nobody saw whether it ate. So do more poor feeds
    than good ones among `spell_feeds` in a row, after the last poor one of them; one odd feed among good ones does not.
    """
    began = seen_since = last_poor = 0
    poor = [_step(f) < certain_step for f in seen]
    for index in range(1, len(seen)):
        if seen[index].at_day - seen[index - 1].at_day > rule.stale_days:
            began = seen_since = index
        last_poor = index if poor[index] else last_poor
        opens = index + 1 - rule.spell_feeds
        if opens >= seen_since and 2 * sum(poor[opens : index + 1]) > rule.spell_feeds:
            began = last_poor + 1
    days = [f.at_day for f in seen[began:] if _step(f) >= certain_step]
    return days[-1] - days[0] if days else 0.0
