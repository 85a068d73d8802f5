"""Commands that set a household up: itself, its systems, stocks and methods, and its passphrase. No rule lives here."""

from typing import Annotated

import typer

from pratique.cli.opening import open_home
from pratique.cli.readying import make_ready
from pratique.cli.sending import Answered, AsJson, Author, Sender, Yes
from pratique.cli.write import given_answers

_LOST = (
    "A lost passphrase cannot be read back, only replaced: whoever can run this command on this machine sets a new "
    "one, and everyone signs in anew with it. No entry is lost."
)


def register(app: typer.Typer) -> None:
    """Add the commands."""
    household = typer.Typer(no_args_is_help=True, help="The household as a whole.")
    household.command("set-up")(household_command)
    app.add_typer(household, name="household")
    system = typer.Typer(no_args_is_help=True, help="Bodies of water, and the compartments that share one.")
    system.command("add")(system_command)
    system.command("change")(system_change_command)
    system.command("add-compartment")(compartment_command)
    app.add_typer(system, name="system")
    stock = typer.Typer(no_args_is_help=True, help="Stock solutions on the shelf.")
    stock.command("add")(stock_command)
    app.add_typer(stock, name="stock")
    method = typer.Typer(no_args_is_help=True, help="Ways of taking a reading, each with its error.")
    method.command("list")(method_list_command)
    method.command("edit")(method_command)
    app.add_typer(method, name="method")
    passphrase = typer.Typer(no_args_is_help=True, help="The passphrase for the home network.")
    passphrase.command("set")(passphrase_command)
    app.add_typer(passphrase, name="passphrase")


def household_command(  # noqa: PLR0913 - each is an option of the command
    *,
    name: Annotated[str | None, typer.Option(help="The household's name.")] = None,
    zone: Annotated[str | None, typer.Option(help="Its time zone, such as Europe/London; this machine's own.")] = None,
    person: Annotated[list[str] | None, typer.Option(help="Someone who writes; may be given several times.")] = None,
    volume_unit: Annotated[str | None, typer.Option(help="L or US gal.")] = None,
    temperature_unit: Annotated[str | None, typer.Option(help="°C or °F.")] = None,
    yes: Yes = False,
    as_json: AsJson = False,
) -> None:
    """Set the household up, or change what is known of it; what is left out stays as it is."""
    open_home()
    answers = _told({"name": name, "zone": zone, "volume-unit": volume_unit, "temperature-unit": temperature_unit})
    if "zone" not in answers and not _is_set_up():
        from tzlocal import get_localzone_name  # noqa: PLC0415 - only a first household asks for it

        answers["zone"] = get_localzone_name()
    if person:
        answers["people"] = list(person)
    Sender(yes=yes, as_json=as_json).send("household", answers)
    make_ready()


def system_command(  # noqa: PLR0913 - each is an option of the command
    name: Annotated[str, typer.Argument(help="The system's name.")],
    *,
    role: Annotated[str, typer.Option(help="display, quarantine, recovery or holding.")],
    gross: Annotated[str, typer.Option(help="Gross volume with its unit: 480 L.")],
    net: Annotated[str | None, typer.Option(help="Net volume of water; without it no dose can be reckoned.")] = None,
    net_plus_minus: Annotated[str | None, typer.Option(help="± of the net volume, 95 %.")] = None,
    invertebrates: Annotated[bool, typer.Option(help="Whether it keeps invertebrates.")] = False,
    since: Annotated[str, typer.Option(help="Since when it stands; now.")] = "",
    author: Author = "",
    yes: Yes = False,
    as_json: AsJson = False,
) -> None:
    """Set a system up: `pratique system add Lazaret --role quarantine --gross "90 L" --net "80 L"`."""
    answers = _told({"name": name, "role": role, "gross-volume": gross, "net-volume": net, "moment": since})
    answers |= _told({"net-plus-minus": net_plus_minus, "invertebrates": "yes" if invertebrates else "no"})
    Sender(author=author, yes=yes, as_json=as_json).open_and_send("system", answers)


def system_change_command(  # noqa: PLR0913 - each is an option of the command
    system: Annotated[str, typer.Argument(help="The system to change.")],
    *,
    name: Annotated[str | None, typer.Option(help="A new name.")] = None,
    role: Annotated[str | None, typer.Option(help="display, quarantine, recovery or holding.")] = None,
    gross: Annotated[str | None, typer.Option(help="Gross volume with its unit.")] = None,
    net: Annotated[str | None, typer.Option(help="Net volume with its unit.")] = None,
    net_plus_minus: Annotated[str | None, typer.Option(help="± of the net volume, 95 %.")] = None,
    invertebrates: Annotated[bool | None, typer.Option(help="Whether it keeps invertebrates.")] = None,
    author: Author = "",
    yes: Yes = False,
    as_json: AsJson = False,
) -> None:
    """Change what is known of a system; what is left out stays as it is."""
    answers = _told({"key": system, "name": name, "role": role, "gross-volume": gross, "net-volume": net})
    keeps = None if invertebrates is None else "yes" if invertebrates else "no"
    answers |= _told({"net-plus-minus": net_plus_minus, "invertebrates": keeps})
    Sender(author=author, yes=yes, as_json=as_json).open_and_send("system", answers)


