"""The questions that many cards share, each number with its ± behind it."""

from collections.abc import Iterable

from pratique.casework.bench.card import PLUS_MINUS
from pratique.casework.bench.quantities import PH, SALINITY, TEMPERATURE, VOLUME, Measure
from pratique.casework.writing.fields import Field, Option, Widget
from pratique.science.chemistry.ph_scales import PhScale


def number(  # noqa: PLR0913 - each is one part of a question
    name: str,
    label: str,
    measure: Measure,
    *,
    hint: str = "",
    required: bool = False,
    initial: str = "",
    exact: bool = False,
) -> tuple[Field, ...]:
    """Return the question for a number and the one for its ±, which an exact number does not have."""
    asked = Field(
        name=name,
        label=label,
        widget=Widget.NUMBER,
        hint=hint,
        required=required,
        units=measure.units,
        initial=initial,
    )
    error = Field(name=name + PLUS_MINUS, label=f"± of {label[:1].lower()}{label[1:]}", widget=Widget.NUMBER)
    return (asked,) if exact else (asked, error)


def choice(
    name: str,
    label: str,
    options: Iterable[tuple[str, str]],
    *,
    hint: str = "",
    required: bool = False,
    initial: str = "",
) -> tuple[Field, ...]:
    """Return a question with a few answers, each a key and its words."""
    told = tuple(Option(key, words) for key, words in options)
    return (
        Field(
            name=name,
            label=label,
            widget=Widget.CHOICE,
            hint=hint,
            required=required,
            options=told,
            initial=initial,
        ),
    )


def temperature(*, required: bool = True, hint: str = "") -> tuple[Field, ...]:
    """Return the question how warm the water is."""
    return number("temperature", "Temperature", TEMPERATURE, required=required, hint=hint)


def salinity(*, required: bool = True) -> tuple[Field, ...]:
    """Return the question how salty the water is."""
    return number("salinity", "Salinity", SALINITY, required=required)


def net_volume(*, required: bool = True, name: str = "volume", label: str = "Net volume") -> tuple[Field, ...]:
    """Return the question how much water there is."""
    hint = "The water itself, without rock, sand and equipment."
    return number(name, label, VOLUME, required=required, hint=hint)


def ph(*, required: bool = True) -> tuple[Field, ...]:
    """Return the questions for a pH and its scale; a hobby meter's is NBS."""
    scales = (
        ("nbs", "As a hobby meter reads it (NBS)"),
        ("total", "Total scale"),
        ("free", "Free scale"),
    )
    return (
        *number("ph", "pH", PH, required=required),
        *choice("ph_scale", "pH scale", scales, initial="nbs"),
    )


def scale_of(text: str) -> PhScale:
    """Return the pH scale that was chosen; a hobby meter's where none was."""
    if text == "total":
        return "total"
    return "free" if text == "free" else "nbs"
