"""What is derived from the entries is the same whether it grew entry by entry or was built anew."""

from collections.abc import Callable

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from tests.ledger.builders import (
    a_household_for_a_while,
    a_move,
    a_reading,
    a_withdrawal_of,
    an_entry,
    derived,
    harbour_row,
    put_entry_of_a_newer_version,
)

from pratique.ledger.append import append
from pratique.ledger.entries import NewEntry
from pratique.ledger.kinds.animals import Death, Loss
from pratique.ledger.kinds.places import System
from pratique.ledger.models import EntryLink, Subject
from pratique.ledger.projections import rebuild
from pratique.ledger.verify import verify

pytestmark = pytest.mark.django_db

STEPS = st.tuples(
    st.sampled_from(["move", "box", "loss", "death", "reading", "volume", "withdraw", "amend", "unknown"]),
    st.integers(min_value=0, max_value=200),
    st.integers(min_value=0, max_value=1000),
)


def _entry_for(step: str, hours: int, which: int, so_far: list[NewEntry]) -> NewEntry:
    wrasse = "six-line-wrasse"
    earlier = so_far[which % len(so_far)]
    made: dict[str, Callable[[], NewEntry]] = {
        "move": lambda: an_entry(a_move(("haven", "lazaret", "skerry")[which % 3]), hours=hours),
        "box": lambda: an_entry(a_move("skerry", compartment="creel"), hours=hours),
        "loss": lambda: an_entry(Loss(animal=wrasse), hours=hours),
        "death": lambda: an_entry(Death(animal=wrasse), hours=hours),
        "reading": lambda: an_entry(a_reading(which / 1000), hours=hours),
        "volume": lambda: an_entry(_haven(net_volume_l=50 + which % 50), hours=hours),
        "withdraw": lambda: a_withdrawal_of(earlier, hours=hours),
        "amend": lambda: an_entry(a_move("haven"), hours=hours, amends=earlier.id),
    }
    return made[step]()


def _haven(net_volume_l: float) -> System:
    return System(key="haven", name="Haven", role="recovery", gross_volume_l=110, net_volume_l=net_volume_l)


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(STEPS, min_size=1, max_size=12))
def test_growing_step_by_step_equals_building_anew(steps: list[tuple[str, int, int]]) -> None:
    """Any order of moves, losses, corrections and corrections of corrections; the proof finds nothing either way."""
    with a_household_for_a_while():
        so_far = harbour_row()
        append(so_far)
        for step, hours, which in steps:
            if step == "unknown":
                put_entry_of_a_newer_version(f'{{"which":{which}}}')
                continue
            entry = _entry_for(step, hours, which, so_far)
            append([entry])
            so_far.append(entry)
        grown = derived()
        assert verify().problems == ()
        rebuild()
        assert derived() == grown


def test_rebuilding_repairs_what_was_damaged() -> None:
    """The derived tables may be thrown away at any time."""
    append(harbour_row())
    whole = derived()
    Subject.objects.filter(key="system/haven").delete()
    EntryLink.objects.filter(subject="system/skerry").update(stands=False)
    assert derived() != whole
    assert rebuild() == len(whole[1])
    assert derived() == whole


def test_an_append_touches_only_the_subjects_it_speaks_of(django_assert_max_num_queries) -> None:  # type: ignore[no-untyped-def]
    """The number of queries for one reading is the same in a long ledger as in a short one."""
    append(harbour_row())
    with django_assert_max_num_queries(12) as short:
        append([an_entry(a_reading())])
    append([an_entry(a_reading(number / 1000), hours=number) for number in range(200)])
    with django_assert_max_num_queries(len(short.captured_queries)):
        append([an_entry(a_reading())])
