"""Every page that is read, over the demo household, with plain requests: no script has run."""

import re
from html.parser import HTMLParser

import pytest

from pratique.ledger.household import Household

pytestmark = pytest.mark.django_db

LISTS = ["/", "/systems/", "/animals/", "/passages/", "/growths/"]
SHEETS = ["systems/skerry", "animals/maiden-goby", "passages/b1", "courses/b1-copper", "growths/brown-dust"]
KINDS = ["systems", "animals", "passages", "courses", "growths"]


def pages_of(household: Household) -> list[str]:
    """Return every reading page of a household."""
    keys = {
        "systems": household.systems,
        "animals": household.animals,
        "passages": household.batches,
        "courses": household.courses,
        "growths": household.cases,
    }
    of_animals = [f"/animals/{key}/{page}/" for key in household.animals for page in ("introduction", "pass")]
    return [*LISTS, *(f"/{kind}/{key}/" for kind, found in keys.items() for key in found), *of_animals]


class Outline(HTMLParser):
    """Collects what these tests ask of a page: headings in order, tables, attributes, and where it leads."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.headings: list[int] = []
        self.tables = self.captions = 0
        self.attributes: set[str] = set()
        self.loose_headers: list[str] = []
        self.links: list[str] = []
        self.inline_scripts = 0
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note one tag."""
        given = dict(attrs)
        self.attributes |= set(given)
        if re.fullmatch("h[1-6]", tag):
            self.headings.append(int(tag[1]))
        self.tables += tag == "table"
        self.captions += tag == "caption"
        if tag == "th" and "scope" not in given:
            self.loose_headers.append(str(given))
        self.inline_scripts += tag == "script" and "src" not in given
        self.links += [str(given[name]) for name in ("href", "src") if given.get(name)]


@pytest.fixture
def outlines(read, harbour_row) -> dict[str, Outline]:
    """Return the outline of every page."""
    found = {}
    for path in pages_of(harbour_row):
        answer = read.get(path)
        assert answer.status_code == 200, path
        found[path] = Outline(answer.content.decode())
    return found


def test_every_page_keeps_to_the_manner(outlines):
    """No style attribute or inline script; one h1 and no heading level skipped; every table named, every header scoped.

    No page asks another host for anything.
    """
    for path, outline in outlines.items():
        assert "style" not in outline.attributes, path
        assert not [name for name in outline.attributes if name.startswith("on")], path
        assert outline.inline_scripts == 0, path
        assert outline.headings[0] == 1, path
        assert outline.headings.count(1) == 1, path
        steps = zip(outline.headings, outline.headings[1:], strict=False)
        assert all(after - before <= 1 for before, after in steps), (path, outline.headings)
        assert outline.tables == outline.captions, path
        assert outline.loose_headers == [], path
        assert not [link for link in outline.links if re.match(r"[a-z]+:|//", link)], path


def test_no_page_leads_nowhere(outlines, read):
    """Every link to a page that is read answers."""
    wanted = {
        link.split("#")[0]
        for outline in outlines.values()
        for link in outline.links
        if link.startswith(tuple(f"/{kind}/" for kind in KINDS))
    }
    assert len(wanted) > 20
    for link in sorted(wanted):
        assert read.get(link).status_code == 200, link


@pytest.mark.parametrize("path", [*LISTS, *(f"/{path}/" for path in SHEETS)])
def test_it_answers_head_without_a_body(read, path):
    """A page can be asked whether it is there."""
    answer = read.head(path)
    assert answer.status_code == 200
    assert answer.content == b""


@pytest.mark.parametrize("path", ["/", "/systems/", "/systems/skerry/"])
def test_it_rejects_post(read, path):
    """Reading pages write nothing."""
    assert read.post(path).status_code == 405


@pytest.mark.parametrize("kind", KINDS)
def test_an_unknown_key_is_not_found(read, kind):
    """A thing the household does not have has no page."""
    assert read.get(f"/{kind}/nowhere/").status_code == 404


def test_a_fault_of_ours_is_not_called_not_found(read, monkeypatch):
    """Only the key in the address may be unknown: another missing key must not hide behind a 404."""

    def broken(household, key, *, now):
        raise KeyError("something-else")

    monkeypatch.setattr("pratique.web.reading.views.system_sheet", broken)
    with pytest.raises(KeyError):
        read.get("/systems/skerry/")


def test_the_rounds_show_each_concern_with_evidence_and_a_next_step(read):
    """The wrasse, the goby, the dip, the ammonia and the warning about Skerry are on the first page."""
    page = read.get("/").content.decode()
    for title in ("Six-line wrasse eats, yet grows thin", "Lazaret: ammonia is climbing", "the copper dipped"):
        assert title in page
    assert page.index("act now") < page.index("watch<")
    assert "(coincidence, not cause)" in page
    assert re.search(r'href="/entries/[0-9a-f-]{36}/"', page)
    assert re.search(r'href="/write/[a-z-]+/\?[a-z]+=', page)


