"""Simulate a thousand tanks, reckon each, and print whether the reckoning is as sure as it should be.

Usage: python -m tools.calibrate [--tanks N] [--first-seed N] [--processes N] [--write]
`--write` also puts the numbers into docs/trust.md, between its two marks, and draws docs/pictures/trust.svg.
"""

import argparse
import sys
import time
from collections.abc import Iterable, Sequence
from datetime import date
from pathlib import Path

from tests.calibration.ranks import Score, scores
from tests.calibration.tanks import KITS
from tests.calibration.verdict import (
    DAY_COUNTS,
    INTERVAL_QUANTITIES,
    bins_of,
    brier,
    coverage,
    rank_counts,
    ranks_of,
    ribbon_coverage,
    uniform_p,
)

ROOT = Path(__file__).resolve().parent.parent
PAGE, PICTURE = ROOT / "docs" / "trust.md", ROOT / "docs" / "pictures" / "trust.svg"
FIRST_SEED, TANKS = 10_000, 1000
OPENING, CLOSING = "<!-- calibration: written by tools/calibrate.py -->", "<!-- end of calibration -->"
NAMES = {
    "level": "Level at a random hour",
    "volume": "Net volume",
    "loss": "Loss per day",
    "longest": "Longest unbroken run",
    "credited": "Days credited at the end",
}
INK, FAINT, BLUE, PAPER = "#1c2b33", "#9aa7ad", "#1f5f8b", "#ffffff"
PANEL, FOOT = 300.0, 110.0


def main(arguments: Sequence[str]) -> int:
    """Run the tanks and print every result."""
    asked = _asked(arguments)
    seeds = range(asked.first_seed, asked.first_seed + asked.tanks)
    started = time.perf_counter()
    scored = scores(seeds, processes=asked.processes)
    report = _report(scored, seeds)
    print(report)
    print(f"\n{time.perf_counter() - started:.0f} s on {asked.processes} processes.")
    if asked.write:
        _write(report, scored)
    return 0


def _asked(arguments: Sequence[str]) -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="calibrate", description=__doc__.splitlines()[0] if __doc__ else "")
    parser.add_argument("--tanks", type=int, default=TANKS, help="how many tanks")
    parser.add_argument("--first-seed", type=int, default=FIRST_SEED, help="seed of the first; the others follow")
    parser.add_argument("--processes", type=int, default=2, help="how many processes share the work")
    parser.add_argument("--write", action="store_true", help="put the numbers and the picture into docs")
    return parser.parse_args(arguments)


def _report(scored: Sequence[Score], seeds: range) -> str:
    """Return all results as Markdown, which reads well enough in a terminal."""
    least = min(one.effective_sample for one in scored)
    return "\n\n".join(
        [
            f"{len(scored)} tanks, seeds {seeds.start} to {seeds.stop - 1}, reckoned on "
            f"{date.today().isoformat()}, none left out. "  # noqa: DTZ011 - the day of the run where it is run
            f"Smallest effective sample of 1,000 trajectories: {least:.0f}.",
            _table(("Inside the", "50 %", "80 %", "95 %", "χ² p of ranks"), _coverage_rows(scored)),
            _table(("Level by kit", "Tanks", "50 %", "80 %", "95 %"), _kit_rows(scored)),
            _table(("Forecast", "Tanks", "Mean forecast", "Held", "Standard errors apart"), _bin_rows(scored)),
            _table(("Brier score (0 is perfect)", ""), _brier_rows(scored)),
        ]
    )


def _coverage_rows(scored: Sequence[Score]) -> Iterable[tuple[str, ...]]:
    for quantity in INTERVAL_QUANTITIES + DAY_COUNTS:
        ranks = ranks_of(scored, quantity)
        yield NAMES[quantity], *map(_per_cent, coverage(ranks)), f"{uniform_p(ranks):.3f}"
    half, most = map(_per_cent, ribbon_coverage(scored))
    yield "Level in the ribbon a page shows", half, "–", most, "–"


def _kit_rows(scored: Sequence[Score]) -> Iterable[tuple[str, ...]]:
    for kit in KITS:
        own = [one for one in scored if one.kit == kit]
        if own:
            yield kit.capitalize(), str(len(own)), *map(_per_cent, coverage(ranks_of(own, "level")))


def _bin_rows(scored: Sequence[Score]) -> Iterable[tuple[str, ...]]:
    for one in bins_of(scored):
        span = f"{one.low * 100:.0f}–{one.high * 100:.0f} %"
        yield span, str(one.count), _per_cent(one.forecast), _per_cent(one.outcome), f"{one.errors_off:.1f}"


def _brier_rows(scored: Sequence[Score]) -> Iterable[tuple[str, ...]]:
    marks = brier(scored)
    yield "The reckoning", f"{marks.reckoning:.3f}"
    yield "Straight lines between readings, taken at their word", f"{marks.paper:.3f}"
    yield "Straight lines, told afterwards how often each answer was right", f"{marks.paper_tuned:.3f}"
    yield "The same probability for every tank", f"{marks.base_rate:.3f}"


