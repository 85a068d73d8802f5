"""Subjects by the names and pages the keeper knows them by."""

from pratique.ledger.household import Household
from pratique.ledger.states import State


def name_of(household: Household, subject: str) -> str:
    """Return the name of `animal/royal-gramma` and the like; an unknown one is told by its key."""
    type_, _, key = subject.partition("/")
    if type_ in {"", "household"}:
        return household.state.name if household.state else "the household"
    state = _states(household, type_).get(key)
    return state.name if state is not None else key.replace("-", " ")


def address_of(household: Household, subject: str) -> str:
    """Return the page about a subject, empty where there is none."""
    type_, _, key = subject.partition("/")
    if type_ == "compartment" and key in household.compartments:
        type_, key = "system", household.compartments[key].system
    parts = {"system": "systems", "animal": "animals", "batch": "passages", "course": "courses", "case": "growths"}
    if type_ not in parts or key not in _states(household, type_):
        return ""
    return f"/{parts[type_]}/{key}/"


def _states(household: Household, type_: str) -> dict[str, State]:
    by_type: dict[str, dict[str, State]] = {
        "system": {**household.systems},
        "compartment": {**household.compartments},
        "method": {**household.methods},
        "stock": {**household.stocks},
        "protocol": {**household.protocols},
        "batch": {**household.batches},
        "animal": {**household.animals},
        "course": {**household.courses},
        "case": {**household.cases},
    }
    return by_type.get(type_, {})
