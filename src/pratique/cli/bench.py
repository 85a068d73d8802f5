"""`pratique bench …`: one command for each card of the bench. Needs no household; no rule lives here."""

import dataclasses
import inspect
import json
from collections.abc import Callable
from functools import cache
from typing import TYPE_CHECKING, Annotated, Any

import typer
import typer.core
import typer.main

from pratique.cli.sending import refused

if TYPE_CHECKING:
    from pratique.casework.bench.card import BenchAnswer, Card
    from pratique.casework.writing.fields import Field

_HELP = "Calculations at the sink: units in any way they are written, errors carried, sources named."
_DIGITS_OF_ERROR = 3


class BenchGroup(typer.core.TyperGroup):
    """The cards as commands, made only when one is asked for: a command that is not of the bench pays nothing."""

    def list_commands(self, ctx: Any) -> list[str]:
        """Return the name of every card."""
        return list(_commands().list_commands(ctx))

    def get_command(self, ctx: Any, cmd_name: str) -> Any:
        """Return the command of a card, None for no such card."""
        return _commands().get_command(ctx, cmd_name)


def register(app: typer.Typer) -> None:
    """Add the group."""
    app.add_typer(typer.Typer(), name="bench", cls=BenchGroup, help=_HELP, no_args_is_help=True)


@cache
def _commands() -> Any:
    from pratique.casework.bench.cards import BENCH  # noqa: PLC0415 - only the bench pays for loading its science

    made = typer.Typer(pretty_exceptions_enable=False, rich_markup_mode=None)
    # A group even if it had a single card.
    made.callback()(_bench)
    for card in BENCH.values():
        made.command(card.name, help=card.words, no_args_is_help=True)(_command(card))
    return typer.main.get_group(made)


def _bench() -> None:
    """Calculations at the sink."""


def _command(card: "Card") -> Callable[..., None]:
    """Return the command of a card: one option for each of its questions, and a unit may stand behind any number."""
    options = {_parameter(one): one for one in card.fields}

    def command(*, as_json: bool, **given: str) -> None:
        answers = {options[name].name: text for name, text in given.items() if text}
        _print(card, answers, as_json=as_json)

    asked = [_option(name, str, "", _flag(one), _help(one)) for name, one in options.items()]
    json_option = _option("as_json", bool, False, "--json", "Print the answer for a script.")
    parameters = [*asked, json_option]
    # Typer reads a command's options off its signature.
    command.__signature__ = inspect.Signature(parameters)  # type: ignore[attr-defined]
    command.__annotations__ = {one.name: one.annotation for one in parameters}
    return command


def _option(name: str, kind: type, default: object, flag: str, words: str) -> inspect.Parameter:
    return inspect.Parameter(
        name,
        inspect.Parameter.KEYWORD_ONLY,
        default=default,
        annotation=Annotated[kind, typer.Option(flag, help=words, show_default=False)],
    )


def _parameter(field: "Field") -> str:
    # Some names, such as `raise`, are words of the language.
    return f"{field.name}_"


def _flag(field: "Field") -> str:
    return f"--{field.name.replace('_', '-')}"


def _help(field: "Field") -> str:
    """Return a question as the help of its option, with units and choices."""
    parts = [field.label]
    if field.units:
        parts.append(f"in {', '.join(field.units)}")
    choices = [one.value for one in field.options if one.value]
    if choices:
        parts.append(f"one of: {', '.join(choices)}")
    if field.initial:
        parts.append(f"taken as {field.initial} where left out")
    return "; ".join(parts) + "." + (f" {field.hint}" if field.hint else "")


def _print(card: "Card", answers: dict[str, str], *, as_json: bool) -> None:
    from pratique.casework.bench.card import NotAnswered  # noqa: PLC0415 - only the bench pays for loading its science
    from pratique.casework.bench.reckon import reckon  # noqa: PLC0415

    try:
        found = reckon(card.name, answers)
    except NotAnswered as problem:
        flags = {f"--{name.replace('_', '-')}" if name else "": sentence for name, sentence in problem.fields.items()}
        raise refused(flags) from None
    if as_json:
        typer.echo(json.dumps(_as_dict(found), ensure_ascii=False, indent=2))
    else:
        _print_words(found)


def _as_dict(found: "BenchAnswer") -> dict[str, object]:
    """Return an answer for a script: numbers to the digit that is meant, and `unrounded` as they were reckoned."""
    told = dataclasses.asdict(found)
    rounded = {
        "value": round(found.value, found.decimals),
        "unit": found.unit,
        "plus_minus": float(f"{found.plus_minus:.{_DIGITS_OF_ERROR}g}"),
        "unrounded": found.value,
    }
    return {**rounded, **{name: one for name, one in told.items() if name not in rounded}}


def _print_words(found: "BenchAnswer") -> None:
    from pratique.casework.bench.saying import figure_words  # noqa: PLC0415 - as above

    typer.echo(found.words)
    for sentence in (*found.warnings, *found.cautions):
        typer.echo(f"Caution: {sentence}")
    for step in found.steps:
        typer.echo(f"  {step.words}{f': {step.number}' if step.number else ''}")
    for one in found.more:
        typer.echo(f"  {one.words}: {figure_words(one)}")
    if found.dominated_by:
        typer.echo(f"Most of the error comes from: {found.dominated_by}.")
    for sentence in (*((found.volume_words,) if found.volume_words else ()), *found.extrapolated, *found.assumed):
        typer.echo(sentence)
    typer.echo("Working")
    for line in found.working:
        typer.echo(f"  {line.words}{f': {line.number}' if line.number else ''}")
    typer.echo("Sources")
    for source in found.sources:
        typer.echo(f"  {source.words} {source.source} ({source.status}).")
