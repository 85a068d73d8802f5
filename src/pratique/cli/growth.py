"""`pratique growth`: what a growth probably is, and the look most worth its time. Needs no household."""

import json
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from pratique.cli.sending import refused

if TYPE_CHECKING:
    from pratique.casework.growth_file import GrowthFile

_File = Annotated[Path, typer.Argument(help="A case in JSON; see docs/growths.md.", show_default=False)]
_Json = Annotated[bool, typer.Option("--json", help="Print it for a script.")]


def register(app: typer.Typer) -> None:
    """Add the group."""
    group = typer.Typer(help="Growths: what it probably is, and what to look at next.", no_args_is_help=True)
    group.command("rank")(rank_command)
    group.command("next")(next_command)
    app.add_typer(group, name="growth")


def rank_command(file: _File, as_json: _Json = False) -> None:
    """Say how likely each candidate is there, with the range that the doubt of the table leaves, and why."""
    from pratique.casework.words import percent  # noqa: PLC0415 - loaded where it is used
    from pratique.knowledge.candidates import candidates  # noqa: PLC0415
    from pratique.science.chemistry.domain import DomainError  # noqa: PLC0415
    from pratique.science.growths.differential import verdict  # noqa: PLC0415

    asked = _read(file)
    try:
        found = verdict(asked.answers)
    except DomainError as problem:
        raise refused({"": str(problem)}) from None
    if as_json:
        _print_json(
            {
                "candidates": {
                    key: {"probability": chance, "low": found.ranges[key][0], "high": found.ranges[key][1]}
                    for key, chance in found.chances.items()
                },
                "any_harmful": found.toxic,
                "log_odds_moved": {one.finding: dict(one.moves) for one in found.reasons},
                "contradicting": [list(pair) for pair in found.contradicting],
            }
        )
        return
    for key, chance in found.chances.items():
        low, high = found.ranges[key]
        typer.echo(f"{percent(chance):>9}  {candidates()[key].name} ({percent(low)} to {percent(high)})")
    for one, other in found.contradicting:
        typer.echo(f"{one} and {other} hardly go together in one growth: look again, or there are two.")


def next_command(file: _File, as_json: _Json = False) -> None:
    """Rank the looks not yet made by what they are expected to tell, less for the time they take."""
    from pratique import knowledge  # noqa: PLC0415 - loaded where it is used
    from pratique.casework.words import percent  # noqa: PLC0415
    from pratique.science.chemistry.domain import DomainError  # noqa: PLC0415
    from pratique.science.growths.differential import next_looks  # noqa: PLC0415

    asked = _read(file)
    try:
        found = next_looks(asked.answers, waiting=asked.in_reach)
    except DomainError as problem:
        raise refused({"": str(problem)}) from None
    if as_json:
        _print_json([{name: getattr(one, name) for name in one.__slots__} for one in found])
        return
    for one in found:
        kind = knowledge.finding_kind(one.finding)
        trap = "  tells next to nothing" if one.is_trap else ""
        typer.echo(
            f"{one.bits:5.2f} bits  {kind.minutes:3.0f} min  {kind.tool:<14}  "
            f"{kind.words} ({percent(one.yes)} yes){trap}"
        )


def _read(file: Path) -> "GrowthFile":
    from pratique.casework.growth_file import GrowthRefused, read_growth  # noqa: PLC0415 - loaded where it is used

    try:
        return read_growth(file.read_text(encoding="utf-8"))
    except (OSError, UnicodeDecodeError) as problem:
        raise refused({"": f"{file} cannot be read: {problem}."}) from None
    except GrowthRefused as problem:
        raise refused({str(file): str(problem)}) from None


def _print_json(told: Any) -> None:
    typer.echo(json.dumps(told, ensure_ascii=False, allow_nan=False))
