"""Water changes, make-up doses and stock solutions by mass balance."""

import math

from pratique.science.chemistry.domain import (
    DomainError,
    require_above_zero,
    require_at_least,
    require_finite,
    require_within,
)


def after_change(level: float, fraction: float, incoming: float = 0.0) -> float:
    """Return the level after one change of `fraction` (0 to 1) with water at `incoming`; all in one unit."""
    require_within("The changed fraction", fraction, lower=0.0, upper=1.0)
    _require_levels(present=level, incoming=incoming)
    return level + fraction * (incoming - level)


def after_n_changes(level: float, fraction: float, *, changes: int, incoming: float = 0.0) -> float:
    """Return the level after `changes` equal changes of `fraction`, each well mixed before the next."""
    require_within("The changed fraction", fraction, lower=0.0, upper=1.0)
    require_at_least("The number of changes", changes, lower=0)
    _require_levels(present=level, incoming=incoming)
    return incoming + (level - incoming) * (1.0 - fraction) ** changes


def changes_to_fall_below(level: float, fraction: float, *, limit: float, incoming: float = 0.0) -> int:
    """Return the fewest equal changes that bring the level under `limit`.

    Raises DomainError if the incoming water is not itself under the limit, or nothing is changed.
    """
    require_within("The changed fraction", fraction, lower=0.0, upper=1.0)
    _require_levels(present=level, target=limit, incoming=incoming)
    if level < limit:
        return 0
    if incoming >= limit or fraction == 0.0:
        raise DomainError(f"No number of changes with water at {incoming:g} brings the level under {limit:g}.")
    if fraction == 1.0:
        return 1
    return math.floor(changes_between(level, limit, fraction=fraction, incoming=incoming) + 1e-12) + 1


def changes_between(level: float, target: float, *, fraction: float, incoming: float = 0.0) -> float:
    """Return how many equal changes lie between two levels, not rounded: 6.2 is six and a bit.

    Raises DomainError unless the fraction lies between 0 and 1, and as `volumes_to_reach`.
    """
    if not 0.0 < fraction < 1.0:
        raise DomainError(f"The changed fraction must lie between 0 and 1; this was {fraction:g}.")
    return _finite(volumes_to_reach(level, target, incoming=incoming) / -math.log1p(-fraction))


def after_flow(level: float, tank_volumes: float, *, incoming: float = 0.0) -> float:
    """Return the level after a steady stream of this many tank volumes in and out, mixed all the while."""
    require_at_least("The exchanged volume", tank_volumes, lower=0.0)
    _require_levels(present=level, incoming=incoming)
    return incoming + (level - incoming) * math.exp(-tank_volumes)


def volumes_to_reach(level: float, target: float, *, incoming: float = 0.0) -> float:
    """Return the tank volumes that a steady stream needs to bring `level` to `target`.

    Raises DomainError unless the target lies between the level and the incoming water, which itself is never reached.
    """
    _require_levels(present=level, target=target, incoming=incoming)
    if level == target:
        return 0.0
    left = (target - incoming) / (level - incoming) if level != incoming else math.inf
    if not 0.0 < left <= 1.0:
        raise DomainError(f"Water at {incoming:g} cannot bring {level:g} to {target:g}.")
    return -math.log(left)


def change_fraction_to_reach(level: float, target: float, *, incoming: float = 0.0) -> float:
    """Return the fraction to change once so that `level` becomes `target`.

    Raises DomainError if the target does not lie between the level and the incoming water.
    """
    _require_levels(present=level, target=target, incoming=incoming)
    if level == target:
        return 0.0
    if level == incoming:
        raise DomainError("Water like that in the tank cannot change its level.")
    fraction = (level - target) / (level - incoming)
    if not 0.0 <= fraction <= 1.0:
        raise DomainError(f"A change with water at {incoming:g} cannot bring {level:g} to {target:g}.")
    return fraction


def make_up_mg(target_mg_per_l: float, changed_l: float) -> float:
    """Return the mg of a constituent that new water needs: target times the litres changed, not the whole tank."""
    require_at_least("The target", target_mg_per_l, lower=0.0)
    require_at_least("The volume", changed_l, lower=0.0)
    return target_mg_per_l * changed_l


def dose_mg_to_reach(level_mg_per_l: float, target_mg_per_l: float, *, net_volume_l: float) -> float:
    """Return the mg that raise a whole tank from `level` to `target`; DomainError if the target is lower."""
    require_at_least("The target", target_mg_per_l, lower=level_mg_per_l)
    return make_up_mg(target_mg_per_l - level_mg_per_l, net_volume_l)


def stock_ml(mg: float, strength_mg_per_ml: float) -> float:
    """Return the mL of a stock solution that carry `mg`; DomainError for a strength that is not above zero."""
    require_at_least("The dose", mg, lower=0.0)
    require_above_zero("The strength of a stock", strength_mg_per_ml, unit="mg/mL")
    return _finite(mg / strength_mg_per_ml)


def _require_levels(**levels: float) -> None:
    """Raise DomainError for a level that is no number; negative ones are allowed, for temperatures are levels too."""
    for name, level in levels.items():
        require_finite(f"The {name} level" if name != "target" else "The target", level)


def _finite(answer: float) -> float:
    require_finite("The answer", answer)
    return answer