def _per_cent(part: float) -> str:
    return f"{part * 100:.1f} %"


def _table(heads: tuple[str, ...], rows: Iterable[tuple[str, ...]]) -> str:
    lines = [heads, tuple("---:" if place else "---" for place in range(len(heads))), *rows]
    return "\n".join(f"| {' | '.join(line)} |" for line in lines)


def _write(report: str, scored: Sequence[Score]) -> None:
    text = PAGE.read_text(encoding="utf-8")
    before, _, rest = text.partition(OPENING)
    _, _, after = rest.partition(CLOSING)
    PAGE.write_text(f"{before}{OPENING}\n\n{report}\n\n{CLOSING}{after}", encoding="utf-8")
    PICTURE.write_text(_picture(scored), encoding="utf-8")


def _picture(scored: Sequence[Score]) -> str:
    """Return the plot: forecast against outcome, and under it the ranks of each quantity."""
    width, height = 2 * PANEL + 240.0, PANEL + FOOT
    ranks = "".join(
        _bars(rank_counts(ranks_of(scored, quantity)), NAMES[quantity], top=26.0 + 68.0 * place)
        for place, quantity in enumerate(INTERVAL_QUANTITIES + DAY_COUNTS)
    )
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width:.0f} {height:.0f}" role="img" '
        f'font-family="sans-serif" font-size="12" fill="{INK}">\n'
        "<title>Forecast against outcome in ten bins, and the ranks of what is true</title>\n"
        f'<rect width="{width:.0f}" height="{height:.0f}" fill="{PAPER}"/>\n{_forecasts(scored)}{ranks}</svg>\n'
    )


def _forecasts(scored: Sequence[Score]) -> str:
    """Return the ten bins with three standard errors each side, over the line where forecast and outcome agree."""
    left, top = 64.0, 40.0

    def x(part: float) -> float:
        return left + PANEL * part

    def y(part: float) -> float:
        return top + PANEL * (1.0 - min(max(part, 0.0), 1.0))

    parts = [
        f'<text x="{left}" y="20">Courses held, by what was forecast (bars: three standard errors)</text>\n',
        f'<rect x="{left}" y="{top}" width="{PANEL}" height="{PANEL}" fill="none" stroke="{FAINT}"/>\n',
        _line((x(0.0), y(0.0)), (x(1.0), y(1.0)), FAINT),
        f'<text x="{x(0.5)}" y="{top + PANEL + 38}" text-anchor="middle">Forecast that the course is held, %</text>\n',
        f'<text x="18" y="{y(0.5)}" text-anchor="middle" transform="rotate(-90 18 {y(0.5)})">Held, %</text>\n',
    ]
    for part in (0.0, 0.2, 0.4, 0.6, 0.8, 1.0):
        parts.append(f'<text x="{x(part):.1f}" y="{top + PANEL + 18}" text-anchor="middle">{part * 100:.0f}</text>\n')
        parts.append(f'<text x="{left - 8}" y="{y(part) + 4:.1f}" text-anchor="end">{part * 100:.0f}</text>\n')
    for one in bins_of(scored):
        reach = 3.0 * one.standard_error
        at, low, high = x(one.forecast), y(one.forecast - reach), y(one.forecast + reach)
        parts.append(_line((at, low), (at, high), BLUE))
        parts.append(f'<circle cx="{at:.1f}" cy="{y(one.outcome):.1f}" r="4" fill="{BLUE}"/>\n')
    return "".join(parts)


def _bars(counts: Iterable[float], name: str, *, top: float) -> str:
    """Return twenty bars of ranks, with the height they would all have if they were even."""
    left, step, tall = PANEL + 130.0, 20.0, 40.0
    found = list(counts)
    even = sum(found) / len(found)
    most = max(*found, 2.0 * even)
    base = top + 14.0 + tall
    bars = [
        f'<rect x="{left + step * place:.1f}" y="{base - tall * count / most:.1f}" width="{step - 2}" '
        f'height="{tall * count / most:.1f}" fill="{BLUE}"/>\n'
        for place, count in enumerate(found)
    ]
    level = base - tall * even / most
    label = f'<text x="{left}" y="{top + 8}">Ranks: {name.lower()} (line: even)</text>\n'
    return label + "".join(bars) + _line((left, level), (left + step * len(found), level), INK)


def _line(start: tuple[float, float], end: tuple[float, float], colour: str) -> str:
    return (
        f'<line x1="{start[0]:.1f}" y1="{start[1]:.1f}" x2="{end[0]:.1f}" y2="{end[1]:.1f}" '
        f'stroke="{colour}" stroke-width="1.5"/>\n'
    )


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
