"""`pratique write …`: every form on the command line, and shorter commands for the main job. No rule lives here."""

from collections.abc import Sequence
from typing import TYPE_CHECKING, Annotated
from uuid import UUID

import typer

from pratique.cli.opening import open_home
from pratique.cli.sending import Answered, AsJson, At, Author, Sender, Words, Yes, desk_for, print_entries, refused

if TYPE_CHECKING:
    from pratique.casework.writing.form import Form


def register(app: typer.Typer) -> None:
    """Add the commands."""
    app.command("write")(write_command)
    app.command("withdraw")(withdraw_command)
    app.command("move")(move_command)
    batch = typer.Typer(no_args_is_help=True, help="Animals that arrive together.")
    batch.command("receive")(receive_command)
    app.add_typer(batch, name="batch")
    course = typer.Typer(no_args_is_help=True, help="Courses of treatment.")
    course.command("plan")(plan_command)
    course.command("start")(start_command)
    course.command("stop")(stop_command)
    app.add_typer(course, name="course")


def write_command(  # noqa: PLR0913 - each is an option of the command
    form: Annotated[str, typer.Argument(help="The form; see --list.")] = "",
    answers: Annotated[list[str] | None, typer.Argument(metavar="NAME=VALUE", help="Answers; see --fields.")] = None,
    *,
    at: At = "",
    author: Author = "",
    yes: Yes = False,
    as_json: AsJson = False,
    list_forms: Annotated[bool, typer.Option("--list", help="List the forms.")] = False,
    show_fields: Annotated[bool, typer.Option("--fields", help="Show what the form asks.")] = False,
    amends: Annotated[str, typer.Option(help="The id of an entry to amend; answers left out stay as they are.")] = "",
    entry_id: Annotated[str, typer.Option("--id", help="The entry's own id: sent twice, it is written once.")] = "",
) -> None:
    """Write an entry: `pratique write readings system=lazaret copper=0,18 ph=8.1`."""
    open_home()
    if list_forms or not form:
        _print_forms()
        return
    chosen = _form(form)
    given = given_answers(answers or [], at)
    if show_fields:
        _print_fields(chosen, given)
        return
    sender = Sender(author=author, yes=yes, as_json=as_json, entry_id=_uuid(entry_id), amends=_uuid(amends))
    sender.send(chosen.name, given)


def withdraw_command(
    entry: Annotated[str, typer.Argument(help="The id of the entry; `pratique ledger history` shows it.")],
    words: Annotated[str, typer.Argument(help="Why it should not stand.")],
    author: Author = "",
    as_json: AsJson = False,
) -> None:
    """Withdraw an entry that should not stand; it stays readable."""
    open_home()
    from pratique.casework.writing.desk import Problems  # noqa: PLC0415 - Django is ready only now
    from pratique.casework.writing.forms import withdraw  # noqa: PLC0415

    target = _uuid(entry)
    try:
        recorded = withdraw(desk_for(author), target or UUID(int=0), words)
    except Problems as problems:
        raise refused(problems.fields) from None
    print_entries([recorded], as_json=as_json)


def move_command(  # noqa: PLR0913 - each is an option of the command
    animals: Annotated[list[str], typer.Argument(help="Animals, by name or key.")],
    *,
    to: Annotated[str, typer.Option("--to", help="A system, or a compartment: skerry/creel.")],
    at: At = "",
    words: Words = "",
    author: Author = "",
    yes: Yes = False,
    as_json: AsJson = False,
) -> None:
    """Move animals to another place."""
    sender = Sender(author=author, yes=yes, as_json=as_json)
    sender.open_and_send("move", {"animals": list(animals), "place": to, "moment": at, "words": words})


def receive_command(  # noqa: PLR0913 - each is an option of the command
    animals: Annotated[list[str], typer.Argument(metavar="[NAME=]KIND[:COUNT]", help="Up to eight animals.")],
    *,
    protocol: Annotated[str, typer.Option(help="The protocol they follow.")],
    into: Annotated[str | None, typer.Option(help="The system they are put in.")] = None,
    name: Annotated[str | None, typer.Option(help="The batch's name.")] = None,
    at: At = "",
    words: Words = "",
    author: Author = "",
    yes: Yes = False,
    as_json: AsJson = False,
) -> None:
    """Receive a batch: `pratique batch receive --protocol copper_ionic_30 --into lazaret royal_gramma`."""
    answers: Answered = {"protocol": protocol, "moment": at, "words": words}
    answers |= {key: value for key, value in (("system", into), ("name", name)) if value is not None}
    for number, animal in enumerate(animals, start=1):
        named, has_name, kind = animal.rpartition("=")
        species, _, count = kind.partition(":")
        answers[f"animal-{number}-species"], answers[f"animal-{number}-count"] = species, count
        answers |= {f"animal-{number}-name": named} if has_name else {}
    Sender(author=author, yes=yes, as_json=as_json).open_and_send("batch", answers)


