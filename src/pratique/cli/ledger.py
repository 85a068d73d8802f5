"""`pratique ledger …`: entries in and out of the ledger, its proof, and its history."""

import json
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import asdict
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, NoReturn

import typer

from pratique.cli.opening import open_home

if TYPE_CHECKING:
    from pratique.ledger.entries import Recorded
    from pratique.ledger.importing.intake import ImportReport
    from pratique.ledger.importing.mapping import Mapping
    from pratique.ledger.importing.table import Table

AsJson = Annotated[bool, typer.Option("--json", help="Print the result for a script.")]


def register(app: typer.Typer) -> None:
    """Add the group of commands."""
    group = typer.Typer(no_args_is_help=True, help="Entries in and out of the ledger, its proof, and its history.")
    group.command("import")(import_command)
    group.command("export")(export_command)
    group.command("restore")(restore_command)
    group.command("verify")(verify_command)
    group.command("history")(history_command)
    app.add_typer(group, name="ledger")


def import_command(
    file: Annotated[Path, typer.Argument(help="A table as text: columns parted by semicolons, commas or tabs.")],
    mapping: Annotated[Path | None, typer.Option(help="A TOML file that says what each column holds.")] = None,
    author: Annotated[str, typer.Option(help="Who wrote these lines.")] = "keeper",
    dry_run: Annotated[bool, typer.Option("--dry-run", help="Say what would happen; write nothing.")] = False,
    as_json: AsJson = False,
) -> None:
    """Bring a spreadsheet in: certain lines become entries, the others are kept aside with the reason."""
    open_home()
    from pratique.casework.salts import with_counted_mg  # noqa: PLC0415 - Django is ready only now
    from pratique.ledger.household import load_household  # noqa: PLC0415
    from pratique.ledger.importing.intake import bring_in  # noqa: PLC0415
    from pratique.ledger.importing.lines import LineReader  # noqa: PLC0415
    from pratique.ledger.importing.mapping import MappingRefused, check_mapping  # noqa: PLC0415
    from pratique.ledger.importing.table import TableRefused, read_table  # noqa: PLC0415

    try:
        table = read_table(file.read_bytes())
        told = _mapping(file, mapping, table)
        household = load_household()
        check_mapping(told, table.columns, household)
        now = datetime.now(UTC)
        reader = LineReader(
            table=table, mapping=told, household=household, author=author, now=now, reckoned=with_counted_mg
        )
        with _progress("Importing") as bar:
            report = bring_in(file, reader, dry_run=dry_run, progress=bar)
    except (TableRefused, MappingRefused, OSError) as problem:
        _stop(problem)
    _print_json(asdict(report)) if as_json else _say_import(report, dry_run=dry_run)


def export_command(
    folder: Annotated[Path, typer.Argument(help="Where to: an empty folder, or an earlier export of this ledger.")],
    as_json: AsJson = False,
) -> None:
    """Write every entry as one JSON line, and every picture beside them."""
    open_home()
    from pratique.ledger.archive import ExportRefused, export  # noqa: PLC0415 - Django is ready only now
    from pratique.ledger.queries import entry_count  # noqa: PLC0415

    total = entry_count()
    try:
        with _progress("Exporting") as bar:
            report = export(folder, progress=lambda done: bar(done, total))
    except (ExportRefused, OSError) as problem:
        _stop(problem)
    said = f"{_count(report.entries, 'entry', 'entries')} and {_count(report.photos, 'picture', 'pictures')} exported."
    _print_json(asdict(report)) if as_json else typer.echo(said)


def restore_command(
    folder: Annotated[Path, typer.Argument(help="The folder an export wrote.")],
    as_json: AsJson = False,
) -> None:
    """Bring an export back into an empty household: all of it, or nothing."""
    open_home()
    from pratique.ledger.archive import RestoreRefused, restore  # noqa: PLC0415 - Django is ready only now

    try:
        with _progress("Restoring") as bar:
            report = restore(folder, progress=lambda done: bar(done, None))
    except (RestoreRefused, OSError) as problem:
        _stop(problem)
    said = f"{_count(report.entries, 'entry', 'entries')} and {_count(report.photos, 'picture', 'pictures')} restored."
    if report.unknown:
        said += f" {report.unknown} of a newer version are kept as they came."
    _print_json(asdict(report)) if as_json else typer.echo(said)


def verify_command(
    rebuild: Annotated[
        bool, typer.Option("--rebuild", help="Make everything derived anew from the entries first.")
    ] = False,
    as_json: AsJson = False,
) -> None:
    """Prove the ledger: its chain of digests, everything derived from it, and the pictures."""
    open_home()
    from pratique.ledger.projections import rebuild as rebuild_all  # noqa: PLC0415 - Django is ready only now
    from pratique.ledger.verify import verify  # noqa: PLC0415

    with _progress("Verifying") as bar:
        if rebuild:
            rebuild_all()
        report = verify(progress=bar)
    if as_json:
        _print_json(asdict(report))
    else:
        for problem in report.problems:
            typer.echo(problem)
        fine = "" if report.problems else " Everything is as it was written."
        problems = _count(len(report.problems), "problem", "problems")
        typer.echo(f"{_count(report.entries, 'entry', 'entries')} read, {problems} found.{fine}")
    if report.problems:
        raise typer.Exit(1)


