"""Fewer points for a line that has more than the eye can tell apart; jumps and the ends of each stretch stay."""

from math import ceil

from pratique.casework.sheets import ChartPoint


def stretches(line: tuple[ChartPoint, ...]) -> tuple[tuple[ChartPoint, ...], ...]:
    """Return the line cut before each jump."""
    runs: list[list[ChartPoint]] = []
    for point in line:
        if point.jump or not runs:
            runs.append([])
        runs[-1].append(point)
    return tuple(tuple(run) for run in runs)


def thinned(line: tuple[ChartPoint, ...], *, at_most: int) -> tuple[ChartPoint, ...]:
    """Return about `at_most` points of the line, with the first and last of every stretch among them."""
    if len(line) <= at_most:
        return line
    every = ceil(len(line) / at_most)
    return tuple(
        point
        for run in stretches(line)
        for place, point in enumerate(run)
        if place % every == 0 or place == len(run) - 1
    )
