"""Keeping runs of links exactly straight: spots that follow each other are tied into runs that move as one.

A line with right angles looks worst when it jogs by a few pixels, so each run is given one level.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from itertools import pairwise

from kb.drawings.nets import Band, Spot

Join = tuple[Spot, Spot]
_ROUNDS = 6


def straightened(
    band: Band, fitted: Mapping[Spot, float], apart: Sequence[Sequence[float]], steps: Mapping[Join, float]
) -> dict[Spot, float]:
    """The fitted centre lines moved so that every run is straight and neighbours keep their distance."""
    head, lift = _runs(band, steps)
    members: dict[Spot, list[Spot]] = {}
    for spot in head:
        members.setdefault(head[spot], []).append(spot)
    limits = [
        (one, other, distance)
        for column, gaps in zip(band.columns, apart, strict=True)
        for (one, other), distance in zip(pairwise(column), gaps, strict=True)
    ]
    least: dict[Spot, list[tuple[Spot, float]]] = {run: [] for run in members}
    most: dict[Spot, list[tuple[Spot, float]]] = {run: [] for run in members}
    for one, other, distance in limits:
        span = distance + lift[one] - lift[other]
        least[head[other]].append((head[one], span))
        most[head[one]].append((head[other], span))
    level = _settled(members, least, most, {spot: fitted[spot] - lift[spot] for spot in head})
    pulls = _pulls(band, head, lift, steps)
    order = sorted(members, key=lambda run: (level[run], run))
    for number in range(_ROUNDS):
        for run in order if number % 2 else order[::-1]:
            level[run] = _relaxed(level, run, least[run], most[run], pulls[run])
    return {spot: level[head[spot]] + lift[spot] for spot in head}


def _runs(band: Band, steps: Mapping[Join, float]) -> tuple[dict[Spot, Spot], dict[Spot, float]]:
    """The first spot of every spot's run, and how much lower than that one it lies."""
    ahead = dict(_tied(band))
    behind = {right: left for left, right in ahead.items()}
    head: dict[Spot, Spot] = {}
    lift: dict[Spot, float] = {}
    for spot in (each for column in band.columns for each in column):
        left = behind.get(spot)
        head[spot] = spot if left is None else head[left]
        lift[spot] = 0.0 if left is None else lift[left] + steps.get((left, spot), 0.0)
    return head, lift


def _tied(band: Band) -> list[Join]:
    """Joins that become straight: at most one on either side of a spot, and no two that cross."""
    rank = {spot: number for column in band.columns for number, spot in enumerate(column)}
    degree: dict[tuple[Spot, bool], int] = {}
    for left, right in band.joins:
        degree[left, True] = degree.get((left, True), 0) + 1
        degree[right, False] = degree.get((right, False), 0) + 1

    def importance(join: Join) -> tuple[bool, int, int, int]:
        left, right = join
        is_box = left.box >= 0 or right.box >= 0
        return is_box, degree[left, True] + degree[right, False], rank[left] + rank[right], rank[left]

    tied: list[Join] = []
    used: set[tuple[Spot, bool]] = set()
    by_column: dict[int, list[tuple[int, int]]] = {}
    for left, right in sorted(band.joins, key=importance):
        ends = rank[left], rank[right]
        others = by_column.setdefault(left.column, [])
        crosses = any((ends[0] < one) != (ends[1] < other) for one, other in others)
        if crosses or (left, True) in used or (right, False) in used:
            continue
        used |= {(left, True), (right, False)}
        others.append(ends)
        tied.append((left, right))
    return tied


def _settled(
    members: Mapping[Spot, Sequence[Spot]],
    least: Mapping[Spot, Sequence[tuple[Spot, float]]],
    most: Mapping[Spot, Sequence[tuple[Spot, float]]],
    wanted: Mapping[Spot, float],
) -> dict[Spot, float]:
    """Every run at the mean of what its spots want, or lower where the runs above it reach further down."""
    level: dict[Spot, float] = {}
    waiting = {run: len(least[run]) for run in members}
    ready = [run for run in members if not waiting[run]]
    for run in ready:
        want = sum(wanted[spot] for spot in members[run]) / len(members[run])
        level[run] = max([want, *(level[other] + span for other, span in least[run])])
        for other, _ in most[run]:
            waiting[other] -= 1
            if not waiting[other]:
                ready.append(other)
    return level


def _pulls(
    band: Band, head: Mapping[Spot, Spot], lift: Mapping[Spot, float], steps: Mapping[Join, float]
) -> dict[Spot, list[tuple[Spot, float]]]:
    """For every run the other runs it is joined to, with the difference of level that would be straight."""
    pulls: dict[Spot, list[tuple[Spot, float]]] = {run: [] for run in head.values()}
    for left, right in band.joins:
        if head[left] != head[right]:
            step = lift[left] + steps.get((left, right), 0.0) - lift[right]
            pulls[head[right]].append((head[left], step))
            pulls[head[left]].append((head[right], -step))
    return pulls


def _relaxed(
    level: Mapping[Spot, float],
    run: Spot,
    least: Sequence[tuple[Spot, float]],
    most: Sequence[tuple[Spot, float]],
    pulls: Sequence[tuple[Spot, float]],
) -> float:
    """Where the run would like to be, as far as the runs above and below it leave room."""
    if not pulls:
        return level[run]
    want = sum(level[other] + step for other, step in pulls) / len(pulls)
    low = max((level[other] + span for other, span in least), default=-math.inf)
    high = min((level[other] - span for other, span in most), default=math.inf)
    return max(low, min(want, high))
