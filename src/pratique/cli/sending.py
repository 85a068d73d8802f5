"""Send answers from the command line to a form: ask what is to be asked, and print what came of it."""

import json
import sys
from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated
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
                # A number given anew without a unit is in the household's, not in the one the entry was kept in.
                anew = {f"{name}_unit" for name in answers}
                before = answers_to_amend(FORMS[form], desk, self._amends)
                told = {**{name: one for name, one in before.items() if name not in anew}, **answers}
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
            raise refused(problems.fields, _on_the_bench(FORMS[form], desk, told, problems.fields)) from None
        print_entries(recorded, as_json=self._as_json)

    def _ask(self, questions: Mapping[str, str], desk: "Desk") -> frozenset[str]:
        """Return everything confirmed so far and now, or exit with 1 where a question stays open or is denied."""
        before: frozenset[str] = desk.confirmed if isinstance(desk.confirmed, frozenset) else frozenset()
        if self._yes:
            return before | set(questions.values())
        if not _is_terminal():
            raise refused(questions, "Nothing was written. Send it again with --yes if it is so.")
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


def refused(sentences: Mapping[str, str], after: str = "") -> typer.Exit:
    """Print each sentence with the name of its field; return what is raised to exit with 1."""
    for name, sentence in sentences.items():
        typer.echo(f"{name}: {sentence}" if name else sentence, err=True)
    if after:
        typer.echo(after, err=True)
    return typer.Exit(1)


def _on_the_bench(form: "Form", desk: "Desk", answers: "Answers", wrong: Mapping[str, str]) -> str:
    """Return where the bench helps with a field that is wrong, or nothing."""
    fields = form.fields(desk.household, answers, desk.now)
    cards = [field.bench for field in fields if field.bench and field.name in wrong]
    return f"The bench reckons it: pratique bench {cards[0]} --help" if cards else ""


def _with_files(form: "Form", desk: "Desk", answers: "Answers") -> "Answers":
    """Return the answers with the content of the files they name."""
    from pratique.casework.writing.fields import Widget  # noqa: PLC0415 - Django is ready only now

    read: dict[str, str | Sequence[str] | bytes] = dict(answers)
    for field in form.fields(desk.household, answers, desk.now):
        path = answers.get(field.name)
        if field.widget in {Widget.PHOTO, Widget.CLIP, Widget.FILE} and isinstance(path, str) and path:
            try:
                read[field.name] = Path(path).expanduser().read_bytes()
            except OSError as problem:
                raise refused({field.name: f"{path} cannot be read: {problem.strerror}."}) from None
    return read


def print_entries(entries: "Sequence[Recorded]", *, as_json: bool) -> None:
    """Print what was written, with every caution that belongs to it, or as JSON."""
    from pratique.casework.writing.forms import cautions_of  # noqa: PLC0415 - Django is ready only now

    if as_json:
        typer.echo(json.dumps([_as_dict(one) for one in entries], ensure_ascii=False, indent=2))
        return
    for one in entries:
        typer.echo(f"Written: {one.kind.replace('-', ' ')}, {one.local():%Y-%m-%d %H:%M} ({one.id})")
        if one.kind == "course" and one.amends is None:
            key = one.raw["key"]
            typer.echo(f"Its key is {key}. When it begins: pratique course start {key}")
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
