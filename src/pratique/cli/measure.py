"""`pratique measure`: cover, cells and movement on photographs and clips. Needs no household."""

import json
import re
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Annotated

import typer

from pratique.cli.sending import refused

_Photo = Annotated[Path, typer.Argument(help="A photograph: JPEG, PNG or WebP.", show_default=False)]
_Scale = Annotated[float, typer.Option(help="Micrometres to a pixel, from a stage micrometer.", show_default=False)]
_Json = Annotated[bool, typer.Option("--json", help="Print it for a script.")]


def register(app: typer.Typer) -> None:
    """Add the group."""
    group = typer.Typer(help="Measure growths on photographs and clips.", no_args_is_help=True)
    group.command("cover")(cover_command)
    group.command("cells")(cells_command)
    group.command("clip")(clip_command)
    app.add_typer(group, name="measure")


def cover_command(
    photo: _Photo,
    marks: Annotated[Path, typer.Option(help="Region, dabs and white in JSON; see docs/growths.md.")],
    marked_on: Annotated[
        Path | None, typer.Option(help="The earlier photograph that the marks were set on.", show_default=False)
    ] = None,
    overlay: Annotated[
        Path | None,
        typer.Option(help="Write a JPEG for each kind into this folder, to check by eye.", show_default=False),
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
        overlay.mkdir(parents=True, exist_ok=True)
        for name in found.found.shares:
            # A kind's name is the keeper's own; as a file's it may not lead out of the folder.
            overlay.joinpath(re.sub(r"[^\w -]", "_", name) + ".jpg").write_bytes(found.overlay_jpeg(name))
    if as_json:
        typer.echo(json.dumps(found.to_json(), ensure_ascii=False, allow_nan=False))
        return
    for name, one in found.found.shares.items():
        typer.echo(f"{percent(one.fraction):>9}  {name} ({percent(one.low)} to {percent(one.high)})")
    for note in found.notes:
        typer.echo(note)


def cells_command(
    photo: _Photo,
    um_per_pixel: _Scale,
    plus_minus: Annotated[float, typer.Option(help="Error of the scale, 95 %, in the same unit.")] = 0.0,
    as_json: _Json = False,
) -> None:
    """Find the cells on a microscope still and say how long and wide they are, and how sure their number is."""
    from pratique.casework.measuring import cells  # noqa: PLC0415 - loaded where it is used
    from pratique.casework.measuring.decoding import NotDecoded  # noqa: PLC0415
    from pratique.casework.words import amount  # noqa: PLC0415
    from pratique.science.chemistry.domain import DomainError  # noqa: PLC0415
    from pratique.science.imaging.scale import known_scale  # noqa: PLC0415

    try:
        scale = known_scale(um_per_pixel, plus_minus)
        found = cells.cells_on(_content(photo))
        kept = cells.accepted(found, scale)
    except (NotDecoded, DomainError) as problem:
        raise refused({str(photo): str(problem)}) from None
    if as_json:
        typer.echo(json.dumps(cells.sizes_json(found, kept), ensure_ascii=False, allow_nan=False))
        return
    for number, size in zip(kept.numbers, kept.sizes, strict=True):
        length = f"{amount(size.length.value, 1)} ± {amount(size.length.plus_minus, 1, 'µm')}"
        typer.echo(f"{number + 1:>5}  {length} long, {amount(size.width.value, 1, 'µm')} wide")
    cut = f"; {found.cut_by_border} more are cut by the picture’s border" if found.cut_by_border else ""
    typer.echo(f"{cells.count_words(len(kept.sizes))}{cut}.")


def clip_command(
    clip: Annotated[Path, typer.Argument(help="A clip: MP4, MOV, WebM, MKV or AVI.", show_default=False)],
    um_per_pixel: _Scale,
    as_json: _Json = False,
) -> None:
    """Follow the cells on a microscope clip and say how fast and in what manner they move."""
    from pratique.casework.measuring.clips import measure_clip, moving_words  # noqa: PLC0415 - loaded where it is used
    from pratique.casework.measuring.decoding import NotDecoded  # noqa: PLC0415
    from pratique.casework.words import amount  # noqa: PLC0415
    from pratique.science.chemistry.domain import DomainError  # noqa: PLC0415

    try:
        with _progress() as seen:
            found = measure_clip(_content(clip), um_per_pixel, seen)
    except (NotDecoded, DomainError) as problem:
        raise refused({str(clip): str(problem)}) from None
    if as_json:
        typer.echo(json.dumps(found.to_json(), ensure_ascii=False, allow_nan=False))
        return
    told = found.found
    typer.echo(f"{told.manner}: {told.why}")
    low, high = told.median_interval
    typer.echo(
        f"The middle cell of {len(told.tracks)} followed: {amount(told.median_um_per_s, 1, 'µm/s')} "
        f"({amount(low, 1)} to {amount(high, 1)}); {moving_words(told)}."
    )
    for note in found.notes:
        typer.echo(note)


@contextmanager
def _progress() -> Iterator[Callable[[int], None]]:
    """Show how many frames are done, beside the answer and not in it."""
    from rich.console import Console  # noqa: PLC0415 - loaded where it is used
    from rich.progress import Progress, SpinnerColumn, TextColumn  # noqa: PLC0415

    with Progress(
        SpinnerColumn(), TextColumn("{task.completed} frames"), console=Console(stderr=True), transient=True
    ) as shown:
        task = shown.add_task("frames", total=None)
        yield lambda number: shown.update(task, completed=number)


def _content(file: Path) -> bytes:
    try:
        return file.read_bytes()
    except OSError as problem:
        raise refused({"": f"{file} cannot be read: {problem.strerror}."}) from None