def compartment_command(
    name: Annotated[str, typer.Argument(help="The compartment's name.")],
    system: Annotated[str, typer.Option(help="The system whose water it shares.")],
    form: Annotated[str, typer.Option(help="box, divider, sump or refugium.")],
    author: Author = "",
    yes: Yes = False,
    as_json: AsJson = False,
) -> None:
    """Set a compartment up."""
    answers = _told({"name": name, "system": system, "form": form})
    Sender(author=author, yes=yes, as_json=as_json).open_and_send("compartment", answers)


def stock_command(  # noqa: PLR0913 - each is an option of the command
    name: Annotated[str, typer.Argument(help="The name on the bottle.")],
    *,
    substance: Annotated[str, typer.Option(help="What is in it.")],
    strength: Annotated[str | None, typer.Option(help="Its strength in mg/mL of copper itself.")] = None,
    salt: Annotated[str | None, typer.Option(help="Or: g of copper sulfate pentahydrate dissolved …")] = None,
    made_up_to: Annotated[str | None, typer.Option(help="… and made up to this volume.")] = None,
    plus_minus_percent: Annotated[str | None, typer.Option(help="± of the strength in per cent; 5.")] = None,
    author: Author = "",
    yes: Yes = False,
    as_json: AsJson = False,
) -> None:
    """Set a stock solution up, by its strength or by what was dissolved."""
    answers = _told({"name": name, "substance": substance, "strength": strength, "salt": salt})
    answers |= _told({"made-up-to": made_up_to, "plus-minus-percent": plus_minus_percent})
    Sender(author=author, yes=yes, as_json=as_json).open_and_send("stock", answers)


def method_list_command(as_json: AsJson = False) -> None:
    """List the methods of reading, built-in and own, with their errors."""
    open_home()
    import json  # noqa: PLC0415
    from dataclasses import asdict  # noqa: PLC0415

    from pratique.casework.methods import methods_of  # noqa: PLC0415 - Django is ready only now
    from pratique.ledger.household import load_household  # noqa: PLC0415

    methods = methods_of(load_household()).values()
    if as_json:
        typer.echo(json.dumps([asdict(one) for one in methods], ensure_ascii=False, indent=2))
        return
    for one in methods:
        typer.echo(f"{one.key:<28} {one.name} ({', '.join(one.constituents)})")


def method_command(
    method: Annotated[str, typer.Argument(help="The method to change, or the name of a new one.")],
    answers: Annotated[
        list[str] | None,
        typer.Argument(metavar="NAME=VALUE", help="plus-minus=0.03, marks='0; 0.1; 0.2' …; see --fields of `write`."),
    ] = None,
    author: Author = "",
    yes: Yes = False,
    as_json: AsJson = False,
) -> None:
    """Change a method, or set up a new one: `pratique method edit copper_photometer plus-minus=0.04`."""
    open_home()
    from pratique.casework.methods import methods_of  # noqa: PLC0415 - Django is ready only now
    from pratique.ledger.household import load_household  # noqa: PLC0415

    is_known = method in methods_of(load_household())
    told = given_answers(answers or []) | {"key" if is_known else "name": method}
    Sender(author=author, yes=yes, as_json=as_json).send("method", told)


def passphrase_command() -> None:
    """Set the passphrase for the home network, also where the old one was lost."""
    open_home()
    from pratique.web.door import SHORTEST, has_passphrase, set_passphrase  # noqa: PLC0415 - Django is ready only now

    if has_passphrase():
        typer.echo(_LOST)
    passphrase = typer.prompt("New passphrase", hide_input=True, confirmation_prompt="The same again")
    if len(passphrase) < SHORTEST:
        typer.echo(f"A passphrase needs at least {SHORTEST} letters; four plain words are easy to keep.", err=True)
        raise typer.Exit(1)
    set_passphrase(passphrase)
    typer.echo("The passphrase is set. `pratique serve --lan` now opens the ledger to the home network.")


def _told(options: dict[str, str | None]) -> Answered:
    """Return the options that were given."""
    return {name: value for name, value in options.items() if value is not None}


def _is_set_up() -> bool:
    from pratique.ledger.household import load_household  # noqa: PLC0415 - Django is ready only now

    return load_household().state is not None
