"""How sure something is, in the same few words everywhere."""

import pytest

from pratique.casework.words import chance_words


@pytest.mark.parametrize(
    ("probability", "words"),
    [
        (1.0, "surely"),
        (0.95, "surely"),
        (0.94, "probably"),
        (0.8, "probably"),
        (0.79, "perhaps"),
        (0.5, "perhaps"),
        (0.2, "perhaps"),
        (0.19, "probably not"),
        (0.05, "probably not"),
        (0.04, "not"),
        (0.0, "not"),
    ],
)
def test_a_chance_is_said_in_one_of_five_words(probability: float, words: str) -> None:
    """Surely from 95 in 100, probably from 80, and their opposites as far from nought."""
    assert chance_words(probability) == words
