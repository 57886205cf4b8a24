"""From blocks and links to rectangles and polylines.

All reckoning is done along and across the flow; only the last step turns it into x and y, so that the drawing
from left to right and the one from top to bottom are the same work. Lines keep to channels, reserved passages
and lanes, which is why none can run through a box. Text is not its business.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from kb.drawings.geometry import Label, Layout, Loop, Point, Rectangle, Route, whole
from kb.drawings.lanes import lane_ranks, lanes_of, margin_tracks
from kb.drawings.layering import Cell, cells_across, cells_down, layers_of, parts_of, returning_links
from kb.drawings.nets import Net, Spot, bands_of, nets_of
from kb.drawings.ordering import ordered
from kb.drawings.placing import Distances, Room, placed
from kb.drawings.ports import INSET_PX, Side, arriving, beside, lane_strips, leaving
from kb.drawings.tracks import Channel, Piece, PieceKey, overlapping, pieces_of, tracks_of

_PITCH_PX = 12.0
_LEAD_PX = 12.0
_TRAIL_PX = 18.0
_STRIP_PX = 16.0
_PASSAGE_PX = 1.0
_LOOP_PX = 20.0
_EDGE_PX = 6.0


@dataclass(frozen=True)
class Request:
    """What is to be laid out, in pixels: each box's size along and across the flow, and how it may fold.

    `columns` 0 means one band from top to bottom. `label_along` is what a signal name needs along the flow.
    """

    along: tuple[float, ...]
    across: tuple[float, ...]
    links: tuple[tuple[int, int, str], ...]
    columns: int
    most_abreast: int
    reach: int
    box_gap: float
    port_pitch: float
    label_along: Mapping[str, float]
    label_across: float = 0.0
    loop_label_across: float = 0.0


def lay_out(request: Request) -> Layout:
    """The whole drawing, in x and y."""
    return _Work(request).layout()


def _cells(request: Request) -> dict[int, Cell]:
    count = len(request.along)
    pairs = [(source, target) for source, target, _ in request.links]
    back = returning_links(count, pairs)
    onward = [pair for pair in pairs if pair not in back]
    layered = [layers_of(part, onward, request.most_abreast) for part in parts_of(count, pairs)]
    return (
        cells_across(layered, request.columns)
        if request.columns
        else cells_down(layered, request.most_abreast)
    )


class _Work:
    """One layout under way: each step fills in what the next one needs."""

    def __init__(self, request: Request) -> None:
        self.request = request
        self.cells = _cells(request)
        links = [link for link in dict.fromkeys(request.links) if link[0] != link[1]]
        self.loops = [link for link in dict.fromkeys(request.links) if link[0] == link[1]]
        self.nets = nets_of(links, self.cells, request.reach)
        self.across = self._grown()
        self.bands = [ordered(band) for band in bands_of(self.cells, self.nets)]
        self._place_across({})
        self._seat_lines()
        # Once more, now that it is known where lines leave and enter, so that they run straight.
        self._place_across(self._steps())
        self._seat_lines()
        self._choose_tracks()
        self._place_along()
        self._place_bands()

    def _grown(self) -> list[float]:
        """Box sizes across the flow, enough for the lines that meet there when it runs left to right."""
        if not self.request.columns:
            return list(self.request.across)
        coming = [0] * len(self.request.across)
        going = [0] * len(self.request.across)
        for net in self.nets:
            going[net.source] += 1
            for target in (*net.through, *net.by_lane):
                coming[target] += 1
        lines = [max(pair) for pair in zip(coming, going, strict=True)]
        need = [2 * INSET_PX + (count - 1) * self.request.port_pitch for count in lines]
        return [max(pair) for pair in zip(self.request.across, need, strict=True)]

    def _place_across(self, steps: Mapping[tuple[Spot, Spot], float]) -> None:
        looped = {source for source, _, _ in self.loops}
        distances = Distances(self.request.box_gap, _PITCH_PX, _PITCH_PX + 2)
        extra = _LOOP_PX + self.request.loop_label_across
        self.centres: dict[Spot, float] = {}
        self.depths: list[float] = []
        for band in self.bands:
            rooms = {
                spot: Room(
                    self.across[spot.box] / 2, self.across[spot.box] / 2 + extra * (spot.box in looped)
                )
                if spot.box >= 0
                else Room(_PASSAGE_PX, _PASSAGE_PX)
                for column in band.columns
                for spot in column
            }
            found = placed(band, rooms, distances, steps)
            self.depths.append(max(found[spot] + rooms[spot].below for spot in found))
            self.centres.update(found)

    def _seat_lines(self) -> None:
        sides = {box: self._side(box) for box in self.cells}
        self.left_at = leaving(self.nets, self.cells, self.centres, sides, self.request.label_across)
        self.enter_at = arriving(self.nets, self.cells, self.centres, sides, self.left_at)

    def _side(self, box: int) -> Side:
        centre = self.centres[Spot(box, -1, self.cells[box].column)]
        return Side(centre, self.across[box], self.request.port_pitch)

    def _steps(self) -> dict[tuple[Spot, Spot], float]:
        steps = {}
        for band in self.bands:
            for left, right in band.joins:
                number = left.net if left.net >= 0 else right.net
                nets = [self.nets[number]] if number >= 0 else self._joining(left.box, right.box)
                out_at = [self.left_at[net.number] - self.centres[left] for net in nets if left.net < 0]
                in_at = [
                    self.enter_at[net.number, right.box] - self.centres[right]
                    for net in nets
                    if right.net < 0
                ]
                steps[left, right] = whole(_mean(out_at) - _mean(in_at))
        return steps

    def _joining(self, source: int, target: int) -> list[Net]:
        return [net for net in self.nets if net.source == source and target in net.through]

    def _choose_tracks(self) -> None:
        channels = self._channels()
        self.tracks = {key: at for pieces in channels.values() for key, at in tracks_of(pieces).items()}
        if self._move_entries(channels):
            channels = self._channels()
            self.tracks = {key: at for pieces in channels.values() for key, at in tracks_of(pieces).items()}

    def _move_entries(self, channels: Mapping[Channel, Sequence[Piece]]) -> bool:
        """Let lines that exchange their levels enter a little beside them; true if one was moved."""
        moved = False
        for channel, pieces in channels.items():
            lefts = [piece.left for piece in pieces if piece.left is not None]
            for number, level in overlapping(pieces, self.tracks):
                for (net, target), at in sorted(self.enter_at.items()):
                    if net == number and at == level and self.cells[target] == Cell(*channel):
                        others = [each for (_, box), each in self.enter_at.items() if box == target]
                        self.enter_at[net, target] = beside(at, self._side(target), [*lefts, *others])
                        moved = True
        return moved

    def _channels(self) -> dict[Channel, list[Piece]]:
        channels: dict[Channel, list[Piece]] = {}
        self.pieces: dict[int, list[Piece]] = {}
        for net in self.nets:
            own = self._passages(net)
            self.pieces[net.number] = pieces_of(net, self.cells, own, self.left_at[net.number], self.enter_at)
            for piece in self.pieces[net.number]:
                channels.setdefault(piece.key.channel, []).append(piece)
        return channels

    def _passages(self, net: Net) -> dict[Spot, float]:
        columns = range(len(self.bands[self.cells[net.source].band].columns))
        spots = (Spot(-1, net.number, column) for column in columns)
        return {spot: self.centres[spot] for spot in spots if spot in self.centres}

    def _place_along(self) -> None:
        count = 1 + max(cell.column for cell in self.cells.values())
        thick = [0.0] * count
        for box, cell in self.cells.items():
            thick[cell.column] = max(thick[cell.column], self.request.along[box])
        label = [0.0] * (count + 1)
        for net in self.nets:
            column = self.cells[net.source].column + 1
            label[column] = max(label[column], self.request.label_along.get(net.label, 0.0))
        self.margin = margin_tracks(self.nets, self.cells)
        used = 1 + max(self.margin.values(), default=-1)
        self.margin_at = {net: _EDGE_PX + 2 + _PITCH_PX * track for net, track in self.margin.items()}
        cursor = _EDGE_PX + _PITCH_PX * used
        self.channel_at: list[float] = []
        self.box_at: list[tuple[float, float]] = []
        for column in range(count + 1):
            self.channel_at.append(cursor + label[column] + (_LEAD_PX if column else _EDGE_PX))
            cursor += self._channel_length(column, count, label[column])
            if column < count:
                self.box_at.append((cursor, cursor + thick[column]))
                cursor += thick[column]
        self.length = cursor + _EDGE_PX
        self.turns = {key: self._turn(key) for key in self.tracks}

    def _channel_length(self, column: int, count: int, label: float) -> float:
        tracks = [track for key, track in self.tracks.items() if key.channel.column == column]
        if not tracks and column in (0, count):
            return label
        turning = max(tracks, default=0) * _PITCH_PX + self._stagger(1) * bool(tracks)
        return label + (_LEAD_PX if column else _EDGE_PX) + turning + (_TRAIL_PX if column < count else 0.0)

    def _stagger(self, band: int) -> float:
        # Neighbouring bands use tracks half a step apart: their lines never meet end to end in a strip.
        return _PITCH_PX / 2 * (band % 2) * (len(self.bands) > 1)

    def _turn(self, key: PieceKey) -> float:
        return (
            self.channel_at[key.channel.column]
            + self.tracks[key] * _PITCH_PX
            + self._stagger(key.channel.band)
        )

    def _place_bands(self) -> None:
        lanes = lanes_of(self.nets, self.cells, self.turns, self.margin_at)
        self.ranks = lane_ranks(lanes, _PITCH_PX)
        self.band_at: list[float] = []
        self.strip_at: list[float] = [0.0]
        cursor = _EDGE_PX
        for band, depth in enumerate(self.depths):
            self.band_at.append(cursor)
            cursor += depth
            ranks = [rank for (strip, _), rank in self.ranks.items() if strip == band + 1]
            self.strip_at.append(cursor + _STRIP_PX)
            is_last = band == len(self.depths) - 1
            if ranks:
                cursor += _STRIP_PX + max(ranks) * _PITCH_PX + (0.0 if is_last else _STRIP_PX)
            elif not is_last:
                cursor += 2 * _STRIP_PX
        self.breadth = cursor + _EDGE_PX

    def layout(self) -> Layout:
        """The finished drawing."""
        flat = Layout(
            boxes=tuple(self._box(box) for box in range(len(self.request.along))),
            routes=tuple(
                self._route(net, target) for net in self.nets for target in (*net.through, *net.by_lane)
            ),
            loops=tuple(self._loop(box, label) for box, _, label in self.loops),
            labels=tuple(self._label(net) for net in self.nets if net.label),
            width=self.length,
            height=self.breadth,
        )
        return flat if self.request.columns else flat.turned()

    def _box(self, box: int) -> Rectangle:
        cell = self.cells[box]
        start, end = self.box_at[cell.column]
        centre = self._down(cell.band, self.centres[Spot(box, -1, cell.column)])
        return Rectangle(start, centre - self.across[box] / 2, end - start, self.across[box])

    def _down(self, band: int, level: float) -> float:
        return self.band_at[band] + level

    def _route(self, net: Net, target: int) -> Route:
        source, cell = self.cells[net.source], self.cells[target]
        by_lane = target in net.by_lane
        points: list[Point] = [
            (self.box_at[source.column][1], self._down(source.band, self.left_at[net.number]))
        ]
        if by_lane:
            points += self._by_lane(net, target, points[0])
        else:
            points += self._through(net, target, points[0])
        end = self._down(cell.band, self.enter_at[net.number, target])
        points += [(points[-1][0], end), (self.box_at[cell.column][0], end)]
        return Route(net.source, target, net.label, net.number, by_lane, _without_repeats(points))

    def _through(self, net: Net, target: int, start: Point) -> list[Point]:
        source = self.cells[net.source]
        points, level = [], start[1]
        for column in range(source.column + 1, self.cells[target].column + 1):
            turn = self.turns.get(PieceKey(net.number, Channel(source.band, column), -1))
            passage = self.centres.get(Spot(-1, net.number, column))
            is_last = column == self.cells[target].column
            if turn is not None:
                points.append((turn, level))
            if not is_last and passage is not None:
                level = self._down(source.band, passage)
                if turn is not None:
                    points.append((turn, level))
        return points or [start]

    def _by_lane(self, net: Net, target: int, start: Point) -> list[Point]:
        source, cell = self.cells[net.source], self.cells[target]
        leave, enter = lane_strips(source.band, cell.band)
        out_at = self.turns[PieceKey(net.number, Channel(source.band, source.column + 1), -1)]
        in_at = self.turns[PieceKey(net.number, Channel(cell.band, cell.column), enter)]
        first, last = self._lane(leave, net.number), self._lane(enter, net.number)
        points = [(out_at, start[1]), (out_at, first)]
        if leave != enter:
            points += [(self.margin_at[net.number], first), (self.margin_at[net.number], last)]
        return [*points, (in_at, last)]

    def _lane(self, strip: int, net: int) -> float:
        return self.strip_at[strip] + self.ranks[strip, net] * _PITCH_PX

    def _loop(self, box: int, label: str) -> Loop:
        frame = self._box(box)
        bottom, depth = frame.y + frame.height, _LOOP_PX - 4
        out_at, in_at = whole(frame.x + frame.width * 0.78), whole(frame.x + frame.width * 0.22)
        points = ((out_at, bottom), (out_at, bottom + depth), (in_at, bottom + depth), (in_at, bottom))
        return Loop(box, label, points)

    def _label(self, net: Net) -> Label:
        cell, level = self.cells[net.source], self.left_at[net.number]
        others = [
            piece.left
            for pieces in self.pieces.values()
            for piece in pieces
            if piece.key.channel == Channel(cell.band, cell.column + 1) and piece.left is not None
        ]
        after = min([each for each in others if each > level], default=self.depths[cell.band] + _PITCH_PX)
        at = (self.box_at[cell.column][1], self._down(cell.band, level))
        return Label(net.number, net.label, at, after - level)


def _mean(values: Sequence[float]) -> float:
    return sum(values) / len(values) if values else 0.0


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
