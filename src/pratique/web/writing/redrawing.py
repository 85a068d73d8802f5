"""Answers that decide what else is asked: when one changes, the form is drawn anew with what still holds."""

from collections.abc import Mapping

from pratique.casework.writing.desk import Answers

_ALL = "*"
# For each form the deciding answers, and the answers that do not outlive their change.
_DECIDING: Mapping[str, Mapping[str, tuple[str, ...]]] = {
    "dose": {"stock": ("amount_unit",), "substance": ()},
    "leg": {"batch": ("leg",)},
    # Choosing another beginning replaces nothing that was typed: the form itself sees to that.
    "protocol": {"start": ()},
    "course": {"substance": ("target-lower", "target-upper", "hard-upper", "required-days", "stock")},
    **{name: {"key": (_ALL,)} for name in ("system", "compartment", "method", "stock")},
}


def redrawn_by(form: str) -> frozenset[str]:
    """Return the names of a form's deciding answers."""
    return frozenset(_DECIDING.get(form, {}))


def kept_answers(form: str, changed: str, answers: Answers) -> Answers:
    """Return the answers that still hold after one of the deciding ones changed."""
    dropped = _DECIDING.get(form, {}).get(changed, ())
    if _ALL in dropped:
        return {name: value for name, value in answers.items() if name == changed}
    return {name: value for name, value in answers.items() if name not in dropped}
