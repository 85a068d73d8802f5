"""Concerns about passages: two batches whose water was mixed, so that the disease clock of the older began anew."""

from collections.abc import Iterator
from datetime import timedelta

from pratique import knowledge
from pratique.casework.concerns.pieces import WEIGHT_WORDS, about
from pratique.casework.facts import RECENT, Facts
from pratique.casework.gates import clearance_of
from pratique.casework.passage_troubles import Mixing, mixing_words, mixings_of
from pratique.casework.sheets import Concern, Evidence, NextStep, Reason
from pratique.casework.words import day_words
from pratique.ledger.states import BatchState


def passage_concerns(facts: Facts) -> Iterator[Concern]:
    """Yield each mixing of the last two weeks for the batch that was there first; told of until it is cleared."""
    for batch in facts.household.batches.values():
        mixings = mixings_of(facts, batch, since=facts.now - RECENT)
        for (other, system), found in mixings.items():
            if any(clearance_of(facts, animal) is None for animal, _ in found):
                yield _mixed(facts, batch, found, other=other, system=system)


def _mixed(facts: Facts, batch: BatchState, found: Mixing, *, other: str, system: str) -> Concern:
    contact = max((one for _, one in found), key=lambda one: one.since)
    figure = knowledge.figure("clearance.settled_days")
    ends = contact.since + timedelta(days=figure.value)
    return Concern(
        key=f"mixed.{batch.key}.{system}",
        about=about(batch),
        title=f"{batch.name} came together with {other}",
        weight="today",
        weight_words=WEIGHT_WORDS["today"],
        since=contact.since.astimezone(facts.zone).date(),
        said=mixing_words(facts, found, other, system),
        next_steps=(NextStep("Open the passage", about=about(batch)), NextStep("Write the move apart", form="move")),
        evidence=(Evidence("what brought them together", contact.since, contact.entry),),
        reasons=(
            Reason(
                f"Untreated, a waiting stage may hatch until {day_words(ends.astimezone(facts.zone).date())}.",
                figure.source,
                figure.status.value,
            ),
        ),
    )
