"""The channels between columns: which line turns on which track, so that no two lines lie on each other.

A piece is the part of a net inside one channel. Tracks are numbered in the direction of flow.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from kb.drawings.layering import Cell
from kb.drawings.nets import Net, Spot
from kb.drawings.ports import lane_strips

_CLEAR_PX = 5.0
_OVERLAP_COST = 50
_PASSES = 12


class Channel(NamedTuple):
    """The space before a column of a band."""

    band: int
    column: int


class PieceKey(NamedTuple):
    """Which part of a net: `enters` is the strip it comes in from, -1 if it comes from the column before."""

    net: int
    channel: Channel
    enters: int


@dataclass(frozen=True)
class Piece:
    """A net in one channel: the levels it comes in and goes out at, and whether it leaves sideways."""

    key: PieceKey
    left: float | None
    rights: tuple[float, ...]
    above: bool = False
    below: bool = False

    @property
    def low(self) -> float:
        """Its upper end; without end where it leaves to the strip above."""
        return -math.inf if self.above else min(self._levels)

    @property
    def high(self) -> float:
        """Its lower end; without end where it leaves to the strip below."""
        return math.inf if self.below else max(self._levels)

    @property
    def is_straight(self) -> bool:
        """Whether it crosses the channel without turning."""
        return not (self.above or self.below) and all(level == self.left for level in self.rights)

    @property
    def _levels(self) -> tuple[float, ...]:
        return self.rights if self.left is None else (*self.rights, self.left)


def pieces_of(
    net: Net,
    cells: Mapping[int, Cell],
    centres: Mapping[Spot, float],
    left_at: float,
    entries: Mapping[tuple[int, int], float],
) -> list[Piece]:
    """Every piece of a net, in the order the signal meets them."""
    source = cells[net.source]
    exits = [lane_strips(source.band, cells[target].band)[0] for target in net.by_lane]
    last = max([source.column + 1, *(cells[target].column for target in net.through)])
    pieces, level = [], left_at
    for column in range(source.column + 1, last + 1):
        rights = [entries[net.number, target] for target in net.through if cells[target].column == column]
        passage = centres.get(Spot(-1, net.number, column))
        if passage is not None:
            rights.append(passage)
        is_first = column == source.column + 1
        key = PieceKey(net.number, Channel(source.band, column), -1)
        up, down = is_first and source.band in exits, is_first and source.band + 1 in exits
        pieces.append(Piece(key, level, tuple(rights), up, down))
        level = passage if passage is not None else level
    return pieces + _incoming(net, cells, entries)


def _incoming(net: Net, cells: Mapping[int, Cell], entries: Mapping[tuple[int, int], float]) -> list[Piece]:
    rights: dict[PieceKey, list[float]] = {}
    for target in net.by_lane:
        cell = cells[target]
        strip = lane_strips(cells[net.source].band, cell.band)[1]
        key = PieceKey(net.number, Channel(cell.band, cell.column), strip)
        rights.setdefault(key, []).append(entries[net.number, target])
    return [
        Piece(
            key,
            None,
            tuple(levels),
            above=key.enters == key.channel.band,
            below=key.enters > key.channel.band,
        )
        for key, levels in rights.items()
    ]


def tracks_of(pieces: Sequence[Piece]) -> dict[PieceKey, int]:
    """The track of every piece of one channel that has to turn; straight pieces need none."""
    turning = _sorted_by_crossings([piece for piece in pieces if not piece.is_straight])
    tracks: list[tuple[Piece, int]] = []
    for piece in turning:
        beside = [track for other, track in tracks if _touch(piece, other)]
        tracks.append((piece, 1 + max(beside, default=-1)))
    return {piece.key: track for piece, track in tracks}


def overlapping(pieces: Sequence[Piece], tracks: Mapping[PieceKey, int]) -> list[tuple[int, float]]:
    """The net and level of every line that still lies on another: two lines that exchange levels."""
    turning = [piece for piece in pieces if piece.key in tracks]
    return [
        (first.key.net, level)
        for first in turning
        for second in turning
        if first is not second and second.left is not None and tracks[first.key] <= tracks[second.key]
        for level in first.rights
        if abs(level - second.left) < _CLEAR_PX
    ]


def _touch(one: Piece, other: Piece) -> bool:
    return one.low - _CLEAR_PX < other.high and other.low - _CLEAR_PX < one.high


def _sorted_by_crossings(pieces: list[Piece]) -> list[Piece]:
    """Neighbours change places while that saves crossings; a plain and repeatable search."""
    count = len(pieces)
    gain = [[_cost(one, other) - _cost(other, one) for other in pieces] for one in pieces]
    order = list(range(count))
    for _ in range(_PASSES):
        moved = False
        for place in range(count):
            moved = _moved_to_best(order, place, gain) or moved
        if not moved:
            break
    return [pieces[number] for number in order]


def _moved_to_best(order: list[int], place: int, gain: Sequence[Sequence[int]]) -> bool:
    """Move one piece to where it costs least among the others; the others keep their order."""
    item = order[place]
    best, best_place, running = 0, place, 0
    for other_place in range(place - 1, -1, -1):
        running += gain[item][order[other_place]]
        if running < best:
            best, best_place = running, other_place
    running = 0
    for other_place in range(place + 1, len(order)):
        running -= gain[item][order[other_place]]
        if running < best:
            best, best_place = running, other_place
    if best_place == place:
        return False
    order.insert(best_place, order.pop(place))
    return True


def _cost(first: Piece, second: Piece) -> int:
    """Crossings, and lines lying on each other, when `first` turns before `second`."""
    cost = sum(second.low < level < second.high for level in first.rights)
    if second.left is not None:
        cost += first.low < second.left < first.high
        cost += _OVERLAP_COST * sum(abs(level - second.left) < _CLEAR_PX for level in first.rights)
    return cost
