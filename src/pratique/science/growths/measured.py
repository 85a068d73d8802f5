"""What measured cells say of a growth: sizes and speeds as odds from published ranges, the manner as answers.

Each candidate's range becomes a distribution: even over the logarithm inside it, falling off outside as fast as
published accounts of one kind differ. A measured middle cell is held against that and against cells of any kind. Part
of what lies on a slide is something else, so the odds keep a floor: one candidate's cells do not rule out another's.
"""

import math
from collections.abc import Mapping, Sequence
from statistics import median

from pratique.knowledge.candidates import Candidate, candidates, model_figure

# The answers a manner gives by itself; of what it does not speak stays open.
_ANSWERS: Mapping[str, Mapping[str, bool]] = {
    "gliding": {"glide_and_reverse": True, "many_swim": False},
    "swimming": {"many_swim": True, "glide_and_reverse": False},
    "spinning": {"spin_on_a_point": True, "glide_and_reverse": False},
    "still": {"glide_and_reverse": False, "many_swim": False, "spin_on_a_point": False},
}
_LEAST_DENSITY = 1e-6  # a speed no candidate shows says nothing of any of them


def manner_answers(manner: str, *, tracks: int | None = None, minutes_old: float | None = None) -> Mapping[str, bool]:
    """Return the findings a manner of moving answers, by key: nothing where too few cells were followed.

    Cells that lie still say something only in a fresh sample at the tank's temperature: cold and stale cells stop.
    """
    if not is_enough(tracks):
        return {}
    is_fresh = minutes_old is not None and minutes_old <= model_figure("fresh_minutes")
    if manner == "still" and not is_fresh:
        return {}
    return _ANSWERS.get(manner, {})


def is_enough(tracks: int | None) -> bool:
    """Say whether enough cells were followed for their manner to speak for the growth; seen by eye, they were."""
    return tracks is None or tracks >= model_figure("fewest_tracks")


def size_odds(lengths_um: Sequence[float]) -> Mapping[str, float]:
    """Return what the odds of each candidate with a known length are multiplied by, from lengths of whole cells (µm).

    Raises ValueError for no lengths or one that is not above 0.
    """
    if not lengths_um or min(lengths_um) <= 0.0:
        raise ValueError("Lengths of cells are above 0, and there is at least one.")
    any_kind = 1.0 / math.log(model_figure("longest_cell_um") / model_figure("shortest_cell_um"))
    middle = median(lengths_um)
    ranges = {key: _length_range(one) for key, one in candidates().items()}
    return {key: _odds(middle, span, any_kind) for key, span in ranges.items() if span is not None}


def speed_odds(median_um_per_s: float, manner: str) -> Mapping[str, float]:
    """Return what the odds of candidates that move in a manner are multiplied by, from the middle speed (µm/s).

    The manner has had its say as a finding: here gliders are held against gliders and swimmers against swimmers only.
    """
    ranges = {key: _speed_range(one) for key, one in candidates().items()}
    slowest = model_figure("gliders_below_um_per_s")
    alike = {
        key: span
        for key, span in ranges.items()
        if span is not None and manner in {"gliding", "swimming"} and (span[1] <= slowest) == (manner == "gliding")
    }
    if not alike or median_um_per_s <= 0.0:
        return {}
    any_kind = sum(_density(median_um_per_s, *span) for span in alike.values()) / len(alike)
    if any_kind < _LEAST_DENSITY:
        return {}
    return {key: _odds(median_um_per_s, span, any_kind) for key, span in alike.items()}


def _length_range(one: Candidate) -> tuple[float, float] | None:
    return None if one.length_low_um is None or one.length_high_um is None else (one.length_low_um, one.length_high_um)


def _speed_range(one: Candidate) -> tuple[float, float] | None:
    if one.speed_low_um_s is None or one.speed_high_um_s is None:
        return None
    return one.speed_low_um_s, one.speed_high_um_s


def _odds(number: float, span: tuple[float, float], any_kind: float) -> float:
    told = model_figure("measured_of_it")
    return (1.0 - told) + told * _density(number, *span) / any_kind


def _density(number: float, low: float, high: float) -> float:
    """Return the density over the natural logarithm: even from low to high, half a normal on either side."""
    softness = math.log(model_figure("range_softness"))
    whole = math.log(high / low) + softness * math.sqrt(2.0 * math.pi)
    away = max(math.log(low / number), math.log(number / high), 0.0) / softness
    return math.exp(-0.5 * away * away) / whole
