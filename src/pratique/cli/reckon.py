"""`pratique reckon`: one self-contained case from a file. Needs no household; no rule lives here."""

import dataclasses
import json
import sys
from collections.abc import Sequence
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from pratique.cli.answer_words import between, digits_of, odd_words, plain, print_exposure, print_learned

if TYPE_CHECKING:
    from pratique.casework.reckoning.case_answer import CaseAnswer


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
    from pratique.cli.readying import say_if_cold  # noqa: PLC0415

    try:
        told = read_case(_text(case))
        say_if_cold()
        answer = answer_case(told)
    except CaseRefused as problem:
        typer.echo(str(problem), err=True)
        raise typer.Exit(1) from None
    if as_json:
        typer.echo(json.dumps(dataclasses.asdict(answer), default=plain, allow_nan=False))
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


def _print(answer: "CaseAnswer") -> None:
    """Print the answer in words, the level once a day."""
    typer.echo(f"{answer.constituent}, {answer.unit}")
    digits = digits_of(answer.sd)
    low, high = answer.quantiles["0.025"], answer.quantiles["0.975"]
    for n in _once_a_day(answer.times):
        told = between(answer.mean[n], low[n], high[n], digits)
        typer.echo(f"  {answer.times[n]:%Y-%m-%d %H:%M}  {told}")
    print_learned(answer.volume_l, answer.loss_per_day)
    if answer.exposure is not None:
        print_exposure(answer.exposure)
    for odd in answer.surprising_readings:
        typer.echo(odd_words(odd, digits))
    if answer.advice is not None:
        typer.echo(f"{answer.advice.words} Read again by {answer.advice.read_again:%d %b %H:%M}.")
        for caution in answer.advice.cautions:
            typer.echo(f"  {caution}")
    for words in answer.assumed:
        typer.echo(words)


def _once_a_day(times: Sequence[datetime]) -> Sequence[int]:
    step = max(1, round(86400 / (times[1] - times[0]).total_seconds())) if len(times) > 1 else 1
    return range(0, len(times), step)
