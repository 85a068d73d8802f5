"""What the signs on a chart mean, named only where they are there."""

from collections.abc import Iterator

from pratique.casework.sheets import Chart

_READINGS = {
    "bar": "dot in a bar: a reading with its 95\u202f% error",
    "box": "box: a reading known only to lie between two values",
    "below": "arrow down: below what the test can tell",
    "above": "arrow up: above what the test can tell",
}
_MARKS = {"dose": "▲ dose", "change": "▽ water change", "move": "◇ move", "note": "| note"}


def legend(chart: Chart) -> tuple[str, ...]:
    """Return a few words for each sign this chart uses, none for a chart without any."""
    return (*signs(chart), *limits(chart))


def signs(chart: Chart) -> tuple[str, ...]:
    """Return the words for what is drawn of the level, its readings and what was done: alike in many charts."""
    shapes = {reading.shape for reading in chart.readings}
    kinds = {mark.kind for mark in chart.marks if chart.start <= mark.at <= chart.end}
    said = [*_line(chart)]
    said += [words for shape, words in _READINGS.items() if shape in shapes]
    said += [words for kind, words in _MARKS.items() if kind in kinds]
    is_planned = any(mark.entry is None for mark in chart.marks)
    return (*said, *(["hollow and dashed: only planned"] if is_planned else []))


def limits(chart: Chart) -> tuple[str, ...]:
    """Return the words for a chart's own band and limit, by their lines first and their colour after."""
    said = []
    if chart.band:
        said.append(f"between dashed lines (green): {chart.band_words or 'the target band'}")
    if chart.hard_upper is not None:
        said.append("thick line across (red): upper limit")
    return tuple(said)


def _line(chart: Chart) -> Iterator[str]:
    if not chart.line:
        return
    if any(point.inner_low is not None for point in chart.line):
        yield "line: the level reckoned; stronger shade: its 50\u202f% range; within the dots: its 95\u202f% range"
    else:
        yield "line: the level reckoned, shaded its 95\u202f% range"
    if chart.expected_from is not None and chart.expected_from < chart.end:
        yield "dashed, after the upright line: what is to be expected"
