"""Whether anything may be added to a system's water while its animals recover."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Protocol


class Resting(Protocol):
    """What is asked of an animal's rest: the day it is clear, and whether that day has come."""

    @property
    def clear_on_day(self) -> float:
        """Return the day the animal counts as rested."""

    @property
    def is_rested(self) -> bool:
        """Return whether that day has come."""


@dataclass(frozen=True)
class AdditionAdvice:
    """Whether additions are allowed now, the first day they are, and the animals (name, rest) that say no."""

    allowed_now: bool
    not_before_day: float | None
    because: tuple[tuple[str, Resting], ...]


def water_additions(rests: Iterable[tuple[str, Resting]], now: float) -> AdditionAdvice:
    """Return the advice for a system, from every animal that shares its water, boxes included.

    One animal that is still to rest is enough to wait for; the last of them sets the day. Those who wait longest
    come first.
    """
    waiting = sorted(
        ((name, rest) for name, rest in rests if not rest.is_rested and rest.clear_on_day > now),
        key=lambda pair: -pair[1].clear_on_day,
    )
    if not waiting:
        return AdditionAdvice(allowed_now=True, not_before_day=None, because=())
    return AdditionAdvice(allowed_now=False, not_before_day=waiting[0][1].clear_on_day, because=tuple(waiting))
