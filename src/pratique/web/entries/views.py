"""The ledger's history, single entries, and their corrections."""

from urllib.parse import urlencode
from uuid import UUID

from django.contrib import messages
from django.db import transaction
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from pratique.casework.writing.desk import Desk, Problems
from pratique.casework.writing.forms import form_that_amends, withdraw
from pratique.casework.writing.keys import derived_id
from pratique.ledger.entries import Recorded
from pratique.ledger.queries import entry_by_id, history
from pratique.web.entries.rows import rows_of, told_of
from pratique.web.entries.subjects import subject_ways
from pratique.web.frame import author_of, household_of
from pratique.web.ways import safe_next
from pratique.web.writing.form_page import Page, answer, desk_of
from pratique.web.writing.posted import posted
from pratique.web.writing.sending import SeeOther

ON_ONE_PAGE = 50
_UNDO_INDEX = 2**32 - 1
_LONGEST_NUMBER = 18


@require_safe
def history_page(request: HttpRequest) -> HttpResponse:
    """Show what was written, the last recorded first."""
    household = household_of(request)
    subject = request.GET.get("about", "").replace("\0", "")
    before = _sequence_number(request.GET.get("before", ""))
    found = history(
        before_seq=before,
        limit=ON_ONE_PAGE + 1,
        subject=subject or None,
    )
    shown = found[:ON_ONE_PAGE]
    context = {
        "rows": rows_of(shown, household),
        "older": _older(shown[-1].seq, subject) if len(found) > ON_ONE_PAGE else "",
        "subject": subject,
        "subjects": subject_ways(household, subject),
        "is_first": before is None,
    }
    return render(request, "pratique/entries/history.html", context)


@require_safe
def entry_page(request: HttpRequest, entry_id: UUID) -> HttpResponse:
    """Show one entry, with everything it holds."""
    household = household_of(request)
    context = {"told": told_of(_entry(entry_id), household)}
    return render(request, "pratique/entries/entry.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
def amend_page(request: HttpRequest, entry_id: UUID) -> HttpResponse:
    """Show the form an entry was written with, filled in with what it says, or write the amendment."""
    household = household_of(request)
    entry = _entry(entry_id)
    form = form_that_amends(entry)
    if form is None or form.answers_of is None:
        raise Http404
    page = Page(
        form=form,
        title=f"Amend: {form.title.lower()}",
        household=household,
        initial=form.answers_of(entry, household),
        amends=entry_id,
        next=reverse("entry", args=[entry_id]),
        context={"told": told_of(entry, household)},
    )
    return answer(request, page)


@require_http_methods(["GET", "HEAD", "POST"])
def withdraw_page(request: HttpRequest, entry_id: UUID) -> HttpResponse:
    """Ask why an entry is withdrawn, or withdraw it."""
    household = household_of(request)
    entry = _entry(entry_id)
    sent = posted(request)
    problem = ""
    if request.method == "POST":
        try:
            withdraw(desk_of(request, household, sent), entry_id, request.POST.get("words", ""))
        except Problems as problems:
            problem = " ".join(problems.fields.values())
        else:
            messages.success(request, "Withdrawn. The entry stays readable, and no longer counts.")
            return SeeOther(reverse("entry", args=[entry_id]))
    context = {
        "told": told_of(entry, household),
        "problem": problem,
        "typed": request.POST.get("words", ""),
        "entry_id": sent.entry_id,
        "is_fresh": request.method != "POST",
    }
    return render(request, "pratique/entries/withdraw.html", context, status=422 if problem else 200)


@require_POST
def undo(request: HttpRequest) -> HttpResponse:
    """Withdraw what was just written: all of it or nothing."""
    household = household_of(request)
    after = SeeOther(safe_next(request, default="/"))
    ids = [UUID(text) for text in request.POST.getlist("entry") if _is_uuid(text)]
    try:
        with transaction.atomic():
            for entry_id in ids:
                desk = Desk(
                    household=household,
                    now=timezone.now(),
                    author=author_of(request),
                    source="web",
                    # Made from the entry's own id, so that undoing twice is undoing once.
                    entry_id=derived_id(entry_id, _UNDO_INDEX),
                )
                withdraw(desk, entry_id, "Undone right after writing.")
    except Problems as problems:
        messages.error(request, " ".join(problems.fields.values()))
    else:
        if ids:
            messages.success(request, "Undone. What was written stays readable in the ledger, and no longer counts.")
    return after


def _sequence_number(text: str) -> int | None:
    """Return the number after which older entries are asked for, or None for text that is none."""
    return int(text) if text.isdecimal() and len(text) <= _LONGEST_NUMBER else None


def _older(seq: int, subject: str) -> str:
    return f"?{urlencode({'about': subject, 'before': seq} if subject else {'before': seq})}"


def _entry(entry_id: UUID) -> Recorded:
    entry = entry_by_id(entry_id)
    if entry is None:
        raise Http404
    return entry


def _is_uuid(text: str) -> bool:
    try:
        UUID(text)
    except ValueError:
        return False
    return True
