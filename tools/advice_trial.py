"""Keep simulated tanks by the advice and by the last reading alone, and print how long each held the band.

Usage: python -m tools.advice_trial [--tanks N] [--first-seed N] [--processes N] [--write]
`--write` also puts the numbers into docs/trust.md, between its two marks.
"""

import argparse
import sys
import time
from collections.abc import Callable, Iterable, Sequence
from datetime import date
from pathlib import Path

import numpy as np
from tests.calibration.keepers import COUNTED_FROM, DAYS, Kept, Pair, pairs

PAGE = Path(__file__).resolve().parent.parent / "docs" / "trust.md"
FIRST_SEED, TANKS = 41_000, 300
OPENING, CLOSING = "<!-- advice: written by tools/advice_trial.py -->", "<!-- end of advice -->"
_WORST = 5


def main(arguments: Sequence[str]) -> int:
    """Keep the tanks and print every result."""
    asked = _asked(arguments)
    seeds = range(asked.first_seed, asked.first_seed + asked.tanks)
    started = time.perf_counter()
    report = report_of(pairs(seeds, processes=asked.processes, has_third=True))
    print(report)
    print(f"\n{time.perf_counter() - started:.0f} s on {asked.processes} processes.")
    if asked.write:
        before, _, rest = PAGE.read_text(encoding="utf-8").partition(OPENING)
        _, _, after = rest.partition(CLOSING)
        PAGE.write_text(f"{before}{OPENING}\n\n{report}\n\n{CLOSING}{after}", encoding="utf-8")
    return 0


def _asked(arguments: Sequence[str]) -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="advice_trial", description=__doc__.splitlines()[0] if __doc__ else "")
    parser.add_argument("--tanks", type=int, default=TANKS, help="how many tanks")
    parser.add_argument("--first-seed", type=int, default=FIRST_SEED, help="seed of the first; the others follow")
    parser.add_argument("--processes", type=int, default=2, help="how many processes share the work")
    parser.add_argument("--write", action="store_true", help="put the numbers into docs")
    return parser.parse_args(arguments)


def report_of(kept: Sequence[Pair]) -> str:
    """Return all results as Markdown, which reads well enough in a terminal."""
    advised, last = [one.advised for one in kept], [one.by_last_reading for one in kept]
    changing = [one.with_changes for one in kept if one.with_changes is not None]
    better = sum(one.advised.inside > one.by_last_reading.inside for one in kept)
    worse = sum(one.advised.inside < one.by_last_reading.inside for one in kept)
    heads = ("Hours after day 5", "Advice on doses", "By the last reading alone", "Advice on doses and changes")
    lines = [heads, ("---", "---:", "---:", "---:"), *_rows(advised, last, changing)]
    worst = ", ".join(
        f"{one.seed} ({one.advised.inside:.0%}; by the last reading {one.by_last_reading.inside:.0%})"
        for one in sorted(kept, key=lambda one: one.advised.inside)[:_WORST]
    )
    return "\n".join(
        [
            f"{len(kept)} tanks, seeds {kept[0].seed} to {kept[-1].seed}, kept for {DAYS} days and judged from day "
            f"{COUNTED_FROM} on, on {date.today().isoformat()}, none left out.",  # noqa: DTZ011 - the day of the run
            "",
            *(f"| {' | '.join(line)} |" for line in lines),
            "",
            f"The advice on doses held more hours in {better} tanks and fewer in {worse}. Its worst tanks: {worst}.",
        ]
    )


def _rows(*keepers: Sequence[Kept]) -> Iterable[tuple[str, ...]]:
    named: dict[str, Callable[[Sequence[Kept]], str]] = {
        "Inside: lower target to hard upper limit": lambda some: _part([one.inside for one in some]),
        "In the target: lower to upper": lambda some: _part([one.in_target for one in some]),
        "Below the lower target, hours a tank": lambda some: f"{np.mean([one.hours_below for one in some]):.1f}",
        "Above the hard limit, hours a tank": lambda some: f"{np.mean([one.hours_above_hard for one in some]):.1f}",
        "Tanks with 95 % of hours inside": lambda some: _share([one.inside >= 0.95 for one in some]),
        "Tanks ever above the hard limit": lambda some: _share([one.hours_above_hard > 0.0 for one in some]),
    }
    for name, told in named.items():
        yield name, *map(told, keepers)


def _part(parts: Sequence[float]) -> str:
    """Return a mean over tanks with its standard error, in per cent."""
    return f"{np.mean(parts) * 100:.1f} % (± {np.std(parts, ddof=1) / len(parts) ** 0.5 * 100:.1f})"


def _share(flags: Sequence[bool]) -> str:
    return f"{np.mean(flags) * 100:.0f} %"


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
