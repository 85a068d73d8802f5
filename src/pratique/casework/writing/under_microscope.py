"""The forms for what the microscope showed of a growth: how long its cells are, and how they move."""

from datetime import datetime

from pratique.casework.writing.asked import Asked
from pratique.casework.writing.desk import Answers, Desk
from pratique.casework.writing.fields import Field, Option, Widget
from pratique.casework.writing.form import Form
from pratique.casework.writing.growths import case_field, open_case
from pratique.casework.writing.measured import source_field, stored
from pratique.casework.writing.moments import told
from pratique.casework.writing.numbers import plain
from pratique.casework.writing.options import MOMENT, WORDS, with_initial
from pratique.ledger.entries import NewEntry, Recorded
from pratique.ledger.household import Household
from pratique.ledger.kinds.measured import Cells, Motion
from pratique.units import parse_number

_MANNERS = (
    Option("gliding", "Glide slowly along their length"),
    Option("swimming", "Swim freely"),
    Option("spinning", "Spin on one point"),
    Option("still", "Do not move"),
    Option("not told", "Cannot tell"),
)


def cells_fields(household: Household, answers: Answers, _now: datetime) -> tuple[Field, ...]:
    """Return the questions about cells that were measured."""
    asked = (
        case_field(household),
        Field(
            name="lengths",
            label="Lengths, in µm",
            widget=Widget.LONG_TEXT,
            required=True,
            hint="Of whole cells, parted by spaces: 38 41 36,5.",
        ),
        Field(name="widths", label="Widths, in µm", widget=Widget.LONG_TEXT, hint="In the same order, or none."),
        Field(name="um-per-px", label="µm to a pixel", widget=Widget.NUMBER, group="Where from", is_tucked=True),
        source_field("photo", "Photo", "Where from"),
        MOMENT,
        WORDS,
    )
    return with_initial(asked, answers)


def write_cells(desk: Desk, answers: Answers) -> list[NewEntry]:
    """Return the cells. Raises Problems and Doubts."""
    asked = Asked(desk, answers, cells_fields(desk.household, answers, desk.now))
    case = open_case(asked)
    lengths = _sizes(asked, "lengths", "Write at least one length.")
    widths = _sizes(asked, "widths")
    if widths and len(widths) != len(lengths):
        asked.problem("widths", f"There are {len(lengths)} lengths and {len(widths)} widths: one to each, or none.")
    um_per_px, photo = asked.number("um-per-px", above=0.0), stored(asked, "photo")
    confirmed = asked.settle()
    if case is None:
        return []
    found = {"case": case.key, "photo": photo, "lengths_um": lengths, "widths_um": widths, "um_per_px": um_per_px}
    return asked.entries(Cells.model_validate({**found, "words": asked.words, "confirmed": confirmed}))


def _sizes(asked: Asked, name: str, needed: str = "") -> tuple[float, ...]:
    found = []
    for text in asked.text(name, needed, longest=20_000).split():
        try:
            size_um = parse_number(text)
        except ValueError as problem:
            asked.problem(name, str(problem))
            return ()
        if size_um <= 0.0:
            asked.problem(name, f"A cell is longer than 0; {plain(size_um)} is not.")
            return ()
        found.append(size_um)
    if len(found) > 2000:
        asked.problem(name, "At most 2,000 cells are kept in one entry.")
    return tuple(found)


def answers_of_cells(entry: Recorded, household: Household) -> Answers:
    """Return measured cells as answers to their form."""
    found = entry.payload
    if not isinstance(found, Cells):
        return {}
    answers = {
        "case": found.case,
        "photo": found.photo or "",
        "lengths": " ".join(plain(one) for one in found.lengths_um),
        "widths": " ".join(plain(one) for one in found.widths_um),
        "um-per-px": plain(found.um_per_px) if found.um_per_px else "",
    }
    return answers | told(entry, household, found.words)


_SPEEDS = (
    ("median", "Speed of the middle cell"),
    ("q05", "Speed that one in twenty is slower than"),
    ("q95", "Speed that one in twenty is faster than"),
)


