"""From blocks and links to rectangles and polylines.

All reckoning is done along and across the flow; only the last step turns it into x and y, so that the drawing
from left to right and the one from top to bottom are the same work. Lines keep to channels, reserved passages
and lanes, which is why none can run through a box. Text is not its business.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import fields
from functools import lru_cache

from kb.drawings.geometry import Label, Layout, Loop, Point, Rectangle, Route, whole
from kb.drawings.lanes import lane_ranks, lanes_of, margin_tracks
from kb.drawings.levels import LOOP_PX, PITCH_PX, Levels, Request
from kb.drawings.nets import Net, Spot
from kb.drawings.ports import lane_strips
from kb.drawings.tracks import Channel, PieceKey

_LEAD_PX = 12.0
_TRAIL_PX = 18.0
_STRIP_PX = 16.0
_EDGE_PX = 6.0


def lay_out(request: Request) -> Layout:
    """The whole drawing, in x and y."""
    return _laid_out(_Asked(request))


class _Asked:
    """A request that can be looked up: the pages of one instrument ask for the same drawing often."""

    def __init__(self, request: Request) -> None:
        self.request = request
        said = (getattr(request, each.name) for each in fields(request))
        self._key = tuple(tuple(each.items()) if isinstance(each, Mapping) else each for each in said)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Asked) and self._key == other._key

    def __hash__(self) -> int:
        return hash(self._key)


@lru_cache(maxsize=512)
def _laid_out(asked: _Asked) -> Layout:
    return _Work(Levels(asked.request)).layout()


class _Work:
    """The second half of a layout: places along the flow, bands and lanes, and from them boxes and lines."""

    def __init__(self, levels: Levels) -> None:
        self.levels = levels
        self._place_along()
        self._place_bands()

    def _place_along(self) -> None:
        count = 1 + max(cell.column for cell in self.levels.cells.values())
        thick = [0.0] * count
        for box, cell in self.levels.cells.items():
            thick[cell.column] = max(thick[cell.column], self.levels.request.along[box])
        label = [0.0] * (count + 1)
        for net in self.levels.nets:
            column = self.levels.cells[net.source].column + 1
            label[column] = max(label[column], self.levels.request.label_along.get(net.label, 0.0))
        self.margin = margin_tracks(self.levels.nets, self.levels.cells)
        used = 1 + max(self.margin.values(), default=-1)
        self.margin_at = {net: _EDGE_PX + 2 + PITCH_PX * track for net, track in self.margin.items()}
        cursor = _EDGE_PX + PITCH_PX * used
        self.channel_at: list[float] = []
        self.box_at: list[tuple[float, float]] = []
        for column in range(count + 1):
            self.channel_at.append(cursor + label[column] + (_LEAD_PX if column else _EDGE_PX))
            cursor += self._channel_length(column, count, label[column])
            if column < count:
                self.box_at.append((cursor, cursor + thick[column]))
                cursor += thick[column]
        self.length = cursor + _EDGE_PX
        self.turns = {key: self._turn(key) for key in self.levels.tracks}

    def _channel_length(self, column: int, count: int, label: float) -> float:
        tracks = [track for key, track in self.levels.tracks.items() if key.channel.column == column]
        if not tracks and column in (0, count):
            return label
        turning = max(tracks, default=0) * PITCH_PX + self._stagger(1) * bool(tracks)
        return label + (_LEAD_PX if column else _EDGE_PX) + turning + (_TRAIL_PX if column < count else 0.0)

    def _stagger(self, band: int) -> float:
        # Neighbouring bands use tracks half a step apart: their lines never meet end to end in a strip.
        return PITCH_PX / 2 * (band % 2) * (len(self.levels.bands) > 1)

    def _turn(self, key: PieceKey) -> float:
        return (
            self.channel_at[key.channel.column]
            + self.levels.tracks[key] * PITCH_PX
            + self._stagger(key.channel.band)
        )

    def _place_bands(self) -> None:
        lanes = lanes_of(self.levels.nets, self.levels.cells, self.turns, self.margin_at)
        self.ranks = lane_ranks(lanes, PITCH_PX)
        self.band_at: list[float] = []
        self.strip_at: list[float] = [0.0]
        cursor = _EDGE_PX
        for band, depth in enumerate(self.levels.depths):
            self.band_at.append(cursor)
            cursor += depth
            ranks = [rank for (strip, _), rank in self.ranks.items() if strip == band + 1]
            self.strip_at.append(cursor + _STRIP_PX)
            is_last = band == len(self.levels.depths) - 1
            if ranks:
                cursor += _STRIP_PX + max(ranks) * PITCH_PX + (0.0 if is_last else _STRIP_PX)
            elif not is_last:
                cursor += 2 * _STRIP_PX
        self.breadth = cursor + _EDGE_PX

    def layout(self) -> Layout:
        """The finished drawing."""
        flat = Layout(
            boxes=tuple(self._box(box) for box in range(len(self.levels.request.along))),
            routes=tuple(
                self._route(net, target)
                for net in self.levels.nets
                for target in (*net.through, *net.by_lane)
            ),
            loops=tuple(self._loop(box, label) for box, _, label in self.levels.loops),
            labels=tuple(self._label(net) for net in self.levels.nets if net.label),
            width=self.length,
            height=self.breadth,
        )
        return flat if self.levels.request.columns else flat.turned()

    def _box(self, box: int) -> Rectangle:
        cell = self.levels.cells[box]
        start, end = self.box_at[cell.column]
        centre = self._down(cell.band, self.levels.centres[Spot(box, -1, cell.column)])
        return Rectangle(start, centre - self.levels.across[box] / 2, end - start, self.levels.across[box])

    def _down(self, band: int, level: float) -> float:
        return self.band_at[band] + level

    def _route(self, net: Net, target: int) -> Route:
        source, cell = self.levels.cells[net.source], self.levels.cells[target]
        by_lane = target in net.by_lane
        points: list[Point] = [
            (self.box_at[source.column][1], self._down(source.band, self.levels.left_at[net.number]))
        ]
        if by_lane:
            points += self._by_lane(net, target, points[0])
        else:
            points += self._through(net, target, points[0])
        end = self._down(cell.band, self.levels.enter_at[net.number, target])
        points += [(points[-1][0], end), (self.box_at[cell.column][0], end)]
        return Route(net.source, target, net.label, net.number, by_lane, _without_repeats(points))

    def _through(self, net: Net, target: int, start: Point) -> list[Point]:
        source = self.levels.cells[net.source]
        points, level = [], start[1]
        for column in range(source.column + 1, self.levels.cells[target].column + 1):
            turn = self.turns.get(PieceKey(net.number, Channel(source.band, column), -1))
            passage = self.levels.centres.get(Spot(-1, net.number, column))
            is_last = column == self.levels.cells[target].column
            if turn is not None:
                points.append((turn, level))
            if not is_last and passage is not None:
                level = self._down(source.band, passage)
                if turn is not None:
                    points.append((turn, level))
        return points or [start]

    def _by_lane(self, net: Net, target: int, start: Point) -> list[Point]:
        source, cell = self.levels.cells[net.source], self.levels.cells[target]
        leave, enter = lane_strips(source.band, cell.band)
        out_at = self.turns[PieceKey(net.number, Channel(source.band, source.column + 1), -1)]
        in_at = self.turns[PieceKey(net.number, Channel(cell.band, cell.column), enter)]
        first, last = self._lane(leave, net.number), self._lane(enter, net.number)
        points = [(out_at, start[1]), (out_at, first)]
        if leave != enter:
            points += [(self.margin_at[net.number], first), (self.margin_at[net.number], last)]
        return [*points, (in_at, last)]

    def _lane(self, strip: int, net: int) -> float:
        return self.strip_at[strip] + self.ranks[strip, net] * PITCH_PX

    def _loop(self, box: int, label: str) -> Loop:
        frame = self._box(box)
        bottom, depth = frame.y + frame.height, LOOP_PX - 4
        out_at, in_at = whole(frame.x + frame.width * 0.78), whole(frame.x + frame.width * 0.22)
        points = ((out_at, bottom), (out_at, bottom + depth), (in_at, bottom + depth), (in_at, bottom))
        return Loop(box, label, points)

    def _label(self, net: Net) -> Label:
        cell, level = self.levels.cells[net.source], self.levels.left_at[net.number]
        others = [
            piece.left
            for pieces in self.levels.pieces.values()
            for piece in pieces
            if piece.key.channel == Channel(cell.band, cell.column + 1) and piece.left is not None
        ]
        has_lanes = any(strip == cell.band + 1 for strip, _ in self.ranks)
        end = self.levels.depths[cell.band] + (_STRIP_PX if has_lanes else _EDGE_PX)
        after = min([each for each in others if each > level], default=end)
        at = (self.box_at[cell.column][1], self._down(cell.band, level))
        return Label(net.number, net.label, at, after - level)


def _without_repeats(points: Sequence[Point]) -> tuple[Point, ...]:
    """The points rounded, without doubles and without those in the middle of a straight run."""
    kept: list[Point] = []
    for x, y in points:
        point = (round(x, 1), round(y, 1))
        if kept and point == kept[-1]:
            continue
        if len(kept) > 1 and (
            kept[-2][0] == kept[-1][0] == point[0] or kept[-2][1] == kept[-1][1] == point[1]
        ):
            kept.pop()
        kept.append(point)
    return tuple(kept)
