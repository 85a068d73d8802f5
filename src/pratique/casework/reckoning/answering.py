"""Run one case through the reckoning and put the answer together. Loads the compiled loops: import it where used."""

from datetime import datetime

import numpy as np
from numpy.typing import NDArray

from pratique import knowledge
from pratique.casework.reckoning.case_answer import (
    CaseAdvice,
    CaseAnswer,
    Counted,
    ExposureAnswer,
    Learned,
    Likely,
    LikelyDip,
    Surprise,
)
from pratique.casework.reckoning.case_file import CaseFile
from pratique.casework.words import amount
from pratique.science.estimation.advice import Means, advise, next_reading_day
from pratique.science.estimation.case import Band, Case
from pratique.science.estimation.exposure import Chance, Exposure, Spread, exposure_of
from pratique.science.estimation.forecast import ahead_of
from pratique.science.estimation.marginal import PROBABILITIES, Marginal
from pratique.science.estimation.posterior import Posterior, reckon
from pratique.science.estimation.running import running_from
from pratique.science.estimation.surprises import causes_of, fits_of

type Array = NDArray[np.float64]

_KEYS = tuple(f"{one:g}" for one in PROBABILITIES)
_STEPS_OF_DOSE = 200


def answer(told: CaseFile, case: Case) -> CaseAnswer:
    """Return the answer to a case. Raises DomainError where nothing believed explains its readings."""
    found = reckon(case)
    exposure = None
    if case.band is not None:
        exposure = _exposure(
            told,
            exposure_of(
                found.trajectories,
                found.days,
                case.band,
                start_day=0.0,
                end_day=case.span_days,
                required_days=case.required_days,
            ),
        )
    return CaseAnswer(
        constituent=case.constituent,
        unit=case.unit,
        times=tuple(told.moment(float(day)) for day in found.days),
        mean=_numbers(found.mean),
        sd=_numbers(found.sd),
        quantiles={key: _numbers(row) for key, row in zip(_KEYS, found.quantiles, strict=True)},
        volume_l=_learned(found.volume_l),
        loss_per_day=_learned(found.loss_per_day),
        log_evidence=found.log_evidence,
        surprising_readings=_surprises(told, case, found),
        exposure=exposure,
        advice=_advice(told, case),
        effective_sample=found.trajectories.effective_sample,
        assumed=_assumed(told),
    )


def _numbers(values: Array) -> tuple[float, ...]:
    return tuple(float(one) for one in values)


def _learned(found: Marginal) -> Learned:
    return Learned(found.mean, found.sd, dict(zip(_KEYS, found.quantiles, strict=True)))


def _counted(found: Spread) -> Counted:
    return Counted(found.mean, found.sd, dict(zip(_KEYS, found.quantiles, strict=True)), found.monte_carlo_error)


def _likely(found: Chance) -> Likely:
    return Likely(found.value, found.monte_carlo_error)


def _exposure(told: CaseFile, found: Exposure) -> ExposureAnswer:
    return ExposureAnswer(
        _counted(found.longest_unbroken_days),
        _counted(found.credited_days),
        _counted(found.hours_above_upper),
        _likely(found.held) if found.held is not None else None,
        tuple(
            LikelyDip(
                told.moment(dip.start_day), told.moment(dip.end_day), told.moment(dip.day), _likely(dip.probability)
            )
            for dip in found.dips
        ),
    )


def _surprises(told: CaseFile, case: Case, found: Posterior) -> tuple[Surprise, ...]:
    """Return the readings that lie too far in their tail, with what may be behind each."""
    odd = knowledge.figure("reckoning.surprising_tail").value
    spread = float(np.ptp(found.mean)) or float(found.sd.max())
    return tuple(
        Surprise(
            reading=fit.number,
            at=told.moment(case.readings[fit.number].day),
            expected=fit.expected,
            plus_minus=fit.plus_minus,
            tail_probability=fit.tail,
            causes={one.key: one.probability for one in causes_of(case, fit.number, level_spread=spread)},
        )
        for fit in fits_of(case, found.nodes)
        if fit.tail < odd
    )


def _advice(told: CaseFile, case: Case) -> CaseAdvice | None:
    """Return the dose at the end of the case that keeps the next day likeliest inside the band."""
    if case.band is None:
        return None
    now = running_from(case)
    next_day = case.span_days + knowledge.figure("reckoning.next_reading_latest_days").value
    means = Means(
        strength_mg_per_ml=1.0,
        syringe_step_ml=max(case.band.upper, 1e-6) * now.volume_mean / _STEPS_OF_DOSE,
        dose_relative_sd=knowledge.figure("reckoning.dose_relative_sd").value,
        rise_left=case.band.upper,
        hard_upper=case.band.upper,
        most_above_hard=knowledge.figure("reckoning.most_above_hard").value,
    )
    found = advise(now, case.band, means, until_day=next_day)
    read_again = next_reading_day(
        ahead_of(now, until_day=next_day),
        Band(case.band.lower, case.band.upper),
        least_inside=knowledge.figure("reckoning.least_inside").value,
        soonest=case.span_days + knowledge.figure("reckoning.next_reading_soonest_days").value,
        latest=next_day,
    )
    deed = found.deed
    words = "Add nothing now."
    if deed.dose_mg > 0.0:
        words = f"Add {amount(deed.dose_mg, 2, 'mg')} of {case.constituent}."
    if found.held_back_by:
        words += f" More is held back by {found.held_back_by}."
    return CaseAdvice(words, deed.dose_mg, deed.inside, found.nothing.inside, _moment(told, read_again))


def _moment(told: CaseFile, day: float) -> datetime:
    return told.moment(day)


def _assumed(told: CaseFile) -> tuple[str, ...]:
    """Return what the answer rests on that nobody told."""
    found = []
    if told.volume_l.unknown:
        volume = told.volume_l.told()
        low, high = volume.mean_l * np.exp(-1.96 * volume.sd_l), volume.mean_l * np.exp(1.96 * volume.sd_l)
        found.append(
            f"The net volume is not known: anything from {amount(float(low), 0)} to {amount(float(high), 0, 'L')} "
            "is taken beforehand, a guess."
        )
    return tuple(found)
