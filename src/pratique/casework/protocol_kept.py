"""The protocols a household knows: those that are shipped, and those of its own that its ledger keeps."""

from dataclasses import replace
from functools import lru_cache
from typing import TYPE_CHECKING

from pratique import knowledge
from pratique.casework.protocol_files import ProtocolRefused, read_protocol
from pratique.casework.words import day_words
from pratique.knowledge import Protocol

# Only named here: a comparison of shipped passages opens no ledger, and its models must not load then.
if TYPE_CHECKING:
    from pratique.ledger.household import Household
    from pratique.ledger.states import BatchState, ProtocolState

_MOST_READ = 128


def protocol_of(household: "Household", key: str) -> Protocol:
    """Return the protocol a batch follows; for an unknown one a stand-in of a single leg whose gate stays shut.

    One of the household's own goes before a shipped one of the same key: it is what the keeper chose.
    """
    kept = household.protocols.get(key)
    return _read(kept) if kept is not None else knowledge.protocol_or_unknown(key)


def protocol_named(household: "Household", name: str) -> Protocol:
    """Return a protocol by its key or short name; KeyError with a plain sentence for an unknown one."""
    own = {one.short_name: one for one in own_protocols(household) if one.short_name}
    if name in household.protocols or name in own:
        return protocol_of(household, name) if name in household.protocols else own[name]
    return knowledge.protocol(name)


def own_protocols(household: "Household") -> tuple[Protocol, ...]:
    """Return the protocols of the household's own, by name."""
    return tuple(_read(one) for one in sorted(household.protocols.values(), key=lambda one: one.name))


def protocols_known(household: "Household") -> tuple[Protocol, ...]:
    """Return every protocol a batch may follow: the shipped ones, then the household's own."""
    own = household.protocols
    return (*(one for one in knowledge.protocols() if one.key not in own), *own_protocols(household))


def protocol_words(household: "Household", batch: "BatchState") -> str:
    """Return what a batch's protocol is in words, and when it was changed if that was after the batch began."""
    words = protocol_of(household, batch.protocol).words
    kept = household.protocols.get(batch.protocol)
    began = min(
        [one.began for one in batch.legs] + ([batch.arrived] if batch.arrived is not None else []), default=None
    )
    if kept is None or kept.changed is None or began is None or kept.changed <= began:
        return words
    day = day_words(kept.changed.astimezone(household.zone).date())
    return f"{words} Its text was changed on {day}, after this batch began: all that is said here goes by the new text."


def _read(kept: "ProtocolState") -> Protocol:
    """Return a kept protocol as it reads; one this version's check refuses is as good as unknown, and says why."""
    found = _read_text(kept.text)
    if isinstance(found, Protocol):
        return replace(found, key=kept.key)
    unknown = knowledge.protocol_or_unknown(f"unread {kept.key}")
    return replace(
        unknown,
        key=kept.key,
        name=f"{kept.name} (its text does not pass this version's check)",
        words=f"Line {found.mistakes[0].line} of its text: {found.mistakes[0].words} Keep it anew with that put right.",
    )


@lru_cache(maxsize=_MOST_READ)
def _read_text(text: str) -> Protocol | ProtocolRefused:
    try:
        return read_protocol(text)
    except ProtocolRefused as refused:
        return refused
