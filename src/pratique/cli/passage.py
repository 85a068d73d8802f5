"""`pratique passage compare`: passages side by side before the first fish is bought.

Needs no household, unless a protocol of its own is named.
"""

import json
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from pratique.cli.fallow import fallow_command
from pratique.cli.opening import open_home
from pratique.cli.protocol import read_own
from pratique.cli.sending import refused

if TYPE_CHECKING:
    from pratique.casework.sheets.compare import ComparedPassage, Comparison
    from pratique.knowledge import Protocol
    from pratique.ledger.household import Household

_FLAGS = {"protocol": "", "species": "--species", "temperature": "--temperature", "volume": "--volume"}


def register(app: typer.Typer) -> None:
    """Add the group."""
    group = typer.Typer(help="Passages: how surely the animals come out clear, and how fit.", no_args_is_help=True)
    group.callback()(_passages)
    group.command("compare")(compare_command)
    group.command("fallow")(fallow_command)
    app.add_typer(group, name="passage")


def _passages() -> None:
    """Passages: how surely the animals come out clear, and how fit."""


def compare_command(
    protocols: Annotated[
        list[str],
        typer.Argument(
            help="Two or more, such as copper-30, your own by name, or files of your own in TOML.", show_default=False
        ),
    ],
    species: Annotated[
        list[str] | None,
        typer.Option(
            "--species", help="A kind of fish, such as yellow_tang or banggai_cardinalfish:2; may be repeated."
        ),
    ] = None,
    temperature: Annotated[str, typer.Option("--temperature", help="Of the water: 26, or 79 °F.")] = "26",
    volume: Annotated[
        str, typer.Option("--volume", help="Net volume of one tank, such as 60 L; to reckon water.")
    ] = "",
    as_json: Annotated[bool, typer.Option("--json", help="Print it for a script.")] = False,
) -> None:
    """Compare passages for the same fishes and water: P(clear) by day, days, moves, fitness, and what recovery adds."""
    from pratique.casework.compare import compare  # noqa: PLC0415 - loaded where it is used
    from pratique.casework.compare_asked import NotCompared, asked_of  # noqa: PLC0415
    from pratique.casework.compare_told import told  # noqa: PLC0415

    plans = [read_own(Path(one)) if one.endswith(".toml") else one for one in protocols]
    try:
        found = compare(
            asked_of(plans, species or [], temperature=temperature, volume=volume, household=_household(plans))
        )
    except NotCompared as problem:
        raise refused({_FLAGS[name]: sentence for name, sentence in problem.fields.items()}) from None
    if as_json:
        typer.echo(json.dumps(told(found), ensure_ascii=False, allow_nan=False))
        return
    _print(found)


def _household(plans: "Sequence[str | Protocol]") -> "Household | None":
    """Return the household where a name is none of the shipped ones: it may be one of its own."""
    from pratique import knowledge  # noqa: PLC0415 - loaded where it is used

    shipped = {name for one in knowledge.protocols() for name in (one.key, one.short_name)}
    if all(not isinstance(one, str) or one.strip() in shipped for one in plans):
        return None
    open_home()
    from pratique.ledger.household import load_household  # noqa: PLC0415 - Django is ready only now

    return load_household()


def _print(found: "Comparison") -> None:
    typer.echo(found.gist)
    typer.echo(f"For {found.animals} at {found.temperature_c:g}\u202f°C. {found.event}")
    for one in found.passages:
        _print_passage(one)
    typer.echo("\nTaken for granted (value, lowest to highest; status)")
    for told in found.assumptions:
        typer.echo(f"  {told.words}: {told.value}; {told.reason.status}. {told.effect}.")
    for caution in found.cautions[:1]:
        typer.echo(f"Caution: {caution}")


def _print_passage(one: "ComparedPassage") -> None:
    from pratique.casework.compare_words import likely_words, looks_words, weight_words  # noqa: PLC0415
    from pratique.casework.words import days_words, percent  # noqa: PLC0415

    typer.echo(f"\n{one.name} ({one.key})")
    typer.echo(
        f"  {days_words(one.days_to_clearance)} to clearance, {days_words(one.days_total)} in all, "
        f"{days_words(one.days_medicated)} of medicine; {one.transfers} moves into clean tanks"
    )
    typer.echo(f"  Clear at clearance by what is done alone: {likely_words(one.clear)}")
    typer.echo(f"  {looks_words(one)}")
    for line in one.parasites:
        typer.echo(f"    {line.name}: {likely_words(line.clear)}{'' if line.is_meant else ', not meant against it'}")
    for kind in one.kinds:
        weight = weight_words(kind.weight.value)
        typer.echo(f"    {kind.name}: {percent(kind.fit)} likely to be fit, {weight} of a well-fed weight")
    for sentence in (one.recovery.words if one.recovery else "", one.not_meant, *(line.words for line in one.species)):
        if sentence:
            typer.echo(f"  {sentence}")
    typer.echo(
        f"  Work: {one.tanks} tanks of water, {one.moves} moves, {one.doses} doses against flukes, "
        f"{one.readings} readings, {one.looks} looks"
    )
