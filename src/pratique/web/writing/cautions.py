"""The cautions that stand wherever something is put into water."""

from collections.abc import Sequence

from pratique import knowledge
from pratique.casework.writing.desk import Answers
from pratique.casework.writing.fields import Field
from pratique.ledger.household import Household

_FORMS = frozenset({"dose", "course", "course-start", "stock"})


def treatment_context(form: str, household: Household, fields: Sequence[Field], answers: Answers) -> dict[str, object]:
    """Return what a form about a treatment shows besides its questions: the cautions of its substance."""
    if form not in _FORMS:
        return {}
    known = {one.key: one for one in knowledge.substances()}
    keys = _substances(household, fields, answers)
    return {"is_treatment": True, "cautions": [one for key in keys if key in known for one in known[key].cautions]}


def _substances(household: Household, fields: Sequence[Field], answers: Answers) -> list[str]:
    said = {one.name: one.initial for one in fields} | dict(answers)
    stock = household.stocks.get(str(said.get("stock", "")))
    course = household.courses.get(str(said.get("course", "")))
    found = [one.substance for one in (stock, course) if one is not None]
    return found[:1] or [str(said.get("substance", ""))]
