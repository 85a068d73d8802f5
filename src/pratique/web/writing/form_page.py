"""Draw a form, take what was sent, and draw it again with what is wrong until it is written."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import partial
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from pratique.casework.writing.desk import Answers, Desk
from pratique.casework.writing.fields import Field
from pratique.casework.writing.form import Form
from pratique.casework.writing.forms import write_form
from pratique.ledger.entries import new_entry_id
from pratique.ledger.household import Household
from pratique.web.frame import author_of
from pratique.web.writing.bound import bind
from pratique.web.writing.cautions import treatment_context
from pratique.web.writing.drawing import Sheet
from pratique.web.writing.files import has_files, with_texts_of_files
from pratique.web.writing.layouts import LAYOUTS
from pratique.web.writing.posted import Posted, posted
from pratique.web.writing.redrawing import kept_answers, redrawn_by
from pratique.web.writing.sending import Refusal, after_writing, send


@dataclass(frozen=True, kw_only=True)
class Page:
    """One form on one page: `title` as shown, `amends` the entry it corrects, `initial` what is filled in."""

    form: Form
    title: str
    household: Household
    initial: Answers = field(default_factory=dict)
    amends: UUID | None = None
    next: str = ""
    template: str = ""
    context: Mapping[str, object] = field(default_factory=dict)

    def fields(self, answers: Answers) -> tuple[Field, ...]:
        """Return the form's questions, given some answers."""
        return self.form.fields(self.household, answers, timezone.now())


def answer(request: HttpRequest, page: Page) -> HttpResponse:
    """Show the page, or take what was sent from it."""
    if request.method != "POST":
        return _draw(request, page, _Attempt(new_entry_id()))
    sent = posted(request)
    layout = LAYOUTS.get(page.form.name)
    answers = with_texts_of_files(page.fields(sent.answers), layout.composed(sent.answers) if layout else sent.answers)
    if "redraw" in request.POST:
        kept = kept_answers(page.form.name, request.POST["redraw"], answers)
        return _draw(request, replace(page, initial=kept), _Attempt(sent.entry_id, confirmed=sent.confirmed))
    write = partial(write_form, page.form.name, desk_of(request, page.household, sent), answers, amends=page.amends)
    outcome = send(write, [sent.entry_id])
    if not isinstance(outcome, Refusal):
        return after_writing(request, outcome, page.household)
    entry_id = new_entry_id() if outcome.is_conflict else sent.entry_id
    attempt = _Attempt(entry_id, answers, outcome, sent.confirmed, lost_file=has_files(answers))
    return _draw(request, page, attempt)


def desk_of(request: HttpRequest, household: Household, sent: Posted) -> Desk:
    """Return the desk for what a page sent."""
    return Desk(
        household=household,
        now=timezone.now(),
        author=author_of(request),
        source="web",
        entry_id=sent.entry_id,
        confirmed=sent.confirmed,
    )


@dataclass(frozen=True, slots=True)
class _Attempt:
    """What was sent so far, and why it was not written; nothing yet on a page just opened."""

    entry_id: UUID
    answers: Answers | None = None
    refusal: Refusal | None = None
    confirmed: frozenset[str] = frozenset()
    lost_file: bool = False


def _draw(request: HttpRequest, page: Page, attempt: _Attempt) -> HttpResponse:
    refusal = attempt.refusal
    answers = page.initial if attempt.answers is None else attempt.answers
    fields = page.fields(answers)
    questions = bind(fields, attempt.answers, refusal.said if refusal else None)
    layout = LAYOUTS.get(page.form.name)
    sheet = Sheet(
        title=page.title,
        questions=questions,
        entry_id=attempt.entry_id,
        is_fresh=refusal is None or refusal.is_conflict,
        next=page.next,
        whole=refusal.whole(questions) if refusal else "",
        confirmed=tuple(sorted(attempt.confirmed)),
        lost_file=attempt.lost_file,
        # On the tuned pages the place was chosen before; only an amendment may change it.
        chosen=frozenset({"system"}) if layout and page.amends is None else frozenset(),
        redrawn_by=redrawn_by(page.form.name),
    )
    context = {"sheet": sheet, **treatment_context(page.form.name, page.household, fields, answers), **page.context}
    if layout is not None:
        context |= layout.context(questions, is_amendment=page.amends is not None)
    template = page.template or (layout.template if layout else "pratique/write/form.html")
    return render(request, template, context, status=refusal.status if refusal else 200)
