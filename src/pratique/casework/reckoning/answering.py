"""Run one case through the reckoning and put the answer together. Loads the compiled loops: import it where used."""

from dataclasses import replace

import numpy as np

from pratique import knowledge
from pratique.casework.reckoning.advising import advice_of, limits_of
from pratique.casework.reckoning.answer_parts import KEYS, exposure_answer, few_words, learned, numbers
from pratique.casework.reckoning.case_answer import CaseAnswer, Surprise
from pratique.casework.reckoning.case_file import CaseFile
from pratique.casework.words import amount
from pratique.science.estimation.case import Case, Dose
from pratique.science.estimation.exposure import exposure_of
from pratique.science.estimation.posterior import Posterior, reckon
from pratique.science.estimation.surprises import causes_of, fits_of

_CLEAREST = 1e-12


def answer(told: CaseFile, case: Case) -> CaseAnswer:
    """Return the answer to a case. Raises DomainError where nothing believed explains its readings."""
    # Far-fetched beliefs overflow on the way; whoever asked checks that every number given is finite.
    with np.errstate(all="ignore"):
        return _answer(told, _with_open_volume(case))


def _answer(told: CaseFile, case: Case) -> CaseAnswer:
    found = reckon(case)
    exposure = None
    if case.band is not None:
        exposed = exposure_of(
            found.trajectories,
            found.days,
            case.band,
            start_day=0.0,
            end_day=case.span_days,
            required_days=case.required_days,
        )
        exposure = exposure_answer(exposed, told.moment)
    return CaseAnswer(
        constituent=case.constituent,
        unit=case.unit,
        times=tuple(told.moment(float(day)) for day in found.days),
        mean=numbers(found.mean),
        sd=numbers(found.sd),
        quantiles={key: numbers(row) for key, row in zip(KEYS, found.quantiles, strict=True)},
        volume_l=learned(found.volume_l),
        loss_per_day=learned(found.loss_per_day),
        log_evidence=found.log_evidence,
        surprising_readings=_surprises(told, case, found),
        exposure=exposure,
        advice=advice_of(told, case, found.nodes),
        effective_sample=found.trajectories.effective_sample,
        assumed=(*_assumed(told), *few_words(found.trajectories.effective_sample)),
    )


def _with_open_volume(case: Case) -> Case:
    """Return the case with its volume kept unknown where nothing done so far depends on it: advice will."""
    if case.needs_volume or case.volume.sd_l == 0.0:
        return case
    return replace(case, events=(*case.events, Dose(case.span_days, 0.0)))


def _surprises(told: CaseFile, case: Case, found: Posterior) -> tuple[Surprise, ...]:
    """Return the readings that lie too far in their tail, with what may be behind each."""
    odd = knowledge.figure("reckoning.surprising_tail").value
    spread = float(np.ptp(found.mean)) or max(float(found.sd.max()), _CLEAREST)
    fits = [fit for fit in fits_of(case, found.nodes) if fit.tail < odd]
    # Each cause is a reckoning of its own: only the oddest are looked into.
    oddest = sorted(fits, key=lambda fit: fit.tail)[: int(knowledge.figure("reckoning.most_explained").value)]
    return tuple(
        Surprise(
            reading=fit.number,
            at=told.moment(case.readings[fit.number].day),
            expected=fit.expected,
            plus_minus=fit.plus_minus,
            tail_probability=fit.tail,
            causes={one.key: one.probability for one in causes_of(case, fit.number, level_spread=spread)}
            if fit in oddest
            else {},
        )
        for fit in fits
    )


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
    if told.band is not None and limits_of(told).rise_per_day is None:
        found.append("No limit of the rise in a day is told, so the advice keeps none: only the upper limit.")
    return tuple(found)
