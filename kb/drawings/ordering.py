"""Which box stands above which in a column: sweeps towards the neighbours' middle, fewest crossings kept."""

from __future__ import annotations

from bisect import bisect_right, insort
from collections.abc import Mapping, Sequence
from itertools import pairwise

from kb.drawings.nets import Band, Spot

_SWEEPS = 8


def ordered(band: Band) -> Band:
    """The band with each column rearranged; the written order wins where nothing speaks against it."""
    before, after = neighbours(band)
    columns = [list(column) for column in band.columns]
    best, fewest = columns, crossings(columns, after)
    for sweep in range(_SWEEPS):
        if fewest == 0:
            break
        columns = _swept(columns, before, after, forward=sweep % 2 == 0)
        _exchange(columns, before, after)
        found = crossings(columns, after)
        if found < fewest:
            best, fewest = columns, found
    return Band(tuple(tuple(column) for column in best), band.joins)


def neighbours(band: Band) -> tuple[dict[Spot, list[Spot]], dict[Spot, list[Spot]]]:
    """For every spot what joins it from the column before, and what it joins in the column after."""
    before: dict[Spot, list[Spot]] = {spot: [] for column in band.columns for spot in column}
    after: dict[Spot, list[Spot]] = {spot: [] for column in band.columns for spot in column}
    for left, right in band.joins:
        before[right].append(left)
        after[left].append(right)
    return before, after


def crossings(columns: Sequence[Sequence[Spot]], after: Mapping[Spot, Sequence[Spot]]) -> int:
    """How many joins cross between neighbouring columns when drawn straight."""
    total = 0
    for left, right in pairwise(columns):
        place = {spot: number for number, spot in enumerate(right)}
        drawn: list[int] = []
        for spot in left:
            ends = sorted(place[each] for each in after[spot])
            total += sum(len(drawn) - bisect_right(drawn, end) for end in ends)
            for end in ends:
                insort(drawn, end)
    return total


def _swept(
    columns: Sequence[Sequence[Spot]],
    before: Mapping[Spot, Sequence[Spot]],
    after: Mapping[Spot, Sequence[Spot]],
    *,
    forward: bool,
) -> list[list[Spot]]:
    swept = [list(column) for column in columns]
    numbers = range(1, len(swept)) if forward else range(len(swept) - 2, -1, -1)
    for number in numbers:
        fixed = swept[number - 1 if forward else number + 1]
        place = {spot: float(rank) for rank, spot in enumerate(fixed)}
        swept[number] = _by_middle(swept[number], place, before if forward else after)
    return swept


def _exchange(
    columns: Sequence[list[Spot]], before: Mapping[Spot, Sequence[Spot]], after: Mapping[Spot, Sequence[Spot]]
) -> None:
    """Let neighbours of a column change places where that alone removes crossings."""
    for number, column in enumerate(columns):
        ranks = {
            spot: rank
            for each in (number - 1, number + 1)
            if 0 <= each < len(columns)
            for rank, spot in enumerate(columns[each])
        }
        sides = {spot: [[ranks[end] for end in side[spot]] for side in (before, after)] for spot in column}
        for upper in range(len(column) - 1):
            one, other = sides[column[upper]], sides[column[upper + 1]]
            if _inversions(one, other) > _inversions(other, one):
                column[upper], column[upper + 1] = column[upper + 1], column[upper]


def _inversions(upper: Sequence[Sequence[int]], lower: Sequence[Sequence[int]]) -> int:
    """Crossings between the joins of two neighbours when the first one lies above."""
    return sum(one > other for side in range(2) for one in upper[side] for other in lower[side])


def _by_middle(
    column: Sequence[Spot], place: Mapping[Spot, float], joined: Mapping[Spot, Sequence[Spot]]
) -> list[Spot]:
    def middle(rank: int, spot: Spot) -> float:
        ranks = [place[each] for each in joined[spot]]
        return sum(ranks) / len(ranks) if ranks else float(rank)

    keyed = [(middle(rank, spot), rank, spot) for rank, spot in enumerate(column)]
    return [spot for _, _, spot in sorted(keyed)]
