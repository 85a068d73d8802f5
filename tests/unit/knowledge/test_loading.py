"""Figures are refused unless they say where they come from."""

import pytest

from pratique.knowledge import FigureRefused, Leg
from pratique.knowledge.loading import parse
from pratique.knowledge.thresholds import Figure

WHOLE = """
["ammonia.act"]
value = 0.05
unit = "mg/L"
source = "a handbook"
status = "published"
"""


def test_a_whole_entry_is_read():
    """Key, number, unit, source and status."""
    figure = parse(WHOLE, Figure, file_name="x.toml")["ammonia.act"]
    assert (figure.key, figure.value, figure.status) == ("ammonia.act", 0.05, "published")


@pytest.mark.parametrize(
    ("removed", "sentence"),
    [
        ('source = "a handbook"', "lacks a source"),
        ('status = "published"', "lacks a status"),
        ('unit = "mg/L"', "does not fit"),
    ],
)
def test_an_entry_that_lacks_something_is_refused_by_file_and_key(removed, sentence):
    """The message names the file and the key."""
    with pytest.raises(FigureRefused, match=sentence) as refused:
        parse(WHOLE.replace(removed, ""), Figure, file_name="x.toml")
    assert "x.toml" in str(refused.value)
    assert "ammonia.act" in str(refused.value)


def test_a_blank_source_is_no_source():
    """Spaces do not say where a number comes from."""
    with pytest.raises(FigureRefused, match="lacks a source"):
        parse(WHOLE.replace("a handbook", "  "), Figure, file_name="x.toml")


def test_a_made_up_status_is_refused_and_the_right_ones_named():
    """Four words, no others."""
    with pytest.raises(FigureRefused, match="published, from memory, common practice, guess"):
        parse(WHOLE.replace('"published"', '"certain"'), Figure, file_name="x.toml")


def test_a_field_that_means_nothing_is_refused():
    """A misspelt optional field must not pass silently."""
    with pytest.raises(FigureRefused, match="lower_limt"):
        parse(WHOLE + "lower_limt = 3\n", Figure, file_name="x.toml")


def test_a_bare_value_is_no_entry():
    """Every number sits in a table with its source."""
    with pytest.raises(FigureRefused, match="not an entry"):
        parse("lonely = 3\n", Figure, file_name="x.toml")


def test_a_table_inside_an_entry_needs_its_own_source():
    """A criterion without a source refuses the whole leg."""
    text = """
[leg]
name = "Treat"
system_role = "quarantine"
source = "custom"
status = "common practice"
[[leg.criteria]]
key = "days_at_target"
words = "Days"
required = 30
unit = "days"
status = "guess"
"""
    with pytest.raises(FigureRefused, match=r"leg\.criteria\[0\]. lacks a source"):
        parse(text, Leg, file_name="x.toml")
