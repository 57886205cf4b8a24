"""Where each spot of a column lies across the flow: straight chains stay straight, nothing touches.

Each column is fitted to where its neighbours would like it, by the least squares fit that keeps the order and
the distances (pooling neighbours that push on each other). Sizes come from the caller.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from kb.drawings.geometry import whole
from kb.drawings.nets import Band, Spot
from kb.drawings.ordering import neighbours
from kb.drawings.straightening import straightened

_Wishes = Mapping[Spot, Sequence[tuple[Spot, float]]]

_ROUNDS = 6
_WEIGHT_OF_PASSAGE = 4.0


@dataclass(frozen=True)
class Room:
    """What a spot needs on either side of its centre line, in pixels."""

    above: float
    below: float


@dataclass(frozen=True)
class Distances:
    """The clear distance between neighbours of a column, in pixels."""

    boxes: float
    lines: float
    box_to_line: float

    def between(self, one: Spot, other: Spot) -> float:
        """The distance these two keep from each other."""
        if one.box < 0 and other.box < 0:
            return self.lines
        return self.boxes if one.box >= 0 and other.box >= 0 else self.box_to_line


def fit(wanted: Sequence[float], weights: Sequence[float], apart: Sequence[float]) -> list[float]:
    """The positions nearest to `wanted` (weighted squares) with neighbours at least `apart`."""
    offsets = [0.0]
    for distance in apart:
        offsets.append(offsets[-1] + distance)
    pools: list[tuple[float, float, int]] = []
    for want, weight, offset in zip(wanted, weights, offsets, strict=True):
        pool = (want - offset, weight, 1)
        while pools and pools[-1][0] > pool[0]:
            mean, total, size = pools.pop()
            pool = ((mean * total + pool[0] * pool[1]) / (total + pool[1]), total + pool[1], size + pool[2])
        pools.append(pool)
    fitted = [mean for mean, _, size in pools for _ in range(size)]
    return [value + offset for value, offset in zip(fitted, offsets, strict=True)]


def placed(
    band: Band, rooms: Mapping[Spot, Room], distances: Distances, steps: Mapping[tuple[Spot, Spot], float]
) -> dict[Spot, float]:
    """The centre line of every spot; the topmost room begins at 0.

    `steps` holds, for a join, by how much the right centre should lie lower than the left one to be joined by
    a straight line, where lines do not run from middle to middle.
    """
    before, after = _wishes(band, steps)
    apart = [_apart(column, rooms, distances) for column in band.columns]
    centre: dict[Spot, float] = {}
    for column, gaps in zip(band.columns, apart, strict=True):
        centre.update(zip(column, fit([0.0] * len(column), [1.0] * len(column), gaps), strict=True))
    forward = list(range(len(band.columns)))
    for _ in range(_ROUNDS):
        _pull(band, forward, (before,), centre, apart)
        _pull(band, forward[::-1], (after,), centre, apart)
    _pull(band, forward, (before, after), centre, apart)
    _pull(band, forward[::-1], (before, after), centre, apart)
    straight = straightened(band, centre, apart, steps)
    top = min(straight[spot] - rooms[spot].above for spot in straight)
    return {spot: whole(value - top) for spot, value in straight.items()}


def _wishes(band: Band, steps: Mapping[tuple[Spot, Spot], float]) -> tuple[_Wishes, _Wishes]:
    """For every spot its neighbours on either side, each with the step that makes the line straight."""
    before, after = neighbours(band)
    return (
        {spot: [(each, steps.get((each, spot), 0.0)) for each in found] for spot, found in before.items()},
        {spot: [(each, -steps.get((spot, each), 0.0)) for each in found] for spot, found in after.items()},
    )


def _apart(column: Sequence[Spot], rooms: Mapping[Spot, Room], distances: Distances) -> list[float]:
    pairs = pairwise(column)
    return [rooms[one].below + distances.between(one, other) + rooms[other].above for one, other in pairs]


def _pull(
    band: Band,
    order: Sequence[int],
    sides: Sequence[_Wishes],
    centre: dict[Spot, float],
    apart: Sequence[Sequence[float]],
) -> None:
    for number in order:
        column = band.columns[number]
        wanted, weights = [], []
        for spot in column:
            pulls = [
                (centre[each] + step, _weight(spot, each)) for side in sides for each, step in side[spot]
            ]
            total = sum(weight for _, weight in pulls)
            wanted.append(sum(at * weight for at, weight in pulls) / total if total else centre[spot])
            weights.append(total or 0.2)
        centre.update(zip(column, fit(wanted, weights, apart[number]), strict=True))


def _weight(one: Spot, other: Spot) -> float:
    # A long link that jogs is harder to follow than a short one.
    return _WEIGHT_OF_PASSAGE if one.box < 0 and other.box < 0 else 1.0
