"""`pratique exposure`: one constituent of one system, reckoned from the ledger. No rule lives here."""

import dataclasses
import json
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Annotated

import typer

from pratique import knowledge
from pratique.casework.words import amount, sentence_case
from pratique.cli.answer_words import between, odd_words, plain, print_exposure, print_learned
from pratique.cli.opening import open_home

if TYPE_CHECKING:
    from pratique.casework.reckoning.ledger_answer import JudgedBy, LedgerAnswer
    from pratique.ledger.household import Household


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command("exposure")(exposure_command)


def exposure_command(
    system: Annotated[str, typer.Option(help="The key of the system, such as lazaret.")],
    constituent: Annotated[str, typer.Option(help="What is reckoned, such as copper.")],
    as_json: Annotated[bool, typer.Option("--json", help="Print the whole answer for a script.")] = False,
) -> None:
    """Reckon what is in a system's water by the ledger, how sure that is, and how long a course held its band."""
    open_home()
    from pratique.casework.reckoning.ledger_answer import NothingToAnswer, answer_ledger  # noqa: PLC0415 - after set-up
    from pratique.cli.readying import say_if_cold  # noqa: PLC0415
    from pratique.ledger.household import load_household  # noqa: PLC0415

    household = load_household()
    say_if_cold()
    try:
        found = answer_ledger(household, system, constituent, now=datetime.now(UTC))
    except NothingToAnswer as problem:
        typer.echo(str(problem), err=True)
        raise typer.Exit(1) from None
    if as_json:
        typer.echo(json.dumps(dataclasses.asdict(found), default=plain, allow_nan=False))
        return
    _print(found, household)


def _print(found: "LedgerAnswer", household: "Household") -> None:
    """Print the answer in words: the level now, and what the days since the course began come to."""
    told, ends = knowledge.constituent(found.constituent), found.times[-1].astimezone(household.zone)
    low, middle, high = (found.quantiles[key][-1] for key in ("0.025", "0.5", "0.975"))
    unit = "" if found.constituent == "ph" else f" {found.unit}"
    level = f"{between(middle, low, high, told.decimals)}{unit}"
    typer.echo(f"{sentence_case(told.name)} in {household.systems[found.system].name}, {ends:%d %b %H:%M}: {level}")
    if found.ends_early:
        typer.echo(found.ends_early)
    print_learned(found.volume_l, found.loss_per_day)
    if found.course is not None:
        typer.echo(_course_words(found.course, found.unit, household))
    if found.exposure is not None and found.course is not None:
        above = f"Above {amount(found.course.hard_upper, 2, found.unit)}"
        print_exposure(found.exposure, above=above, zone=household.zone)
    for odd in found.surprising_readings:
        typer.echo(odd_words(odd, told.decimals, zone=household.zone))
    if found.advice is not None:
        typer.echo(f"{found.advice.title}. {found.advice.words}")
        for caution in found.advice.cautions:
            typer.echo(f"  {caution}")
    for words in found.assumed:
        typer.echo(words)


def _course_words(course: "JudgedBy", unit: str, household: "Household") -> str:
    band = f"{amount(course.target_lower, 2)} to {amount(course.target_upper, 2, unit)}"
    if course.known_until is None:
        known = "It was never read, so nothing is credited."
    else:
        known = f"Days count as far as a reading tells, to {course.known_until.astimezone(household.zone):%d %b %H:%M}."
    hard = amount(course.hard_upper, 2)
    return f"{course.name}: {band}, never above {hard}, for {course.required_days:g} days. {known}"
