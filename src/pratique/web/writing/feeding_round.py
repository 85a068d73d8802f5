"""Feeding everyone: all places on one page, sent at once, one entry for each place where something was tapped."""

from collections.abc import Mapping
from functools import partial

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from pratique.casework.writing.desk import Answers
from pratique.casework.writing.fields import Field
from pratique.casework.writing.forms import FORMS
from pratique.ledger.entries import new_entry_id
from pratique.ledger.household import Household
from pratique.web.ways import safe_next
from pratique.web.writing.bound import Question, bind
from pratique.web.writing.drawing import Sheet
from pratique.web.writing.feeding_page import (
    SHARED,
    UNSEEN,
    Table,
    places_fed,
    round_ids,
    split_by_place,
    table,
    write_round,
)
from pratique.web.writing.form_page import desk_of
from pratique.web.writing.posted import Posted, posted
from pratique.web.writing.sending import Refusal, after_writing, send

type ByPlace = Mapping[str, Answers]


def feed_everyone(request: HttpRequest, household: Household) -> HttpResponse:
    """Show every place where fish live, or write what was tapped there."""
    if request.method != "POST":
        return _draw(request, household)
    sent = posted(request)
    places = places_fed(household)
    by_place = split_by_place(sent.answers, places)
    desk = desk_of(request, household, sent)
    outcome = send(partial(write_round, desk, by_place), round_ids(sent.entry_id, places))
    if not isinstance(outcome, Refusal):
        return after_writing(request, outcome, household)
    return _draw(request, household, by_place, sent, outcome)


def _fields(household: Household, place: str, answers: Answers) -> tuple[Field, ...]:
    return FORMS["feeding"].fields(household, {**answers, "system": place}, timezone.now())


def _draw(
    request: HttpRequest,
    household: Household,
    by_place: ByPlace | None = None,
    sent: Posted | None = None,
    refusal: Refusal | None = None,
) -> HttpResponse:
    tables: list[Table] = []
    questions: list[Question] = []
    shared: tuple[Question, ...] = ()
    said = refusal.said if refusal else None
    for place, name in places_fed(household).items():
        answers = by_place[place] if by_place else None
        fields = _fields(household, place, answers or {})
        own = [one for one in fields if one.name not in {*SHARED, "system"}]
        bound = bind(own, answers, said, prefix=f"{place}:")
        tables.append(table(name, bound, prefix=f"{place}:", is_fed_unseen=bool((answers or {}).get(UNSEEN))))
        questions += bound
        shared = bind([one for one in fields if one.name in SHARED], answers, said)
    is_conflict = refusal is not None and refusal.is_conflict
    sheet = Sheet(
        title="Feed everyone",
        questions=(*questions, *shared),
        entry_id=new_entry_id() if sent is None or is_conflict else sent.entry_id,
        is_fresh=sent is None or is_conflict,
        next=safe_next(request, default=""),
        whole=refusal.whole((*questions, *shared)) if refusal else "",
        confirmed=tuple(sorted(sent.confirmed)) if sent else (),
    )
    context = {"sheet": sheet, "tables": tables, "is_round": True}
    return render(request, "pratique/write/feeding.html", context, status=refusal.status if refusal else 200)
