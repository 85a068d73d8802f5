"""What a keeper marks on a photograph: the region once, a few dabs of each kind, and something white or grey."""

import json
from typing import Annotated, Any

from pydantic import BaseModel, ConfigDict, Field, FiniteFloat, StringConstraints, ValidationError

MOST_CORNERS, MOST_DABS, MOST_KINDS, LONGEST_NAME = 500, 100, 12, 40

type Place = tuple[FiniteFloat, FiniteFloat]
type Dab = tuple[FiniteFloat, FiniteFloat, Annotated[FiniteFloat, Field(gt=0)]]
type KindName = Annotated[str, StringConstraints(strip_whitespace=True, min_length=1, max_length=LONGEST_NAME)]

_EXAMPLE = (
    '{"region": [[10, 10], [900, 20], [890, 700], [15, 690]], '
    '"dabs": {"brown": [[300, 200, 8]], "sand": [[500, 400, 8]]}, "white": [850, 650, 12]}'
)
_MOST_CHARACTERS = 1_000_000


class MarksRefused(ValueError):
    """Marks that cannot be used; the sentence says why and what would be right."""


class Marks(BaseModel):
    """Marks in pixels of the upright photograph, across and down from its upper left corner; dabs with a radius."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    region: Annotated[tuple[Place, ...], Field(min_length=3, max_length=MOST_CORNERS)]
    dabs: Annotated[
        dict[KindName, Annotated[tuple[Dab, ...], Field(min_length=1, max_length=MOST_DABS)]],
        Field(max_length=MOST_KINDS),
    ]
    white: Dab | None = None


def read_marks(text: str) -> Marks:
    """Return the marks a file holds. Raises MarksRefused."""
    if len(text) > _MOST_CHARACTERS:
        raise MarksRefused("The file is far longer than marks on a photograph can be.")
    try:
        told: Any = json.loads(text)
    except ValueError as problem:
        raise MarksRefused(f"This is not JSON: {problem}. Marks look so: {_EXAMPLE}") from None
    try:
        marks = Marks.model_validate(told)
    except ValidationError as problem:
        raise MarksRefused(f"{_complaint(problem)} Marks look so: {_EXAMPLE}") from None
    if len(marks.dabs) < 2:
        raise MarksRefused("Dab at least two kinds, such as brown and sand: cover is what tells one from the other.")
    return marks


def _complaint(problem: ValidationError) -> str:
    first = problem.errors()[0]
    where = " → ".join(str(one + 1) if isinstance(one, int) else f"“{one}”" for one in first["loc"]) or "The marks"
    match first["type"]:
        case "missing":
            return f"{where} is missing."
        case "extra_forbidden":
            return f"Marks have no {where}."
        case "greater_than":
            return f"{where}: a dab's radius is above 0 pixels."
        case _:
            return f"{where}: {first['msg'][:1].lower()}{first['msg'][1:]}."
