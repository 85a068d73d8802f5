"""What is believed of a constituent, a volume and a dose before anything is read."""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache

from pratique import knowledge
from pratique.knowledge import CopperForm, Status
from pratique.knowledge.reckoning import Belief, belief
from pratique.ledger.states import StockState, SystemState
from pratique.science.estimation.case import Initial, Loss, Source, Volume
from pratique.science.estimation.reading import NORMAL_95


@dataclass(frozen=True)
class Prior:
    """Beliefs beforehand of one constituent, in its unit and days; every spread is one standard deviation.

    `initial` is the level where nothing tells it: not known, wide, not zero. `incoming` is that of new water nobody
    read, None where it is made to match the tank within `matched_sd`; `emptied_sd` is the least spread of water that is
    all new, `emptied_source` its source until it is dosed, where that differs. `jolt_sd` is how far a dose of unknown
    amount may have moved the level. Without `has_litres` doses and changes are not counted: the level only wanders.
    `released` is what food gives of it.
    """

    key: str
    unit: str
    loss: Loss
    source: Source
    level_walk: float
    initial: Initial
    incoming: Initial | None
    matched_sd: float
    emptied_sd: float
    emptied_source: Source | None
    jolt_sd: float
    stock_strength_relative_sd: float
    dose_relative_sd: float
    grid_hours: float
    draws: int
    has_litres: bool
    released: str | None
    basis: str
    is_guess: bool


@cache
def prior_of(constituent: str, *, form: CopperForm | None = None) -> Prior:
    """Return what is believed of a constituent; KeyError with a plain sentence for one not reckoned here."""
    held = belief(constituent, form=form)
    return Prior(
        key=held.key,
        unit=held.unit,
        loss=Loss(held.loss_median_per_day, held.loss_log_sd),
        source=Source(held.source_mean_per_day, held.source_sd_per_day, held.source_walk_sd_per_sqrt_day),
        level_walk=held.level_walk_sd_per_sqrt_day,
        initial=Initial(held.initial_mean, held.initial_sd),
        incoming=Initial(held.incoming_mean, held.incoming_sd) if held.incoming_mean is not None else None,
        matched_sd=held.incoming_sd,
        emptied_sd=held.emptied_sd,
        emptied_source=_emptied_source(held),
        jolt_sd=held.jolt_sd,
        stock_strength_relative_sd=knowledge.figure("reckoning.stock_strength_relative_sd").value,
        dose_relative_sd=knowledge.figure("reckoning.dose_relative_sd").value,
        grid_hours=held.grid_hours,
        draws=_draws(held),
        has_litres=held.has_litres,
        released=held.released,
        basis=held.source,
        is_guess=held.status is Status.GUESS,
    )


def _emptied_source(held: Belief) -> Source | None:
    if held.emptied_source_sd_per_day is None:
        return None
    return Source(0.0, held.emptied_source_sd_per_day, held.emptied_source_walk_sd_per_sqrt_day)


def _draws(held: Belief) -> int:
    """Return how many trajectories to draw: many only of what is held in a band for days."""
    is_held = held.constituent == "copper"
    return int(knowledge.figure("reckoning.draws" if is_held else "reckoning.draws_of_others").value)


def volume_of(system: SystemState) -> Volume:
    """Return what is believed of a system's net volume: as told, or widely about a part of its gross volume."""
    net, error = system.net_volume_l, system.net_volume_plus_minus_l
    if net is not None:
        relative = knowledge.figure("reckoning.volume_told_relative_sd").value
        return Volume(net, error / NORMAL_95 if error else net * relative)
    if system.gross_volume_l > 0.0:
        part = knowledge.figure("reckoning.net_of_gross").value
        wide = knowledge.figure("reckoning.net_of_gross_log_sd").value
        return Volume(system.gross_volume_l * part, wide, is_lognormal=True)
    return Volume(
        knowledge.figure("reckoning.volume_unknown_l").value,
        knowledge.figure("reckoning.volume_unknown_log_sd").value,
        is_lognormal=True,
    )


def strength_sd_of(prior: Prior, stocks: Iterable[StockState]) -> float:
    """Return the relative error of the strength of what was dosed: that of the least sure stock in use."""
    told = [stock.strength_plus_minus_percent / 100.0 / NORMAL_95 for stock in stocks]
    return max(told, default=prior.stock_strength_relative_sd)
