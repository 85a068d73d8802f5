"""What the signs on a chart mean, named only where they are there."""

from pratique.casework.sheets import Chart

_READINGS = {
    "bar": "a dot in a bar is a reading with its 95\u2009% error",
    "box": "a box is a reading between two marks of a colour chart",
    "below": "an arrow down is a reading below what the test can tell",
    "above": "an arrow up is a reading above what the test can tell",
}
_MARKS = {"dose": "▲ dose", "change": "▽ water change", "move": "◇ move", "note": "| note"}


def legend(chart: Chart) -> str:
    """Return one sentence that names the signs this chart uses, empty for a chart without any."""
    shapes = {reading.shape for reading in chart.readings}
    kinds = {mark.kind for mark in chart.marks}
    said = ["the line is the level reckoned, the shading its 95\u2009% range"] if chart.line else []
    said += [words for shape, words in _READINGS.items() if shape in shapes]
    if chart.band:
        said.append(chart.band_words or "the green field is the target band")
    if chart.hard_upper is not None:
        said.append("the solid red line is the upper limit")
    said += [words for kind, words in _MARKS.items() if kind in kinds]
    text = "; ".join(said)
    return f"{text[:1].upper()}{text[1:]}." if text else ""
