"""`pratique reckon`: one self-contained case from a file. Needs no household; no rule lives here."""

import dataclasses
import json
import sys
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

if TYPE_CHECKING:
    from pratique.casework.reckoning.case_answer import CaseAnswer

_EVERY = 24


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
    low, high = answer.quantiles["0.025"], answer.quantiles["0.975"]
    for n in range(0, len(answer.times), _EVERY):
        typer.echo(f"  {answer.times[n]:%Y-%m-%d %H:%M}  {answer.mean[n]:.3f}  (95 %: {low[n]:.3f} to {high[n]:.3f})")
    volume, loss = answer.volume_l, answer.loss_per_day
    typer.echo(f"Net volume: {volume.mean:.0f} ± {1.96 * volume.sd:.0f} L")
    typer.echo(f"Lost a day: {100 * loss.mean:.1f} ± {196 * loss.sd:.1f} %")
    if answer.exposure is not None:
        found = answer.exposure
        typer.echo(f"Longest unbroken: {found.longest_unbroken_days.mean:.1f} days")
        typer.echo(f"Still standing at the end: {found.credited_days.mean:.1f} days")
        typer.echo(f"Above the band: {found.hours_above_upper.mean:.0f} hours")
        if found.probability_held is not None:
            chance = found.probability_held
            typer.echo(f"Held as long as required: {100 * chance.mean:.0f} % (± {196 * chance.monte_carlo_error:.1f})")
        for dip in found.dips:
            typer.echo(
                f"A dip is {100 * dip.probability.mean:.0f} % likely between {dip.start:%d %b %H:%M} and "
                f"{dip.end:%d %b %H:%M}, likeliest {dip.likeliest:%d %b %H:%M}."
            )
    for odd in answer.surprising_readings:
        first = next(iter(odd.causes))
        typer.echo(
            f"Reading {odd.reading} does not fit: {odd.expected:.3f} ± {odd.plus_minus:.3f} was expected; {first}?"
        )
    if answer.advice is not None:
        typer.echo(f"{answer.advice.words} Read again by {answer.advice.read_again:%d %b %H:%M}.")
    for words in answer.assumed:
        typer.echo(words)
