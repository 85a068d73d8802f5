"""What a form asks, independent of where it is asked: a page draws it, the command line reads it."""

from dataclasses import dataclass
from enum import StrEnum


class Widget(StrEnum):
    """How a question is best answered."""

    TEXT = "text"
    LONG_TEXT = "long text"
    NUMBER = "number"
    MOMENT = "moment"
    CHOICE = "choice"
    MANY = "many"
    STEPS = "steps"
    YES = "yes"
    PHOTO = "photo"
    CLIP = "clip"
    SOURCE = "source"
    FILE = "file"


@dataclass(frozen=True, slots=True)
class Option:
    """One possible answer: what is sent, and the words shown."""

    value: str
    words: str
    hint: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """One question of a form.

    `name` is the key of the answer. `units` are offered beside a number, the first is assumed; the unit's answer
    comes under `<name>_unit`. `group` puts fields under one heading; where all of them are `is_tucked`, it is closed
    until one is answered. `bench` is the card of the bench that turns what an instrument shows into what is asked.
    `picture` is the drawing beside a finding. `fills` is the field in which the text of a file given here then stands.
    """

    name: str
    label: str
    widget: Widget = Widget.TEXT
    hint: str = ""
    required: bool = False
    options: tuple[Option, ...] = ()
    units: tuple[str, ...] = ()
    initial: str | tuple[str, ...] = ""
    group: str = ""
    bench: str = ""
    picture: str = ""
    is_tucked: bool = False
    fills: str = ""
