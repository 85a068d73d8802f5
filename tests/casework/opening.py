"""Every page there is, opened: for households that a page might trip over."""

from datetime import datetime

from pratique import knowledge
from pratique.casework.animals import animal_list, animal_sheet
from pratique.casework.courses import course_sheet
from pratique.casework.growths import growth_list, growth_sheet
from pratique.casework.passages import passage_list, passage_sheet
from pratique.casework.rounds import rounds
from pratique.casework.systems import system_list, system_sheet
from pratique.casework.what_if import what_if_sheet
from pratique.ledger.household import Household


def every_page(household: Household, now: datetime) -> list[object]:
    """Open every page there is."""
    pages: list[object] = [rounds(household, now=now)]
    pages += [page(household, now=now) for page in (system_list, animal_list, passage_list, growth_list)]
    for keys, page in (
        (household.systems, system_sheet),
        (household.animals, animal_sheet),
        (household.batches, passage_sheet),
        (household.courses, course_sheet),
        (household.cases, growth_sheet),
    ):
        pages += [page(household, key, now=now) for key in keys]
    for system in household.systems:
        pages += [what_if_sheet(household, system, one.key, {}, now=now) for one in knowledge.constituents()]
    return pages
