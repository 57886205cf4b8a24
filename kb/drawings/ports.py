"""Where lines leave and enter a box: at its middle where there is one, side by side where there are several.

A line enters at the height it already has whenever that lies on the box, so that straight runs stay straight.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from kb.drawings.geometry import whole
from kb.drawings.layering import Cell
from kb.drawings.nets import Net, Spot

INSET_PX = 12.0


@dataclass(frozen=True)
class Side:
    """One side of a box in pixels: its middle, its length, and how far apart lines should be."""

    centre: float
    length: float
    pitch: float

    @property
    def low(self) -> float:
        """Where the first line may be, clear of the rounded corner."""
        return self.centre - self.length / 2 + INSET_PX

    @property
    def high(self) -> float:
        """Where the last line may be."""
        return self.centre + self.length / 2 - INSET_PX

    def step(self, count: int) -> float:
        """How far apart that many lines are, less than the pitch where they would not fit."""
        return min(self.pitch, (self.high - self.low) / (count - 1)) if count > 1 else 0.0


def lane_strips(source_band: int, target_band: int) -> tuple[int, int]:
    """The strips between bands that a line by lane leaves by and comes in by; strip k lies above band k."""
    if target_band > source_band:
        return source_band + 1, target_band
    if target_band < source_band:
        return source_band, target_band + 1
    return source_band + 1, source_band + 1


def leaving(
    nets: Sequence[Net],
    cells: Mapping[int, Cell],
    centres: Mapping[Spot, float],
    sides: Mapping[int, Side],
    label_room: float,
) -> dict[int, float]:
    """Where each net leaves its source, ordered by where it is going.

    Several named nets leave `label_room` free after the last one, for its name.
    """
    by_source: dict[int, list[tuple[float, int]]] = {}
    for net in nets:
        by_source.setdefault(net.source, []).append((_heading(net, cells, centres), net.number))
    ports: dict[int, float] = {}
    for source, headings in by_source.items():
        side, count = sides[source], len(headings)
        if count > 1 and label_room and any(nets[number].label for _, number in headings):
            side = Side(side.centre - label_room / 2, side.length - label_room, side.pitch)
        for rank, (_, number) in enumerate(sorted(headings)):
            ports[number] = whole(side.centre + (rank - (count - 1) / 2) * side.step(count))
    return ports


def _heading(net: Net, cells: Mapping[int, Cell], centres: Mapping[Spot, float]) -> float:
    if net.through:
        reached = [centres[Spot(target, -1, cells[target].column)] for target in net.through]
        return sum(reached) / len(reached)
    band = cells[net.source].band
    exits = [lane_strips(band, cells[target].band)[0] for target in net.by_lane]
    return math.inf if max(exits) > band else -math.inf


def arriving(
    nets: Sequence[Net],
    cells: Mapping[int, Cell],
    centres: Mapping[Spot, float],
    sides: Mapping[int, Side],
    left_at: Mapping[int, float],
) -> dict[tuple[int, int], float]:
    """Where each net enters each of its targets, by (net, target)."""
    wishes: dict[int, list[tuple[float, int]]] = {}
    for net in nets:
        for target in net.through:
            column = cells[target].column - 1
            is_next = cells[net.source].column == column
            level = left_at[net.number] if is_next else centres[Spot(-1, net.number, column)]
            wishes.setdefault(target, []).append((level, net.number))
        for target in net.by_lane:
            entry = lane_strips(cells[net.source].band, cells[target].band)[1]
            level = math.inf if entry > cells[target].band else -math.inf
            wishes.setdefault(target, []).append((level, net.number))
    ports: dict[tuple[int, int], float] = {}
    for target, wanted in wishes.items():
        wanted.sort()
        for (_, number), at in zip(
            wanted, _seated([level for level, _ in wanted], sides[target]), strict=True
        ):
            ports[number, target] = whole(at)
    return ports


def beside(at: float, side: Side, taken: Sequence[float]) -> float:
    """A free level next to `at` on that side of a box, or `at` itself where there is none."""
    for step in (6.0, -6.0, 9.0, -9.0):
        is_on = side.low - 6.0 <= at + step <= side.high + 6.0
        if is_on and all(abs(at + step - other) >= 5.0 for other in taken):
            return at + step
    return at


def _seated(wanted: Sequence[float], side: Side) -> list[float]:
    """Sorted wishes moved onto the side, a step apart; wishes from outside gather round the rest."""
    step = side.step(len(wanted))
    if not any(side.low <= level <= side.high for level in wanted):
        first = side.centre - step * (len(wanted) - 1) / 2
        return [first + step * rank for rank in range(len(wanted))]
    seats: list[float] = []
    for rank, level in enumerate(wanted):
        least = seats[-1] + step if seats else side.low
        most = side.high - step * (len(wanted) - 1 - rank)
        settled = min(max(level, least), most)
        if level == math.inf:
            settled = min(least if seats else side.centre, most)
        seats.append(settled)
    return _drawn_in(seats, wanted, step)


def _drawn_in(seats: list[float], wanted: Sequence[float], step: float) -> list[float]:
    # What comes from above sits just above the first line with a level of its own, not at the corner.
    for rank in range(len(seats) - 2, -1, -1):
        if wanted[rank] == -math.inf:
            seats[rank] = seats[rank + 1] - step
    return seats
