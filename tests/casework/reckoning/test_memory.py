"""What was reckoned is kept by the content of its case, within bounds, and from many threads."""

from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace

import numpy as np
import pytest

from pratique.casework.reckoning.memory import Memory, content_of, exposure_in, posterior_of, running_of
from pratique.science.chemistry.domain import DomainError
from pratique.science.estimation.case import Band, Case, Change, Dose, Initial, Reading, Volume
from pratique.science.estimation.reading import Method, Observed

CASE = Case(
    "copper",
    "mg/L",
    2.0,
    Initial(0.0, 0.1),
    volume=Volume(80.0, 4.0),
    methods={"meter": Method(0.0, 0.02, 0.05)},
    events=(Dose(0.5, 16.0, entry="a"),),
    readings=(Reading(1.0, "meter", Observed(value=0.2), entry="b"),),
    draws=50,
)


def test_the_names_of_entries_and_the_band_do_not_matter():
    """The same water told by other entries, or judged by another band, is not reckoned anew."""
    renamed = replace(CASE, events=(replace(CASE.events[0], entry="x"),), band=Band(0.1, 0.2), required_days=14.0)
    assert posterior_of(renamed) is posterior_of(CASE)
    assert running_of(renamed) is running_of(CASE)


def test_anything_in_the_water_does_matter():
    """One more change, another error, another start: another case."""
    others = [
        replace(CASE, events=(*CASE.events, Change(1.5, 10.0))),
        replace(CASE, methods={"meter": Method(0.0, 0.02, 0.06)}),
        replace(CASE, initial=Initial(0.0, 0.2)),
        replace(CASE, span_days=2.5),
    ]
    assert len({content_of(one) for one in (CASE, *others)}) == 5
    assert all(posterior_of(one) is not posterior_of(CASE) for one in others)


def test_what_comes_out_is_what_the_reckoning_gives():
    """Kept or not, the same numbers."""
    from pratique.science.estimation.posterior import reckon  # noqa: PLC0415 - only to compare with

    assert np.array_equal(posterior_of(CASE).mean, reckon(CASE).mean)


def test_an_exposure_is_kept_by_its_band_and_its_days():
    """Another lower end is another question."""
    first = exposure_in(CASE, Band(0.15, 0.25), (0.5, 2.0), 1.0)
    assert exposure_in(CASE, Band(0.15, 0.25), (0.5, 2.0), 1.0) is first
    assert exposure_in(CASE, Band(0.05, 0.25), (0.5, 2.0), 1.0) is not first


def test_the_volume_stays_open_for_what_may_be_added():
    """Nothing done so far depends on it; a dose to come will."""
    bare = replace(CASE, events=())
    assert running_of(bare).volumes.std() > 1.0


def test_a_case_that_cannot_be_reckoned_says_so_each_time():
    """The sentence is kept too, and raised anew."""
    impossible = replace(CASE, span_days=0.0)
    for _ in range(2):
        with pytest.raises(DomainError, match="must end after its start"):
            posterior_of(impossible)


def test_what_was_not_asked_for_longest_goes_first():
    """Room for two: asking for the first again saves it, and the second makes room for the third."""
    memory, made = Memory(most_bytes=20), list[str]()

    def ask(key: str) -> str:
        return memory.recall(key, lambda: made.append(key) or key, size_of=lambda _: 10)

    for key in ("one", "two", "one", "three", "one", "two"):
        ask(key)
    assert made == ["one", "two", "three", "two"]
    assert memory.bytes_held <= 20


def test_one_thing_larger_than_all_room_is_kept_until_the_next():
    """It was asked for just now."""
    memory = Memory(most_bytes=5)
    assert memory.recall("large", lambda: 1, size_of=lambda _: 50) == 1
    assert memory.recall("large", lambda: 2, size_of=lambda _: 50) == 1
    memory.recall("small", lambda: 3, size_of=lambda _: 1)
    assert list(memory.held) == ["small"]


def test_many_threads_may_ask_at_once():
    """Each gets the same answer to the same question, and what is counted as held is what is held."""
    memory = Memory(most_bytes=50)
    with ThreadPoolExecutor(8) as pool:
        found = list(pool.map(lambda n: memory.recall(n % 7, lambda: n % 7, size_of=lambda _: 10), range(700)))
    assert found == [n % 7 for n in range(700)]
    assert memory.bytes_held == 10 * len(memory.held) <= 50
