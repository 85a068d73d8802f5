"""The sentence a list page opens with."""

from tests.builders.sheets import a_list

from pratique.web.reading.lists import ANIMALS, SYSTEMS, list_gist


def test_a_list_opens_with_how_many_ask_for_something():
    """Three systems, one to act on now, one for today."""
    assert list_gist(a_list(), SYSTEMS) == "Three systems: act on one now, see to one today."


def test_a_quiet_list_says_so():
    """Only a thing to watch is nothing to act on."""
    quiet = tuple(group for group in a_list() if group.heading == "Empty")
    watched = (type(a_list()[0])(heading="Quarantine", lines=a_list()[0].lines[1:]), *quiet)
    assert list_gist(watched, SYSTEMS) == "One system: nothing here has to be acted on today."


def test_an_empty_list_says_how_to_begin():
    """Nothing is written down yet: the page says what to write first."""
    assert list_gist((), ANIMALS) == ANIMALS.empty
