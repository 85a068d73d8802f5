"""The pass as a page and as a PDF, and the page on letting an animal in."""

import re
import zlib

import pytest
from PIL import ImageFile

from pratique.web.reading import paper

pytestmark = pytest.mark.django_db

PAGE = "/animals/six-line-wrasse/pass/"
FILE = "/animals/six-line-wrasse/pass.pdf"


def sheets_of_paper(pdf: bytes) -> int:
    """Return how many pages a PDF has: the count of its page tree, which lies in a compressed stream."""
    streams = [
        zlib.decompress(one) for one in re.findall(rb"stream\n(.*?)\nendstream", pdf, re.DOTALL) if one[:1] == b"x"
    ]
    (count,) = re.findall(rb"/Type ?/Pages[^>]*?/Count (\d+)", b"\n".join([pdf, *streams]))
    return int(count)


def test_the_pass_says_first_whether_it_was_cleared(read):
    """The standing stands before all else, and the PDF is offered."""
    text = read.get(PAGE).content.decode()
    assert text.index("Not yet cleared") < text.index("Where it was")
    assert f'href="{FILE}"' in text


def test_the_pass_is_one_sheet_of_paper(read, harbour_row):
    """For every animal on a passage, whatever there is to say."""
    for key in (one.key for one in harbour_row.animals.values() if one.batch):
        answer = read.get(f"/animals/{key}/pass.pdf")
        assert answer["Content-Type"] == "application/pdf"
        assert f"pass-{key}.pdf" in answer["Content-Disposition"]
        assert sheets_of_paper(answer.content) == 1


def test_without_the_library_the_page_says_what_to_do_instead(read, monkeypatch):
    """No fault, no empty file: print the page."""

    def refuse(_: object) -> bytes:
        raise paper.NoPaper("No PDF can be made on this machine: print the page to a file instead.")

    monkeypatch.setattr("pratique.web.reading.views.pass_pdf", refuse)
    answer = read.get(FILE)
    assert answer["Content-Type"].startswith("text/html")
    assert "print the page to a file instead" in answer.content.decode()


def test_no_pass_of_an_animal_nobody_wrote_down(read):
    """Neither as a page nor as a file."""
    assert read.get("/animals/unicorn/pass/").status_code == 404
    assert read.get("/animals/unicorn/pass.pdf").status_code == 404


def test_a_pdf_leaves_pictures_as_strict_as_before(read):
    """The library that makes it would let half a picture pass in the whole program."""
    assert read.get(FILE).content.startswith(b"%PDF")
    assert ImageFile.LOAD_TRUNCATED_IMAGES is False


def test_nothing_is_fetched_to_make_a_pdf():
    """A picture at some address is refused, not asked for."""
    with pytest.raises(ValueError, match="without looking anything up"):
        paper._refused("https://example.org/picture.png")


def test_letting_in_names_each_resident_with_its_reasons(read):
    """Words for the chance, the status of each reason, and the steps."""
    text = read.get("/animals/six-line-wrasse/introduction/?opened=yes").content.decode()
    for words in (
        "Chromis shoal",
        "Dottyback",
        "fights it to its harm",
        "common practice",
        "Release with the lights off",
    ):
        assert words in text


def test_a_system_the_household_does_not_have_is_passed_over(read):
    """The display is shown where the address names nonsense."""
    assert "In Skerry" in read.get("/animals/six-line-wrasse/introduction/?system=atlantis").content.decode()
