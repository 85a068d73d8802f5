"""What the signs on a chart mean, named only where they are there."""

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
    shapes = {reading.shape for reading in chart.readings}
    kinds = {mark.kind for mark in chart.marks if chart.start <= mark.at <= chart.end}
    said = ["line: the level reckoned, shaded its 95\u202f% range"] if chart.line else []
    said += [words for shape, words in _READINGS.items() if shape in shapes]
    if chart.band:
        said.append(f"green: {chart.band_words or 'the target band'}")
    if chart.hard_upper is not None:
        said.append("red line: upper limit")
    return (*said, *(words for kind, words in _MARKS.items() if kind in kinds))
