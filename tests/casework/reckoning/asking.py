"""Ask the reckoning what a small household's ledger tells, in a line."""

from tests.casework.keeping import at

from pratique.casework.facts import Facts
from pratique.casework.reckoning.ledger_case import LedgerCase
from pratique.casework.reckoning.reckoned import Reckoned, reckoned
from pratique.knowledge import CopperForm
from pratique.ledger.household import load_household


def found(
    day: float, constituent: str = "copper", *, since: float | None = None, form: CopperForm | None = None
) -> Reckoned | None:
    """Return what is reckoned of a constituent in Lazaret on a day, with what was known before `since`."""
    facts = Facts(load_household(), at(day))
    lazaret = facts.household.system_or_missing("lazaret")
    return reckoned(facts, lazaret, constituent, since=None if since is None else at(since), form=form)


def told(
    day: float, constituent: str = "copper", *, since: float | None = None, form: CopperForm | None = None
) -> LedgerCase:
    """Return the case of a constituent in Lazaret on a day."""
    one = found(day, constituent, since=since, form=form)
    assert one is not None
    return one.ledger
