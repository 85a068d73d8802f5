"""A small lasting rise of the gill beats, told before any single count is raised: a cumulative sum over the counts."""

from collections.abc import Iterable
from dataclasses import dataclass
from statistics import median

from pratique.knowledge import figure
from pratique.science.health.alarms import cusum, self_starting_scores
from pratique.science.health.breathing import Count, count_sd


@dataclass(frozen=True)
class LeanRule:
    """Allowance and limit of the sum, both in spreads of the counts, and the days after which a count is old."""

    allowance: float
    limit: float
    stale_days: float

    @classmethod
    def shipped(cls) -> "LeanRule":
        """Return the rule that `knowledge` ships."""
        return cls(
            allowance=figure("breathing.lean_allowance").value,
            limit=figure("breathing.lean_limit").value,
            stale_days=figure("breathing.stale_days").value,
        )


@dataclass(frozen=True)
class Lean:
    """The counts since the rise began, the first of them, and what the counts before it came to, in beats a minute."""

    since: Count
    counts: int
    before_per_min: float
    since_per_min: float
    latest: Count


def lean(counts: Iterable[Count], now: float, *, rule: LeanRule | None = None) -> Lean | None:
    """Return the rise that the counts up to day `now` lean to; None without one, or where the newest count is old."""
    rule = rule or LeanRule.shipped()
    ordered = sorted((one for one in counts if one.at_day <= now), key=lambda one: one.at_day)
    if not ordered or now - ordered[-1].at_day > rule.stale_days:
        return None
    beats = [one.beats_per_min for one in ordered]
    scores = self_starting_scores(beats, least_sd=median(count_sd(one) for one in ordered))
    sums = cusum(scores, target=0.0, sd=1.0, k=rule.allowance, h=rule.limit).upper
    if sums[-1] <= rule.limit:
        return None
    # The sum has been above nought since the rise began; before it there are at least the two counts without a score.
    began = max(index for index, value in enumerate(sums) if value == 0.0) + 1
    return Lean(
        since=ordered[began],
        counts=len(ordered) - began,
        before_per_min=median(beats[:began]),
        since_per_min=median(beats[began:]),
        latest=ordered[-1],
    )
