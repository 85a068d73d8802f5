"""`pratique measure`: cover, cells and movement on photographs and clips. Needs no household."""

import json
from pathlib import Path
from typing import Annotated

import typer

from pratique.cli.sending import refused

_Photo = Annotated[Path, typer.Argument(help="A photograph: JPEG, PNG or WebP.", show_default=False)]
_Json = Annotated[bool, typer.Option("--json", help="Print it for a script.")]


def register(app: typer.Typer) -> None:
    """Add the group."""
    group = typer.Typer(help="Measure growths on photographs and clips.", no_args_is_help=True)
    group.command("cover")(cover_command)
    app.add_typer(group, name="measure")


def cover_command(
    photo: _Photo,
    marks: Annotated[Path, typer.Option(help="Region, dabs and white in JSON; see docs/growths.md.")],
    marked_on: Annotated[
        Path | None, typer.Option(help="The earlier photograph that the marks were set on.", show_default=False)
    ] = None,
    overlay: Annotated[
        Path | None, typer.Option(help="Write the picture here as PNG, each kind tinted.", show_default=False)
    ] = None,
    as_json: _Json = False,
) -> None:
    """Say what share of the marked region each kind covers, with its 95 % interval."""
    from pratique.casework.measuring.cover import measure_cover  # noqa: PLC0415 - loaded where it is used
    from pratique.casework.measuring.cover_marks import MarksRefused, read_marks  # noqa: PLC0415
    from pratique.casework.measuring.decoding import NotDecoded  # noqa: PLC0415
    from pratique.casework.words import percent  # noqa: PLC0415
    from pratique.science.chemistry.domain import DomainError  # noqa: PLC0415

    earlier = None if marked_on is None else _content(marked_on)
    try:
        found = measure_cover(_content(photo), read_marks(_content(marks).decode("utf-8", "replace")), earlier)
    except MarksRefused as problem:
        raise refused({str(marks): str(problem)}) from None
    except (NotDecoded, DomainError) as problem:
        raise refused({str(photo): str(problem)}) from None
    if overlay is not None:
        overlay.write_bytes(found.overlay_png())
    if as_json:
        typer.echo(json.dumps(found.to_json(), ensure_ascii=False, allow_nan=False))
        return
    for name, one in found.found.shares.items():
        typer.echo(f"{percent(one.fraction):>9}  {name} ({percent(one.low)} to {percent(one.high)})")
    for note in found.notes:
        typer.echo(note)


def _content(file: Path) -> bytes:
    try:
        return file.read_bytes()
    except OSError as problem:
        raise refused({"": f"{file} cannot be read: {problem.strerror}."}) from None