def plan_command(  # noqa: PLR0913 - each is an option of the command
    *,
    system: Annotated[str, typer.Option(help="The system that is treated.")],
    batch: Annotated[str | None, typer.Option(help="The batch it is for.")] = None,
    stock: Annotated[str | None, typer.Option(help="The stock solution.")] = None,
    substance: Annotated[str | None, typer.Option(help="The substance, where it is not the stock's.")] = None,
    name: Annotated[str | None, typer.Option(help="The course's name.")] = None,
    lower: Annotated[str | None, typer.Option("--from", help="The target's lower end.")] = None,
    upper: Annotated[str | None, typer.Option("--to", help="The target's upper end.")] = None,
    limit: Annotated[str | None, typer.Option(help="The upper limit.")] = None,
    days: Annotated[str | None, typer.Option(help="Unbroken days needed.")] = None,
    override: Annotated[
        str | None, typer.Option(help="Why it is planned all the same, against what is known to be safe.")
    ] = None,
    at: At = "",
    words: Words = "",
    author: Author = "",
    yes: Yes = False,
    as_json: AsJson = False,
) -> None:
    """Plan a course; band and days are filled in from the form of copper and the protocol."""
    told = {
        "batch": batch,
        "stock": stock,
        "substance": substance,
        "name": name,
        "target-lower": lower,
        "target-upper": upper,
        "hard-upper": limit,
        "required-days": days,
        "override": override,
    }
    answers: Answered = {"system": system, "moment": at, "words": words}
    answers |= {key: value for key, value in told.items() if value is not None}
    Sender(author=author, yes=yes, as_json=as_json).open_and_send("course", answers)


def start_command(
    course: Annotated[str, typer.Argument(help="The planned course.")],
    at: At = "",
    words: Words = "",
    author: Author = "",
    yes: Yes = False,
    as_json: AsJson = False,
) -> None:
    """Write that a planned course began."""
    answers: Answered = {"course": course, "moment": at, "words": words}
    Sender(author=author, yes=yes, as_json=as_json).open_and_send("course-start", answers)


def stop_command(
    course: Annotated[str, typer.Argument(help="The course under way.")],
    at: At = "",
    words: Words = "",
    author: Author = "",
    yes: Yes = False,
    as_json: AsJson = False,
) -> None:
    """Write that a course ended."""
    answers: Answered = {"course": course, "moment": at, "words": words}
    Sender(author=author, yes=yes, as_json=as_json).open_and_send("course-stop", answers)


def _form(name: str) -> "Form":
    from pratique.casework.writing.forms import FORMS  # noqa: PLC0415 - Django is ready only now
    from pratique.casework.writing.keys import nearest  # noqa: PLC0415

    if name in FORMS:
        return FORMS[name]
    near = nearest(name, {key: form.title for key, form in FORMS.items()})
    hint = f"Did you mean {near}?" if near else "`pratique write --list` shows them all."
    raise refused({"": f"There is no form called “{name}”. {hint}"})


def given_answers(pairs: Sequence[str], at: str = "") -> Answered:
    """Return answers written as NAME=VALUE; a name written several times has several answers."""
    answers: Answered = {}
    for pair in pairs:
        name, is_pair, value = pair.partition("=")
        if not is_pair:
            raise refused({"": f"“{pair}” is not an answer; write NAME=VALUE, such as system=lazaret."})
        before = answers.get(name)
        answers[name] = value if before is None else [*([before] if isinstance(before, str) else before), value]
    return answers | ({"moment": at} if at else {})


def _uuid(text: str) -> UUID | None:
    if not text:
        return None
    try:
        return UUID(text)
    except ValueError:
        raise refused({"": f"“{text}” is not an entry's id; `pratique ledger history` shows the ids."}) from None


def _print_forms() -> None:
    from pratique.casework.writing.forms import FORMS  # noqa: PLC0415 - Django is ready only now

    group = ""
    for form in FORMS.values():
        if form.group != group:
            group = form.group
            typer.echo(f"{group[:1].upper()}{group[1:]}")
        typer.echo(f"  {form.name:<13} {form.title}")


def _print_fields(form: "Form", answers: Answered) -> None:
    """Print what a form asks; a question with few choices shows them all."""
    desk = desk_for("")
    for field in form.fields(desk.household, answers, desk.now):
        needed = " (needed)" if field.required else ""
        initial = field.initial if isinstance(field.initial, str) else ", ".join(field.initial)
        assumed = f" [{initial}]" if initial else ""
        units = f" in {', '.join(field.units)}" if field.units else ""
        typer.echo(f"{field.name:<22} {field.label}{units}{assumed}{needed}")
        if field.hint:
            typer.echo(f"{'':<22} {field.hint}")
        choices = [option.value for option in field.options if option.value]
        if choices:
            typer.echo(f"{'':<22} {', '.join(choices)}")
