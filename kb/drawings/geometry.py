"""The shapes a finished layout consists of, in pixels, and the turn from left-to-right to top-to-bottom."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

Point = tuple[float, float]


def whole(value: float) -> float:
    """The value to the nearest pixel, halves always upward, so that equal distances stay equal."""
    return float(math.floor(value + 0.5))


@dataclass(frozen=True)
class Rectangle:
    """A box by its upper left corner and its size."""

    x: float
    y: float
    width: float
    height: float

    def turned(self) -> Rectangle:
        """The same with x and y exchanged."""
        return Rectangle(self.y, self.x, self.height, self.width)


@dataclass(frozen=True)
class Route:
    """One link as a line of right angles from the edge of its source to the edge of its target."""

    source: int
    target: int
    label: str
    net: int
    by_lane: bool
    points: tuple[Point, ...]

    def turned(self) -> Route:
        """The same with x and y exchanged."""
        return replace(self, points=_turned(self.points))


@dataclass(frozen=True)
class Loop:
    """The line by which a block feeds itself."""

    box: int
    label: str
    points: tuple[Point, ...]

    def turned(self) -> Loop:
        """The same with x and y exchanged."""
        return replace(self, points=_turned(self.points))


@dataclass(frozen=True)
class Label:
    """A signal's name beside the place where it leaves its block, and the room it has across the flow."""

    net: int
    text: str
    at: Point
    room: float

    def turned(self) -> Label:
        """The same with x and y exchanged."""
        return replace(self, at=(self.at[1], self.at[0]))


@dataclass(frozen=True)
class Layout:
    """Everything to be drawn; `boxes` are in the order of the blocks."""

    boxes: tuple[Rectangle, ...]
    routes: tuple[Route, ...]
    loops: tuple[Loop, ...]
    labels: tuple[Label, ...]
    width: float
    height: float
    runs_down: bool = False

    def turned(self) -> Layout:
        """The same drawing with x and y exchanged."""
        return Layout(
            tuple(box.turned() for box in self.boxes),
            tuple(route.turned() for route in self.routes),
            tuple(loop.turned() for loop in self.loops),
            tuple(label.turned() for label in self.labels),
            self.height,
            self.width,
            not self.runs_down,
        )


def length_of(points: Sequence[Point]) -> float:
    """The length of a line of right angles."""
    return sum(abs(end[0] - start[0]) + abs(end[1] - start[1]) for start, end in pairwise(points))


def _turned(points: Sequence[Point]) -> tuple[Point, ...]:
    return tuple((y, x) for x, y in points)


def junctions(routes: Sequence[Route]) -> frozenset[Point]:
    """Where lines of one net fork: corners from which the net goes on in three directions or more."""
    found: set[Point] = set()
    by_net: dict[int, list[Route]] = {}
    for route in routes:
        by_net.setdefault(route.net, []).append(route)
    for group in by_net.values():
        if len(group) > 1:
            found |= _forks([route.points for route in group])
    return frozenset(found)


def _forks(lines: Sequence[Sequence[Point]]) -> set[Point]:
    segments = {pair for line in lines for pair in pairwise(line)}
    corners = {point for line in lines for point in line[1:-1]}
    return {
        corner for corner in corners if len({way for pair in segments for way in _ways(corner, *pair)}) > 2
    }


def _ways(corner: Point, start: Point, end: Point) -> set[Point]:
    """The directions in which a segment leaves that point, if it touches it."""
    x, y = corner
    low_x, high_x = sorted((start[0], end[0]))
    low_y, high_y = sorted((start[1], end[1]))
    if not (low_x <= x <= high_x and low_y <= y <= high_y):
        return set()
    ways = {(-1.0, 0.0): low_x < x, (1.0, 0.0): x < high_x, (0.0, -1.0): low_y < y, (0.0, 1.0): y < high_y}
    return {way for way, goes in ways.items() if goes}
