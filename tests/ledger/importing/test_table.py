"""A file of text becomes lines of cells, whichever program wrote it."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pratique.ledger.importing.table import TableRefused, read_table


@pytest.mark.parametrize("delimiter", [";", ",", "\t"])
def test_the_delimiter_is_found_in_the_headings(delimiter: str) -> None:
    """Semicolons, commas and tabs, and none that stands inside quotation marks."""
    table = read_table(f'date{delimiter}"tank, big; one"\n2026-11-03{delimiter}Skerry\n'.encode())
    assert table.columns == ("date", "tank, big; one")
    assert table.lines[0].cells == ("2026-11-03", "Skerry")


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "latin-1", "utf-16"])
def test_the_letters_are_read_right(encoding: str) -> None:
    """With or without a mark, and from an old program."""
    assert read_table("date;°C\n2026-11-03;24½\n".encode(encoding)).columns == ("date", "°C")


@pytest.mark.parametrize("ending", ["\n", "\r\n", "\r"])
def test_any_line_ending_will_do(ending: str) -> None:
    """Numbers are those an editor shows."""
    table = read_table(ending.join(["a;b", "1;2", "3;4", ""]).encode())
    assert [(line.number, line.cells) for line in table.lines] == [(2, ("1", "2")), (3, ("3", "4"))]


def test_a_cell_may_hold_several_lines() -> None:
    """Inside quotation marks; the next line has the number it has in the file."""
    table = read_table(b'a;b\n1;"two\nlines"\n3;4\n')
    assert [(line.number, line.cells) for line in table.lines] == [(2, ("1", "two\nlines")), (4, ("3", "4"))]


def test_a_quotation_mark_never_closed_spoils_one_line_only() -> None:
    """The lines after it are read as if nothing had been."""
    table = read_table(b'a;b\n1;"oh\n3;4\n5;6\n')
    assert [line.cells for line in table.lines] == [None, ("3", "4"), ("5", "6")]
    assert table.lines[0].text == '1;"oh'


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b"", "The file is empty"),
        (b"\n \n", "The file is empty"),
        (b"just words\nand more\n", "only one was found"),
        (b"a;b;a\n1;2;3\n", "Two columns are called “a”"),
    ],
)
def test_what_is_not_a_table_gets_a_sentence(content: bytes, sentence: str) -> None:
    """What is wrong, and what would be right."""
    with pytest.raises(TableRefused, match=sentence):
        read_table(content)


@given(st.lists(st.text(alphabet='ab";,\t \x0b\u2028é', max_size=12), max_size=12))
def test_no_character_of_any_line_is_lost(texts: list[str]) -> None:
    """However the lines are taken apart, together they are the file."""
    table = read_table("\n".join(["a;b", *texts, "z"]).encode())
    assert "\n".join(line.text for line in table.lines) == "\n".join([*texts, "z"])
