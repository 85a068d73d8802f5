"""The figures of the parasites are refused where they cannot be true or do not say where they come from."""

from importlib.resources import files

import pytest

from pratique import knowledge
from pratique.knowledge import FigureRefused
from pratique.knowledge.loading import parse
from pratique.knowledge.parasites import Parasite

SHIPPED = files("pratique.knowledge").joinpath("figures", "parasites.toml").read_text(encoding="utf-8")


def test_the_shipped_text_is_read_whole():
    """Each parasite by its key."""
    assert set(parse(SHIPPED, Parasite, file_name="x.toml")) == {one.key for one in knowledge.parasites()}


@pytest.mark.parametrize(
    ("right", "wrong", "sentence"),
    [
        ("shortest_days = 3.0", "shortest_days = 8.0", "not in their order"),
        ("extreme_days = 72.0", "extreme_days = 27.0", "not in their order"),
        ("shortest_days = 3.0", "shortest_days = 0.0", "not in their order"),
        ("longer_per_c = 0.072\nsource", "longer_per_c = 0.072\norigin", "source"),
        ('status = "published"', 'status = "certain"', "published, from memory, common practice, guess"),
    ],
)
def test_what_cannot_be_is_refused_by_file_and_key(right, wrong, sentence):
    """A stage that ends before it begins, one that takes no time, one without a source, a status of no meaning."""
    assert right in SHIPPED
    with pytest.raises(FigureRefused, match=sentence) as refused:
        parse(SHIPPED.replace(right, wrong, 1), Parasite, file_name="x.toml")
    assert "x.toml" in str(refused.value)
    assert "white_spot" in str(refused.value)
