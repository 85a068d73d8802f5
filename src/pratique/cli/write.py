"""`pratique write …`: every form on the command line, and shorter commands for the main job. No rule lives here."""

import json
import sys
from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, NoReturn
from uuid import UUID

import typer

from pratique.cli.opening import open_home

if TYPE_CHECKING:
    from pratique.casework.writing.desk import Answers, Desk
    from pratique.casework.writing.form import Form
    from pratique.ledger.entries import Recorded

At = Annotated[str, typer.Option("--at", help="When it happened: 18:30, yesterday 18:30 or 2026-11-25 18:30.")]
Author = Annotated[str, typer.Option("--author", help="Who writes; the first of the household where left out.")]
Yes = Annotated[bool, typer.Option("--yes", help="Answer every question with yes.")]
AsJson = Annotated[bool, typer.Option("--json", help="Print the entries for a script.")]
Words = Annotated[str, typer.Option("--words", help="Free words, kept with the entry.")]
Answered = dict[str, str | list[str]]


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
        say_problems(problems.fields)
    _print_entries([recorded], as_json=as_json)


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
    override: Annotated[str | None, typer.Option(help="Why the level must go higher than is known to be safe.")] = None,
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


class Sender:
    """Sends answers to a form, asks what is to be asked, and prints what came of it."""

    def __init__(
        self,
        *,
        author: str = "",
        yes: bool = False,
        as_json: bool = False,
        entry_id: UUID | None = None,
        amends: UUID | None = None,
    ) -> None:
        self._author, self._yes, self._as_json = author, yes, as_json
        self._entry_id, self._amends = entry_id, amends

    def open_and_send(self, form: str, answers: Answered) -> None:
        """Open the home, then send."""
        open_home()
        self.send(form, answers)

    def send(self, form: str, answers: Answered) -> None:
        """Write the form, or exit with 1 after the sentences that say why not."""
        from pratique.casework.writing.desk import Doubts, Problems  # noqa: PLC0415 - Django is ready only now
        from pratique.casework.writing.forms import FORMS, answers_to_amend, check_names, write_form  # noqa: PLC0415

        desk = desk_for(self._author)
        if self._entry_id is not None:
            desk = replace(desk, entry_id=self._entry_id)
        try:
            told: Answers = answers
            if self._amends is not None:
                told = {**answers_to_amend(FORMS[form], desk, self._amends), **answers}
            else:
                check_names(FORMS[form], desk, told)
            told = _with_files(FORMS[form], desk, told)
            while True:
                try:
                    recorded = write_form(form, desk, told, amends=self._amends)
                    break
                except Doubts as doubts:
                    desk = replace(desk, confirmed=self._ask(doubts.fields, desk))
        except Problems as problems:
            say_problems(problems.fields)
        _print_entries(recorded, as_json=self._as_json)

    def _ask(self, questions: Mapping[str, str], desk: "Desk") -> frozenset[str]:
        """Return everything confirmed so far and now, or exit with 1 where a question stays open or is denied."""
        before: frozenset[str] = desk.confirmed if isinstance(desk.confirmed, frozenset) else frozenset()
        if self._yes:
            return before | set(questions.values())
        if not _is_terminal():
            say_problems(questions, "Nothing was written. Send it again with --yes if it is so.")
        for sentence in questions.values():
            if not typer.confirm(sentence, err=True):
                typer.echo("Nothing was written.", err=True)
                raise typer.Exit(1)
        return before | set(questions.values())


def _is_terminal() -> bool:
    return sys.stdin.isatty()


def desk_for(author: str) -> "Desk":
    """Return a desk at the command line, now, with a fresh entry id."""
    from pratique.casework.writing.desk import Desk  # noqa: PLC0415 - Django is ready only now
    from pratique.ledger.entries import new_entry_id  # noqa: PLC0415
    from pratique.ledger.household import load_household  # noqa: PLC0415

    household = load_household()
    people = household.state.people if household.state is not None else ()
    return Desk(
        household=household,
        now=datetime.now(UTC),
        author=author or next(iter(people), "keeper"),
        source="cli",
        entry_id=new_entry_id(),
    )


def say_problems(sentences: Mapping[str, str], after: str = "") -> NoReturn:
    """Print each sentence with the name of its field, and exit with 1."""
    for name, sentence in sentences.items():
        typer.echo(f"{name}: {sentence}" if name else sentence, err=True)
    if after:
        typer.echo(after, err=True)
    raise typer.Exit(1)


def _form(name: str) -> "Form":
    from pratique.casework.writing.forms import FORMS  # noqa: PLC0415 - Django is ready only now
    from pratique.casework.writing.keys import nearest  # noqa: PLC0415

    if name in FORMS:
        return FORMS[name]
    near = nearest(name, {key: form.title for key, form in FORMS.items()})
    hint = f"Did you mean {near}?" if near else "`pratique write --list` shows them all."
    say_problems({"": f"There is no form called “{name}”. {hint}"})


def given_answers(pairs: Sequence[str], at: str = "") -> Answered:
    """Return answers written as NAME=VALUE; a name written several times has several answers."""
    answers: Answered = {}
    for pair in pairs:
        name, is_pair, value = pair.partition("=")
        if not is_pair:
            say_problems({"": f"“{pair}” is not an answer; write NAME=VALUE, such as system=lazaret."})
        before = answers.get(name)
        answers[name] = value if before is None else [*([before] if isinstance(before, str) else before), value]
    return answers | ({"moment": at} if at else {})


def _with_files(form: "Form", desk: "Desk", answers: "Answers") -> "Answers":
    """Return the answers with the content of the files they name."""
    from pratique.casework.writing.fields import Widget  # noqa: PLC0415 - Django is ready only now

    read: dict[str, str | Sequence[str] | bytes] = dict(answers)
    for field in form.fields(desk.household, answers, desk.now):
        path = answers.get(field.name)
        if field.widget is Widget.PHOTO and isinstance(path, str) and path:
            try:
                read[field.name] = Path(path).expanduser().read_bytes()
            except OSError as problem:
                say_problems({field.name: f"{path} cannot be read: {problem.strerror}."})
    return read


def _uuid(text: str) -> UUID | None:
    if not text:
        return None
    try:
        return UUID(text)
    except ValueError:
        say_problems({"": f"“{text}” is not an entry's id; `pratique ledger history` shows the ids."})


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


def _print_entries(entries: "Sequence[Recorded]", *, as_json: bool) -> None:
    from pratique.casework.writing.forms import cautions_of  # noqa: PLC0415 - Django is ready only now

    if as_json:
        typer.echo(json.dumps([_as_dict(one) for one in entries], ensure_ascii=False, indent=2))
        return
    for one in entries:
        typer.echo(f"Written: {one.kind.replace('-', ' ')}, {one.local():%Y-%m-%d %H:%M} ({one.id})")
    for caution in cautions_of(entries):
        typer.echo(f"Caution: {caution}")


def _as_dict(entry: "Recorded") -> dict[str, object]:
    return {
        "id": str(entry.id),
        "kind": entry.kind,
        "happened_at": entry.local().isoformat(),
        "author": entry.author,
        "amends": str(entry.amends) if entry.amends else None,
        "withdraws": str(entry.withdraws) if entry.withdraws else None,
        "payload": entry.raw,
    }
