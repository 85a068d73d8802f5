"""Ours against a peer, in turn and in one run: how many times as fast, and how far the answers lie apart."""

import statistics
import time
from collections.abc import Callable, Iterable
from dataclasses import dataclass


@dataclass(frozen=True)
class Duel:
    """One piece of work by us and by a peer, how often each is run, and the bar the ratio is held to.

    `calls` is how often ours runs within one timing, for work too short to time alone. `apart` returns how far the
    answers lie apart, in words.
    """

    what: str
    peer: str
    bar: str
    ours: Callable[[], object]
    theirs: Callable[[], object]
    rounds: int
    calls: int = 1
    their_calls: int = 1
    apart: Callable[[], str] = lambda: ""


def seconds(work: Callable[[], object], calls: int) -> float:
    """Return how long one call takes, over so many."""
    began = time.perf_counter()
    for _ in range(calls):
        work()
    return (time.perf_counter() - began) / calls


def fight(duel: Duel) -> dict[str, object]:
    """Run both in turn, so that a busy machine slows both alike, and return the medians with their ratio."""
    duel.ours()
    duel.theirs()
    pairs = [(seconds(duel.ours, duel.calls), seconds(duel.theirs, duel.their_calls)) for _ in range(duel.rounds)]
    ours, theirs = (statistics.median(times) for times in zip(*pairs, strict=True))
    return {
        "what": duel.what,
        "p50_ms": round(ours * 1000, 4),
        "peer": duel.peer,
        "peer_p50_ms": round(theirs * 1000, 4),
        "times_as_fast": round(theirs / ours, 2),
        "bar": duel.bar,
        "apart": duel.apart(),
    }


def run_all(duels: Iterable[Callable[[], Duel]]) -> list[dict[str, object]]:
    """Run and print every duel."""
    rows = []
    for make in duels:
        row = fight(make())
        rows.append(row)
        print(
            f"{row['what']}: p50 {row['p50_ms']} ms\n"
            f"  peer, {row['peer']}: p50 {row['peer_p50_ms']} ms; {row['times_as_fast']} times as fast ({row['bar']})"
        )
        if row["apart"]:
            print(f"  {row['apart']}")
    return rows
