"""The kinds this version knows, by their stable names. A kind from a newer version is kept as it came."""

from pydantic import ValidationError

from pratique.ledger.kinds import animals, care, gates, looks, measured, places, protocols, water
from pratique.ledger.kinds.payload import Payload

KINDS: dict[str, type[Payload]] = {
    model.kind: model
    for model in (
        places.Household,
        places.System,
        places.Compartment,
        places.Method,
        places.Stock,
        protocols.Protocol,
        water.Reading,
        water.Dose,
        water.WaterChange,
        water.TopOff,
        animals.Batch,
        animals.Leg,
        animals.Arrival,
        animals.Move,
        animals.Loss,
        animals.Death,
        animals.Feeding,
        animals.Observation,
        looks.Look,
        gates.Override,
        gates.Clearance,
        care.Course,
        care.CourseStart,
        care.CourseStop,
        care.GrowthCase,
        care.Finding,
        care.CaseClosed,
        care.Photo,
        measured.Cover,
        measured.Cells,
        measured.Motion,
        measured.Clip,
        care.TaskDone,
        care.Note,
        care.Withdrawal,
    )
}


def read_payload(kind: str, version: int, raw: object) -> Payload | None:
    """Return the typed payload, or None for a kind or version this program does not know.

    Raises pydantic's ValidationError where a known kind and version does not hold what it should.
    """
    model = KINDS.get(kind)
    if model is None or version > model.version:
        return None
    return model.model_validate(raw)


def is_sound(kind: str, version: int, raw: object) -> bool:
    """Return whether a known kind holds what it should; an unknown kind is taken as it is."""
    try:
        read_payload(kind, version, raw)
    except ValidationError:
        return False
    return True
