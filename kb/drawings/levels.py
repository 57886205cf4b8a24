"""The first half of a layout: columns, order, and every level across the flow, with the track of every turn.

It ends with what the second half needs to give all of it a place along the flow. It knows nothing of x and y.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from kb.drawings.geometry import whole
from kb.drawings.layering import Cell, cells_across, cells_down, layers_of, parts_of, returning_links
from kb.drawings.nets import Net, Spot, bands_of, nets_of
from kb.drawings.ordering import ordered
from kb.drawings.placing import Distances, Room, placed
from kb.drawings.ports import INSET_PX, Side, arriving, beside, leaving
from kb.drawings.tracks import Channel, Piece, overlapping, pieces_of, tracks_of

PITCH_PX = 12.0
ENTRY_PITCH_PX = 14.0
LOOP_PX = 20.0
_PASSAGE_PX = 1.0


@dataclass(frozen=True)
class Request:
    """What is to be laid out, in pixels: each box's size along and across the flow, and how it may fold.

    `columns` 0 means one band from top to bottom. `port_pitch` is how far apart lines leave a box.
    `label_along` is what a signal name needs along the flow, `label_across` what the last needs beside it.
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


class Levels:
    """The layout across the flow: each step of the constructor fills in what the next one needs.

    `centres` are middles of boxes and passages, `left_at` and `enter_at` where lines leave and enter, from
    the top of their band; `depths` is how deep each band is; `tracks` where in its channel each piece turns.
    """

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
        if request.most_abreast > 1:
            # Once more, now that it is known where lines leave and enter, so that they run straight. A single
            # file stays a column instead, which is narrower.
            self._place_across(self._steps())
            self._seat_lines()
        self._choose_tracks()

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
        pitches = (coming, ENTRY_PITCH_PX), (going, self.request.port_pitch)
        needs = [[2 * INSET_PX + (count - 1) * pitch for count in counts] for counts, pitch in pitches]
        return [max(each) for each in zip(self.request.across, *needs, strict=True)]

    def _place_across(self, steps: Mapping[tuple[Spot, Spot], float]) -> None:
        looped = {source for source, _, _ in self.loops}
        distances = Distances(self.request.box_gap, PITCH_PX, PITCH_PX + 2)
        extra = LOOP_PX + self.request.loop_label_across
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
        sides = {box: self._side(box, self.request.port_pitch) for box in self.cells}
        entries = {box: self._side(box, ENTRY_PITCH_PX) for box in self.cells}
        self.left_at = leaving(self.nets, self.cells, self.centres, sides, self.request.label_across)
        self.enter_at = arriving(self.nets, self.cells, self.centres, entries, self.left_at)

    def _side(self, box: int, pitch: float) -> Side:
        centre = self.centres[Spot(box, -1, self.cells[box].column)]
        return Side(centre, self.across[box], pitch)

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
                        self.enter_at[net, target] = beside(
                            at, self._side(target, ENTRY_PITCH_PX), [*lefts, *others]
                        )
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


def _mean(values: Sequence[float]) -> float:
    return sum(values) / len(values) if values else 0.0
