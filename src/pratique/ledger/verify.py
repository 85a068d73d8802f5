"""Prove the ledger: the chain of digests, everything derived from the entries, and the pictures. Changes nothing."""

import hashlib
from collections import Counter, defaultdict
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import datetime
from functools import cache
from itertools import batched
from uuid import UUID

from pratique.ledger.canonical import GENESIS
from pratique.ledger.entries import Recorded
from pratique.ledger.folding import SHAPING_KINDS, fold
from pratique.ledger.kinds.care import Photo
from pratique.ledger.kinds.measured import Clip
from pratique.ledger.models import ChainHead, Entry, EntryLink, Subject
from pratique.ledger.photos import photo_path
from pratique.ledger.snapshots import one_view

CHUNK = 2000


@dataclass(frozen=True, slots=True)
class VerifyReport:
    """How many entries were read, and what is wrong, in sentences; nothing is wrong where there are none."""

    entries: int
    problems: tuple[str, ...]


type _LinkRow = tuple[str, str, str, float | None, datetime, bool]


def verify(*, progress: Callable[[int, int], None] | None = None) -> VerifyReport:
    """Recompute the hash chain, every link, every subject's state and every picture's hash; report what differs.

    `progress` is told after each chunk how many entries of how many have been read.
    """
    with one_view():
        proof = _Proof()
        total = Entry.objects.count()
        rows = Entry.objects.order_by("seq").iterator(chunk_size=CHUNK)
        for chunk in batched(rows, CHUNK):
            proof.read([Recorded.of(row) for row in chunk])
            if progress is not None:
                progress(proof.count, total)
        return VerifyReport(proof.count, (*proof.problems, *proof.ending()))


class _Proof:
    """What has been read so far, and what was found wrong with it."""

    def __init__(self) -> None:
        self.problems: list[str] = []
        self.count = 0
        self.digest = GENESIS
        self.links_seen = 0
        self.standing = _standing()
        self.shaping: dict[str, list[Recorded]] = defaultdict(list)

    def read(self, entries: list[Recorded]) -> None:
        """Check a chunk of entries, in the ledger's order."""
        stored = _stored_links(entries[0].seq, entries[-1].seq)
        for entry in entries:
            self.count += 1
            if _digest_after(entry, self.digest) != entry.digest:
                self.problems.append(
                    f"{_name(entry)} was changed after it was written, or an entry before it is missing: "
                    "its digest does not follow from the one before."
                )
            # Go on from what is stored, so that one changed entry is one problem.
            self.digest = entry.digest
            self._check_derived(entry, stored.get(entry.seq, Counter()))

    def _check_derived(self, entry: Recorded, stored: Counter[_LinkRow]) -> None:
        self.links_seen += stored.total()
        try:
            payload = entry.payload
        except ValueError:
            self.problems.append(f"{_name(entry)} does not hold what a {entry.kind} must hold.")
            return
        links = entry.links()
        does_stand = self.standing.get(entry.id, True)
        expected = Counter((link.subject, entry.kind, link.topic, link.number) for link in links)
        if Counter({(*key, entry.happened_at, does_stand): n for key, n in expected.items()}) != stored:
            self.problems.append(f"{_name(entry)} is not found where it should be: its links differ from what it says.")
        for subject in {link.subject for link in links}:
            if entry.kind in SHAPING_KINDS.get(subject.partition("/")[0], ()) and does_stand:
                self.shaping[subject].append(entry)
        if isinstance(payload, Photo | Clip):
            self.problems.extend(_picture_problems(entry, payload))

    def ending(self) -> Iterator[str]:
        """Yield what is wrong with the ledger as a whole, once every entry has been read."""
        head = ChainHead.objects.filter(pk=1).first()
        count, digest = (head.count, head.digest) if head is not None else (0, GENESIS)
        if (count, digest) != (self.count, self.digest):
            yield (
                f"The chain's head speaks of {count} entries and the ledger holds {self.count}, or its last digest "
                "differs: entries are missing at the end, or were added past the chain."
            )
        if EntryLink.objects.count() != self.links_seen:
            yield "There are links to entries that are not in the ledger."
        yield from self._subject_problems()

    def _subject_problems(self) -> Iterator[str]:
        expected: dict[str, tuple[str, str]] = {}
        for subject, entries in self.shaping.items():
            state = fold(subject, sorted(entries, key=lambda one: (one.happened_at, one.seq)))
            if state is not None:
                expected[subject] = (subject.partition("/")[0], state.model_dump_json())
        stored = {key: (type_, state) for key, type_, state in Subject.objects.values_list("key", "type", "state")}
        for subject in sorted(expected.keys() | stored.keys()):
            if subject not in stored:
                yield f"The state of {subject} is missing, though entries speak of it."
            elif subject not in expected:
                yield f"There is a state of {subject}, though no standing entry has set it up."
            elif stored[subject] != expected[subject]:
                yield f"The state of {subject} differs from what its entries say."


def _digest_after(entry: Recorded, previous: str) -> str | None:
    """Return the digest the entry should have, or None where its payload cannot even be read as JSON."""
    try:
        return entry.digest_after(previous)
    except ValueError:
        return None


def _standing() -> dict[UUID, bool]:
    """Return whether each corrected entry stands: it is neither withdrawn nor replaced by an amendment."""
    amended: dict[UUID, list[UUID]] = defaultdict(list)
    withdrawn: dict[UUID, list[UUID]] = defaultdict(list)
    rows = Entry.objects.exclude(amends=None, withdraws=None).values_list("id", "amends", "withdraws")
    for correction, amends, withdraws in rows:
        for target, corrected in ((amends, amended), (withdraws, withdrawn)):
            if target is not None:
                corrected[target].append(correction)

    @cache
    def counts(correction: UUID) -> bool:
        is_withdrawn = any(map(counts, withdrawn.get(correction, ())))
        return not is_withdrawn or any(map(counts, amended.get(correction, ())))

    return {
        entry_id: not any(map(counts, [*amended.get(entry_id, ()), *withdrawn.get(entry_id, ())]))
        for entry_id in amended.keys() | withdrawn.keys()
    }


def _stored_links(first_seq: int, last_seq: int) -> dict[int, Counter[_LinkRow]]:
    found: dict[int, Counter[_LinkRow]] = defaultdict(Counter)
    rows = EntryLink.objects.filter(entry_id__gte=first_seq, entry_id__lte=last_seq)
    for row in rows.values_list("entry_id", "subject", "kind", "topic", "number", "happened_at", "stands"):
        found[row[0]][row[1:]] += 1
    return found


def _picture_problems(entry: Recorded, kept: Photo | Clip) -> Iterator[str]:
    what = "picture" if isinstance(kept, Photo) else "clip"
    path = photo_path(kept.sha256)
    if path is None:
        yield f"{_name(entry)} has lost its {what}: the file is not in the photos folder."
    elif hashlib.sha256(path.read_bytes()).hexdigest() != kept.sha256:
        yield f"{_name(entry)} has a {what} that was changed after it was kept."


def _name(entry: Recorded) -> str:
    return f"Entry {entry.seq} ({entry.kind} of {entry.happened_at:%Y-%m-%d %H:%M} UTC, {entry.id})"