def motion_fields(household: Household, answers: Answers, _now: datetime) -> tuple[Field, ...]:
    """Return the questions about how cells move."""
    asked = (
        case_field(household),
        Field(name="manner", label="How they move", widget=Widget.CHOICE, required=True, options=_MANNERS),
        Field(
            name="minutes-old",
            label="How long the sample had lain, in minutes",
            widget=Widget.NUMBER,
            hint="Cold or stale cells stop moving: look within 30 minutes, at the tank's temperature.",
        ),
        *(
            Field(name=name, label=f"{label}, in µm/s", widget=Widget.NUMBER, group="Measured", is_tucked=True)
            for name, label in _SPEEDS
        ),
        Field(
            name="moving", label="Of a hundred, how many move", widget=Widget.NUMBER, group="Measured", is_tucked=True
        ),
        Field(name="tracks", label="How many were followed", widget=Widget.NUMBER, group="Measured", is_tucked=True),
        Field(name="um-per-px", label="µm to a pixel", widget=Widget.NUMBER, group="Measured", is_tucked=True),
        source_field("clip", "Clip", "Measured"),
        MOMENT,
        WORDS,
    )
    return with_initial(asked, answers)


def write_motion(desk: Desk, answers: Answers) -> list[NewEntry]:
    """Return how cells move. Raises Problems and Doubts."""
    asked = Asked(desk, answers, motion_fields(desk.household, answers, desk.now))
    case = open_case(asked)
    manner = asked.choice("manner", "Choose how they move.")
    minutes_old = asked.zero_or_more("minutes-old")
    speeds = {name: asked.zero_or_more(name) for name, _ in _SPEEDS}
    known = [one for one in (speeds["q05"], speeds["median"], speeds["q95"]) if one is not None]
    if known != sorted(known):
        asked.problem("median", "The middle speed lies between the slowest and the fastest.")
    moving = asked.zero_or_more("moving")
    if moving is not None and moving > 100:
        asked.problem("moving", f"Of a hundred, at most a hundred move; {plain(moving)} is more.")
    tracks, clip = asked.whole("tracks", least=1, most=100_000), stored(asked, "clip")
    um_per_px = asked.number("um-per-px", above=0.0)
    confirmed = asked.settle()
    if case is None:
        return []
    found = {
        "case": case.key,
        "clip": clip,
        "manner": manner,
        **{f"{name}_um_per_s": one for name, one in speeds.items()},
        "moving_fraction": None if moving is None else moving / 100.0,
        "tracks": tracks,
        "um_per_px": um_per_px,
        "minutes_old": minutes_old,
    }
    return asked.entries(Motion.model_validate({**found, "words": asked.words, "confirmed": confirmed}))


def answers_of_motion(entry: Recorded, household: Household) -> Answers:
    """Return a movement as answers to its form."""
    found = entry.payload
    if not isinstance(found, Motion):
        return {}
    numbers = {
        "median": found.median_um_per_s,
        "q05": found.q05_um_per_s,
        "q95": found.q95_um_per_s,
        "moving": None if found.moving_fraction is None else 100.0 * found.moving_fraction,
        "um-per-px": found.um_per_px,
        "minutes-old": found.minutes_old,
    }
    answers = {
        "case": found.case,
        "manner": str(found.manner),
        "clip": found.clip or "",
        "tracks": str(found.tracks or ""),
    }
    return (
        answers
        | {name: plain(one) for name, one in numbers.items() if one is not None}
        | told(entry, household, found.words)
    )


CELLS = Form(
    name="cells",
    title="Cells measured",
    group="growths",
    fields=cells_fields,
    write=write_cells,
    kinds=("cells",),
    answers_of=answers_of_cells,
)
MOTION = Form(
    name="motion",
    title="How cells move",
    group="growths",
    fields=motion_fields,
    write=write_motion,
    kinds=("motion",),
    answers_of=answers_of_motion,
)
