"""`pratique reckon`: one self-contained case from a file. Needs no household; no rule lives here."""

import dataclasses
import json
import math
import sys
from collections.abc import Mapping, Sequence
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from pratique.casework.words import amount, percent

if TYPE_CHECKING:
    from pratique.casework.reckoning.case_answer import CaseAnswer, ExposureAnswer, Surprise

_CAUSES = {
    "wrong reading": "a wrong reading",
    "unlogged": "a dose or change nobody wrote down",
    "wrong strength": "a stock of another strength",
}


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command("reckon")(reckon_command)


def reckon_command(
    case: Annotated[Path, typer.Argument(help="The case as JSON; - reads it from standard input.")],
    as_json: Annotated[bool, typer.Option("--json", help="Print the whole answer for a script.")] = False,
) -> None:
    """Reckon what is in the water in one case, how sure that is, and how long the band was held."""
    from pratique.casework.reckoning.case_answer import answer_case  # noqa: PLC0415 - loaded where it is used
    from pratique.casework.reckoning.case_file import CaseRefused, read_case  # noqa: PLC0415

    try:
        answer = answer_case(read_case(_text(case)))
    except CaseRefused as problem:
        typer.echo(str(problem), err=True)
        raise typer.Exit(1) from None
    if as_json:
        typer.echo(json.dumps(dataclasses.asdict(answer), default=_plain, allow_nan=False))
        return
    _print(answer)


def _text(case: Path) -> str:
    try:
        return sys.stdin.read() if str(case) == "-" else case.read_text(encoding="utf-8")
    except OSError as problem:
        typer.echo(f"{case} cannot be read: {problem.strerror or problem}.", err=True)
        raise typer.Exit(1) from None
    except UnicodeDecodeError:
        typer.echo(f"{case} is not text in UTF-8.", err=True)
        raise typer.Exit(1) from None


def _plain(value: Any) -> str:
    if isinstance(value, datetime):
        return value.isoformat()
    raise TypeError(f"{type(value).__name__} cannot be written as JSON")


def _print(answer: "CaseAnswer") -> None:
    """Print the answer in words, the level once a day."""
    typer.echo(f"{answer.constituent}, {answer.unit}")
    digits = _digits(answer.sd)
    low, high = answer.quantiles["0.025"], answer.quantiles["0.975"]
    for n in _once_a_day(answer.times):
        told = _between(answer.mean[n], low[n], high[n], digits)
        typer.echo(f"  {answer.times[n]:%Y-%m-%d %H:%M}  {told}")
    volume, loss = answer.volume_l, answer.loss_per_day
    typer.echo(f"Net volume: {_learned(volume.quantiles, 1.0, 'L')}")
    typer.echo(f"Lost a day: {_learned(loss.quantiles, 100.0, '%')}")
    if answer.exposure is not None:
        _print_exposure(answer.exposure)
    for odd in answer.surprising_readings:
        typer.echo(_odd(odd, digits))
    if answer.advice is not None:
        typer.echo(f"{answer.advice.words} Read again by {answer.advice.read_again:%d %b %H:%M}.")
        for caution in answer.advice.cautions:
            typer.echo(f"  {caution}")
    for words in answer.assumed:
        typer.echo(words)


def _print_exposure(found: "ExposureAnswer") -> None:
    for name, counted, unit in (
        ("Longest unbroken", found.longest_unbroken_days, "days"),
        ("Still standing at the end", found.credited_days, "days"),
        ("Above the band", found.hours_above_upper, "hours"),
    ):
        low, high = counted.quantiles["0.025"], counted.quantiles["0.975"]
        error = 1.96 * counted.monte_carlo_error
        typer.echo(
            f"{name}: {_between(counted.mean, low, high, 1)} {unit}; the mean by drawing is good to ± {error:.1f}"
        )
    if found.probability_held is not None:
        chance = found.probability_held
        error = 196 * chance.monte_carlo_error
        typer.echo(f"Held as long as required: {percent(chance.mean)}; by drawing good to ± {error:.1f} points")
    for dip in found.dips:
        typer.echo(
            f"A dip between {dip.start:%d %b %H:%M} and {dip.end:%d %b %H:%M}: {percent(dip.probability.mean)}, "
            f"likeliest {dip.likeliest:%d %b %H:%M}."
        )


def _odd(odd: "Surprise", digits: int) -> str:
    """Return a reading that does not fit as a keeper counts, from 1, with what may be behind it."""
    words = (
        f"Reading {odd.reading + 1}, of {odd.at:%d %b %H:%M}, does not fit: "
        f"the others expect {odd.expected:.{digits}f} ± {odd.plus_minus:.{digits}f}."
    )
    if odd.causes:
        words += " " + ", ".join(f"{_CAUSES[key]} {percent(chance)}" for key, chance in odd.causes.items()) + "."
    return words


def _once_a_day(times: Sequence[datetime]) -> Sequence[int]:
    step = max(1, round(86400 / (times[1] - times[0]).total_seconds())) if len(times) > 1 else 1
    return range(0, len(times), step)


def _digits(sds: Sequence[float]) -> int:
    """Return how many decimals a level deserves: two digits of its usual spread."""
    usual = sorted(sds)[len(sds) // 2]
    return min(6, max(0, 1 - math.floor(math.log10(usual)))) if usual > 0.0 else 3


def _between(middle: float, low: float, high: float, digits: int) -> str:
    """Return a number with its 95 % interval; nothing told here can be below 0, so the words stop there."""
    told = (f"{max(0.0, one):.{digits}f}" for one in (middle, low, high))
    return "{} ({} to {})".format(*told)


def _learned(quantiles: Mapping[str, float], scale: float, unit: str) -> str:
    """Return what was learned by its median and quantiles: both lopsided."""
    middle, low, high = (scale * quantiles[key] for key in ("0.5", "0.025", "0.975"))
    digits = 1 if middle < 10.0 else 0
    if low == high:
        return f"{amount(middle, digits, unit)}, as told"
    return f"{amount(middle, digits, unit)} ({amount(low, digits)} to {amount(high, digits)})"