def test_a_past_day_is_shown_as_it_was(read):
    """`?on=` shows the end of that day, says so, and keeps the day on the links."""
    answer = read.get("/?on=2026-02-12")
    page = answer.content.decode()
    assert "As it stood at the end of Thursday 12 February 2026" in page
    assert 'href="?on=2026-02-11"' in page
    assert 'href="?on=2026-02-13"' in page
    assert re.search(r'href="/(systems|animals)/[a-z-]+/\?on=2026-02-12"', page)
    assert "Six-line wrasse eats, yet grows thin" not in page


@pytest.mark.parametrize("path", [*LISTS, *(f"/{path}/" for path in SHEETS)])
def test_every_page_honours_a_past_day(read, path):
    """Each page can be asked how it stood ten days ago."""
    answer = read.get(f"{path}?on=2026-03-01")
    assert answer.status_code == 200
    assert "As it stood at the end of Sunday 1 March 2026" in answer.content.decode()


def test_a_past_day_knows_nothing_of_what_came_later(read):
    """On 20 February B1 was under copper in Lazaret: the course was open, and it is there that its breath was due."""
    course = read.get("/courses/b1-copper/?on=2026-02-20").content.decode()
    assert "· under way" in course
    assert "finished" not in course
    passage = read.get("/passages/b1/?on=2026-02-20").content.decode()
    courses = passage.partition("Courses of treatment")[2]
    assert "open" in courses
    assert "finished" not in courses
    due = read.get("/?on=2026-02-20").content.decode().partition('id="due"')[2]
    assert "Lazaret: count the breathing of" in due


def test_nothing_is_written_from_a_past_day(read):
    """What is written belongs to now: a past page has no button for it, and today's has."""
    for path in ("/", "/courses/b1-copper/", "/passages/b1/", "/animals/maiden-goby/"):
        main = read.get(f"{path}?on=2026-02-20").content.decode().partition("<main")[2].partition("</main>")[0]
        assert main, path
        assert 'href="/write/' not in main, path
    assert 'href="/write/' in read.get("/").content.decode().partition('id="due"')[2]


def test_what_was_not_there_yet_is_said_to_be_so(read):
    """A course nobody had planned by then is answered with a sentence, and the way back to now."""
    answer = read.get("/courses/b1-copper/?on=2025-06-01")
    assert answer.status_code == 404
    assert "nothing of this was written down yet" in answer.content.decode()


def test_today_by_its_date_is_now(read):
    """Asking for today shows the present moment, not midnight to come."""
    assert "As it stood" not in read.get("/?on=2026-03-11").content.decode()


@pytest.mark.parametrize(
    ("asked", "sentence"),
    [
        ("2026-03-12", "Thursday 12 March 2026 has not come yet. The newest page is today’s, Wednesday 11 March 2026."),
        ("yesterday", "“yesterday” is not a day. Write it as year, month, day: 2026-03-11."),
        ("2026-02-30", "“2026-02-30” is not a day."),
        ("0001-01-01", "is long before any entry here"),
    ],
)
@pytest.mark.parametrize("path", ["/", "/systems/skerry/"])
def test_a_day_no_page_can_show_gets_a_sentence(read, path, asked, sentence):
    """A day to come, or words that are no day, are answered in the keeper's words."""
    answer = read.get(path, {"on": asked})
    assert answer.status_code == 404
    assert sentence in answer.content.decode()


def test_what_is_typed_in_the_address_cannot_become_markup(read):
    """Words in the query are shown, not run."""
    page = read.get("/", {"on": "<script>"}).content.decode()
    assert "<script>" not in page
    assert "&lt;script&gt;" in page


def test_everything_can_be_opened_for_paper(read):
    """`?opened` opens every fold, so that a browser without a print style for folds prints them too."""
    page = read.get("/?opened=yes").content.decode()
    assert page.count("<details") == page.count("<details open") > 0


def test_a_finished_course_shows_its_chart_days_and_table(read):
    """Picture, cells and tables are all there, without script."""
    page = read.get("/courses/b1-copper/").content.decode()
    assert page.count('<svg class="chart') == 2
    assert 'class="dip"' in page
    assert 'class="lost"' in page
    assert "As a table" in page
    assert "Caution." in page


def test_a_passage_shows_gates_by_sign_and_word(read):
    """Each criterion carries ✓, ✕ or ? and the same in words."""
    page = read.get("/passages/b1/").content.decode()
    for sign, words in (("✓", "met"), ("✕", "not met"), ("?", "not known")):
        assert re.search(
            rf">{re.escape(sign)}</span>\s*<div>\s*<strong>[^<]+</strong>\s*<span[^>]*>{words}</span>", page
        )
