"""What is believed of each constituent before it is read: the start of a reckoning out of the ledger."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Literal

from pratique.knowledge.copper import CopperForm
from pratique.knowledge.loading import pick, read
from pratique.knowledge.status import Status


@dataclass(frozen=True)
class Belief:
    """Beliefs beforehand of one constituent, in `unit` and per day; every spread is one standard deviation.

    `has_litres` says that doses and changes act through the volume of water; without, the level only wanders. Without
    an `incoming_mean` new water is made to match the tank; `emptied_source_sd_per_day` and its
    walk are the source's in a tank emptied and not dosed since, where they differ; `released` is what food gives of it.
    """

    key: str
    constituent: str
    unit: str
    loss_median_per_day: float
    loss_log_sd: float
    source_mean_per_day: float
    source_sd_per_day: float
    source_walk_sd_per_sqrt_day: float
    level_walk_sd_per_sqrt_day: float
    initial_mean: float
    initial_sd: float
    incoming_sd: float
    emptied_sd: float
    jolt_sd: float
    grid_hours: float
    source: str
    status: Status
    incoming_mean: float | None = None
    emptied_source_sd_per_day: float | None = None
    emptied_source_walk_sd_per_sqrt_day: float = 0.0
    has_litres: bool = True
    released: Literal["prompt nitrogen", "nitrogen", "phosphorus"] | None = None


@cache
def _beliefs() -> Mapping[str, Belief]:
    return read("reckoning.toml", Belief)


def beliefs() -> tuple[Belief, ...]:
    """Return every belief."""
    return tuple(_beliefs().values())


def belief(constituent: str, *, form: CopperForm | None = None) -> Belief:
    """Return what is believed of a constituent; copper is ionic where no form is told. KeyError for an unknown one."""
    key = f"copper_{(form or CopperForm.IONIC).value}" if constituent == "copper" else constituent
    return pick(_beliefs(), key, what="belief of a constituent")