def history_command(
    limit: Annotated[int, typer.Option(min=1, max=100_000, help="How many, the last written first.")] = 50,
    as_json: AsJson = False,
) -> None:
    """Show the entries last written, also those that were amended or withdrawn."""
    open_home()
    from pratique.ledger.queries import fallen, history  # noqa: PLC0415 - Django is ready only now

    entries = history(limit=limit)
    down = fallen(entry.seq for entry in entries)
    if as_json:
        _print_json(
            [
                {"seq": one.seq, "stands": one.seq not in down, "digest": one.digest, "entry": json.loads(one.line())}
                for one in entries
            ]
        )
        return
    for one in entries:
        typer.echo(_history_line(one, stands=one.seq not in down))


def _history_line(entry: "Recorded", *, stands: bool) -> str:
    corrected = (
        f" amends {entry.amends}" if entry.amends else f" withdraws {entry.withdraws}" if entry.withdraws else ""
    )
    standing = "" if stands else " (does not stand)"
    when = entry.local().strftime("%Y-%m-%d %H:%M")
    return f"{entry.id}  {when}  {entry.kind}{standing}{corrected}  by {entry.author}  {entry.payload_text}"


def _mapping(file: Path, given: Path | None, table: "Table") -> "Mapping":
    from pratique.ledger.importing.draft import asked_mapping, draft_mapping  # noqa: PLC0415 - only this command
    from pratique.ledger.importing.mapping import read_mapping  # noqa: PLC0415

    if given is not None:
        return read_mapping(given.read_text(encoding="utf-8", errors="replace"))
    beside = file.with_name(f"{file.stem}-mapping.toml")
    again = f"pratique ledger import {file} --mapping {beside}"
    if beside.exists():
        _stop(f"Say what the columns hold. There is a mapping beside the file; look through it, then run: {again}")
    if not _at_a_terminal():
        beside.write_text(draft_mapping(table), encoding="utf-8")
        _stop(f"Say what the columns hold: a draft is in {beside}; finish it, then run: {again}")
    text = asked_mapping(table, _ask)
    beside.write_text(text, encoding="utf-8")
    typer.echo(f"Your answers are in {beside}; they can be used again with --mapping.", err=True)
    return read_mapping(text)


def _at_a_terminal() -> bool:
    return sys.stdin.isatty()


def _ask(question: str, answers: tuple[str, ...]) -> str:
    """Ask until the answer is one of those possible; with none named, any will do."""
    choices = ", ".join(answer or "nothing" for answer in answers)
    while True:
        said = str(typer.prompt(f"{question} [{choices}]" if answers else question, default="", show_default=False))
        if not answers or said.strip() in answers:
            return said.strip()
        typer.echo(f"“{said}” is not one of: {choices}.", err=True)


def _say_import(report: "ImportReport", *, dry_run: bool) -> None:
    for one in report.reasons:
        where = f"Line {one.line}, column {one.column}" if one.column else f"Line {one.line}"
        typer.echo(f"{where}: {one.reason}")
    if report.unread_columns:
        typer.echo(f"Not looked at, as the mapping does not name them: {', '.join(report.unread_columns)}.")
    typer.echo(
        f"{_count(report.lines, 'line', 'lines')}: {report.good} good, {report.kept_aside} kept aside, "
        f"{report.duplicates} duplicates, {report.already_there} already there, {report.blank} blank."
    )
    added = _count(report.entries_added, "entry", "entries")
    typer.echo(f"{added} would be added; nothing was written." if dry_run else f"{added} added.")
    if report.kept_aside_file is not None:
        typer.echo(f"The lines kept aside are in {report.kept_aside_file}; correct them there and import that file.")


@contextmanager
def _progress(title: str) -> "Iterator[Any]":
    """Show on stderr how far long work has come; gives a function that is told how many of how many are done."""
    from rich.console import Console  # noqa: PLC0415 - only where something takes long
    from rich.progress import Progress  # noqa: PLC0415

    with Progress(console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task(title, total=None)
        yield lambda done, total: bar.update(task, completed=done, total=total)


def _count(number: int, one: str, many: str) -> str:
    return f"{number} {one if number == 1 else many}"


def _print_json(value: object) -> None:
    typer.echo(json.dumps(value, ensure_ascii=False, indent=2))


def _stop(problem: str | Exception) -> NoReturn:
    """Say what is wrong in a sentence, and end with 1."""
    sentence = str(problem)
    if isinstance(problem, OSError):
        reason = (problem.strerror or sentence).lower()
        sentence = f"{problem.filename} cannot be read or written: {reason}."
    typer.echo(sentence, err=True)
    raise typer.Exit(1)
