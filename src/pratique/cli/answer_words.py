"""A reckoned answer in words, for the commands that print one."""

import math
from collections.abc import Mapping, Sequence
from datetime import datetime, tzinfo
from typing import TYPE_CHECKING, Any

import typer

from pratique.casework.reckoning.causes import cause_words
from pratique.casework.words import amount, percent

if TYPE_CHECKING:
    from pratique.casework.reckoning.case_answer import ExposureAnswer, Learned, Surprise


def plain(value: Any) -> str:
    """Return a moment as JSON can hold it."""
    if isinstance(value, datetime):
        return value.isoformat()
    raise TypeError(f"{type(value).__name__} cannot be written as JSON")


def print_learned(volume: "Learned", loss: "Learned") -> None:
    """Print what is known of the net volume and of the loss; nothing of a loss that is none."""
    typer.echo(f"Net volume: {_learned(volume.quantiles, 1.0, 'L')}")
    if loss.mean != 0.0:
        typer.echo(f"Lost a day: {_learned(loss.quantiles, 100.0, '%')}")


def print_exposure(found: "ExposureAnswer", *, above: str = "Above the band", zone: tzinfo | None = None) -> None:
    """Print how long, and how surely, the band was held; `above` names what hours above count, and moments stand by
    the clock of a zone, or as they were told.
    """
    for name, counted, unit in (
        ("Longest unbroken", found.longest_unbroken_days, "days"),
        ("Still standing at the end", found.credited_days, "days"),
        (above, found.hours_above_upper, "hours"),
    ):
        low, high = counted.quantiles["0.025"], counted.quantiles["0.975"]
        error = 1.96 * counted.monte_carlo_error
        typer.echo(
            f"{name}: {between(counted.mean, low, high, 1)} {unit}; the mean by drawing is good to ± {error:.1f}"
        )
    if found.probability_held is not None:
        chance = found.probability_held
        error = 196 * chance.monte_carlo_error
        typer.echo(f"Held as long as required: {percent(chance.mean)}; by drawing good to ± {error:.1f} points")
    for dip in found.dips:
        typer.echo(
            f"A dip between {_moment(dip.start, zone)} and {_moment(dip.end, zone)}: {percent(dip.probability.mean)}, "
            f"likeliest {_moment(dip.likeliest, zone)}."
        )


def odd_words(odd: "Surprise", digits: int, *, zone: tzinfo | None = None) -> str:
    """Return a reading that does not fit as a keeper counts, from 1, with what may be behind it; zone as above."""
    words = (
        f"Reading {odd.reading + 1}, of {_moment(odd.at, zone)}, does not fit: "
        f"the others expect {odd.expected:.{digits}f} ± {odd.plus_minus:.{digits}f}."
    )
    if odd.causes:
        words += f" Likely behind it: {cause_words(odd.causes.items())}."
    return words


def digits_of(sds: Sequence[float]) -> int:
    """Return how many decimals a level deserves: two digits of its usual spread."""
    usual = sorted(sds)[len(sds) // 2]
    return min(6, max(0, 1 - math.floor(math.log10(usual)))) if usual > 0.0 else 3


def between(middle: float, low: float, high: float, digits: int) -> str:
    """Return a number with its 95 % interval; nothing told here can be below 0, so the words stop there."""
    told = (f"{max(0.0, one):.{digits}f}" for one in (middle, low, high))
    return "{} ({} to {})".format(*told)


def _moment(at: datetime, zone: tzinfo | None) -> str:
    """Return a moment by the clock of a zone, or as it was told where none is given."""
    return f"{at if zone is None else at.astimezone(zone):%d %b %H:%M}"


def _learned(quantiles: Mapping[str, float], scale: float, unit: str) -> str:
    """Return what was learned by its median and quantiles: both lopsided."""
    middle, low, high = (scale * quantiles[key] for key in ("0.5", "0.025", "0.975"))
    digits = 1 if middle < 10.0 else 0
    if low == high:
        return f"{amount(middle, digits, unit)}, as told"
    return f"{amount(middle, digits, unit)} ({amount(low, digits)} to {amount(high, digits)})"
