"""What is asked of the reckoning and of a sampler alike, and how far their answers may lie apart.

Bars: means within 0.1 sd, sds within 10 %, the probability that the band was held within 0.03; of the sampler at least
4,000 effective draws for every quantity, for its mean as for its sd.
"""

import hashlib
import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np
from tests.sampler.telling import told

from pratique.science.estimation.case import Case
from pratique.science.estimation.exposure import exposure_of
from pratique.science.estimation.posterior import reckon

MOST_SDS_OFF = 0.1
MOST_PART_OFF = 0.1
MOST_PROBABILITY_OFF = 0.03
LEAST_EFFECTIVE_SAMPLE = 4000.0
HELD = "held"


@dataclass(frozen=True)
class Answer:
    """The mean and sd of one quantity; a probability is the mean of what is 0 or 1."""

    mean: float
    sd: float


def moments_asked(case: Case) -> dict[str, int]:
    """Return the points of the grid at which the level is compared: early, in between, and at the end."""
    last = len(told(case).grid_days) - 1
    points = (last // 8, last // 4, last // 2, 3 * last // 4, last)
    return {f"level on day {point * case.grid_hours / 24.0:g}": point for point in points}


def our_answers(case: Case) -> dict[str, Answer]:
    """Return what the reckoning says of volume, loss, the source at the end, the level, and whether it was held."""
    assert case.band is not None
    found = reckon(case)
    exposure = exposure_of(
        found.trajectories,
        found.days,
        case.band,
        start_day=0.0,
        end_day=case.span_days,
        required_days=case.required_days,
    )
    assert exposure.held is not None
    held = exposure.held.value
    return {
        "volume_l": Answer(found.volume_l.mean, found.volume_l.sd),
        "loss_per_day": Answer(found.loss_per_day.mean, found.loss_per_day.sd),
        "source_end": Answer(float(found.source_mean[-1]), float(found.source_sd[-1])),
        **{key: Answer(float(found.mean[n]), float(found.sd[n])) for key, n in moments_asked(case).items()},
        HELD: Answer(held, float(np.sqrt(held * (1.0 - held)))),
    }


def complaints(ours: Mapping[str, Answer], sampled: Mapping[str, Answer]) -> Iterator[str]:
    """Yield a sentence for every answer that lies further from the sampler's than it may."""
    for key, theirs in sampled.items():
        mine = ours[key]
        if key == HELD:
            if abs(mine.mean - theirs.mean) > MOST_PROBABILITY_OFF:
                yield f"{key}: {mine.mean:.3f}, the sampler says {theirs.mean:.3f}."
            continue
        off, part = (mine.mean - theirs.mean) / theirs.sd, mine.sd / theirs.sd - 1.0
        if abs(off) > MOST_SDS_OFF or abs(part) > MOST_PART_OFF:
            yield f"{key}: the mean lies {off:+.3f} sd off the sampler's, the sd differs by {part:+.1%}."


def fingerprint(case: Case) -> str:
    """Return what changes whenever a sampler would have to be asked again."""
    beliefs = (case.initial, case.volume, case.loss, case.source, case.band, sorted(case.methods.items()))
    walks = (case.level_walk_sd_per_sqrt_day, case.stock_strength_relative_sd, case.required_days)
    happenings = {key: np.round(array, 12).tolist() for key, array in vars(told(case)).items()}
    return hashlib.sha256(json.dumps([repr(beliefs), walks, happenings]).encode()).hexdigest()[:16]
