"""`pratique rounds`: what should worry the keeper today, and what is due."""

import dataclasses
import json
import sys
from datetime import UTC, date, datetime, time, timedelta
from typing import Annotated, Any

import typer

from pratique.cli.opening import open_home


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command("rounds")(rounds_command)


def rounds_command(
    on: Annotated[
        str, typer.Option(help="The rounds as they stood at the end of that day: 2026-11-20, or yesterday.")
    ] = "",
    as_json: Annotated[bool, typer.Option("--json", help="Print them for a script.")] = False,
) -> None:
    """Walk past every system and animal: concerns, worst first, then what is due."""
    open_home()
    try:
        print_rounds(_day(on), as_json=as_json)
    except NoSuchDay as problem:
        typer.echo(str(problem), err=True)
        raise typer.Exit(1) from None


class NoSuchDay(ValueError):
    """The rounds of a day that has not come yet, or cannot be read, were asked for."""


def _day(text: str) -> date | None:
    """Return the day a text names by the household's clock, or None for no text; raises NoSuchDay."""
    from pratique.ledger.household import load_household  # noqa: PLC0415 - Django is not set up when this file loads

    word = text.strip().casefold()
    if not word:
        return None
    today = datetime.now(load_household().zone).date()
    named = {"today": today, "yesterday": today - timedelta(days=1)}
    try:
        return named[word] if word in named else date.fromisoformat(word)
    except ValueError:
        message = f"“{text}” is not a day; write it like 2026-11-20, or today or yesterday."
        raise NoSuchDay(message) from None


def moment_of(on: date | None) -> datetime:
    """Return now, or the end of an earlier day in the household's zone; raises NoSuchDay for a later one."""
    from pratique.ledger.household import load_household  # noqa: PLC0415 - Django is not set up when this file loads

    now = datetime.now(UTC)
    zone = load_household().zone
    today = now.astimezone(zone).date()
    if on is None or on == today:
        return now
    if on > today:
        message = f"{on:%d %B %Y} has not come yet; rounds can be walked for today or an earlier day."
        raise NoSuchDay(message)
    return datetime.combine(on + timedelta(days=1), time(), zone) - timedelta(seconds=1)


def print_rounds(on: date | None, *, as_json: bool) -> None:
    """Print the rounds in words, or as JSON. The home must be open."""
    from pratique.casework.rounds import rounds  # noqa: PLC0415 - Django is not set up when this file loads
    from pratique.ledger.household import load_household, load_household_at  # noqa: PLC0415

    moment = moment_of(on)
    household = load_household() if on is None else load_household_at(moment)
    found = rounds(household, now=moment)
    if as_json:
        typer.echo(json.dumps(dataclasses.asdict(found), default=_plain, ensure_ascii=False, indent=2))
        return
    if household.state is None and load_household().state is not None:
        typer.echo("On that day no household was set up yet.")
        return
    if household.state is None:
        typer.echo("No household is set up here yet. Begin with: pratique household set-up --name NAME")
        return
    _print_words(found, household.zone)


def _plain(value: Any) -> str:
    if isinstance(value, date | datetime):
        return value.isoformat()
    return str(value)


def _print_words(found: Any, zone: Any) -> None:
    from rich.console import Console  # noqa: PLC0415 - only a terminal needs it
    from rich.padding import Padding  # noqa: PLC0415
    from rich.text import Text  # noqa: PLC0415

    console = Console(file=sys.stdout, highlight=False, soft_wrap=False, width=min(100, Console().width))
    console.print(f"\n[bold]{found.household}[/] · {found.day:%A} {found.day.day} {found.day:%B}")
    console.print(f"{found.gist}\n")
    for concern in found.concerns:
        console.print(Text.assemble((concern.title, "bold"), f" ({concern.weight_words})"))
        for sentence in concern.said:
            console.print(Padding(sentence, (0, 0, 0, 2)))
        if concern.just_before:
            words = "; ".join(one.words for one in concern.just_before)
            console.print(Padding(f"Just before (coincidence, not cause): {words}.", (0, 0, 0, 2)))
        if concern.next_steps:
            console.print(Padding(f"→ {concern.next_steps[0].words}", (0, 0, 0, 2)))
        for caution in concern.cautions[:1]:
            console.print(Padding(f"Caution: {caution}", (0, 0, 0, 2)))
        console.print()
    console.print("[bold]Due today[/]")
    for due in found.due:
        late = " (due)" if due.overdue_hours else ""
        console.print(f"  {due.at.astimezone(zone):%d %b %H:%M}  {due.words}{late}")
    if not found.due:
        console.print("  Nothing more today.")
