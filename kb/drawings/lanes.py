"""The lanes outside the boxes: lines that go back or on to another band run in strips between the bands.

Strip k lies above band k. Lines between bands that are not neighbours use the margin beside all bands.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from kb.drawings.layering import Cell
from kb.drawings.nets import Net
from kb.drawings.ports import lane_strips
from kb.drawings.tracks import PieceKey


@dataclass(frozen=True)
class Lane:
    """One net in one strip: how far it reaches along the flow and which bands it is joined to."""

    net: int
    strip: int
    start: float
    end: float
    joins_above: bool
    joins_below: bool

    @property
    def length(self) -> float:
        """How far it reaches along the flow."""
        return self.end - self.start


def margin_tracks(nets: Sequence[Net], cells: Mapping[int, Cell]) -> dict[int, int]:
    """The track in the margin of every net that joins bands that are not neighbours."""
    spans: dict[int, tuple[int, int]] = {}
    for net in nets:
        for target in net.by_lane:
            leave, enter = lane_strips(cells[net.source].band, cells[target].band)
            if leave != enter:
                low, high = spans.get(net.number, (leave, leave))
                spans[net.number] = (min(low, enter), max(high, enter))
    tracks: dict[int, int] = {}
    for number in sorted(spans, key=lambda each: (spans[each][1] - spans[each][0], each)):
        taken = {
            tracks[other]
            for other in tracks
            if spans[other][0] <= spans[number][1] and spans[number][0] <= spans[other][1]
        }
        tracks[number] = min(set(range(len(taken) + 1)) - taken)
    return tracks


def lanes_of(
    nets: Sequence[Net],
    cells: Mapping[int, Cell],
    turns: Mapping[PieceKey, float],
    margin_at: Mapping[int, float],
) -> list[Lane]:
    """Every lane; `turns` says where along the flow each piece turns, `margin_at` where a net's margin is."""
    points: dict[tuple[int, int], list[float]] = {}
    joins: set[tuple[int, int, int]] = set()
    places = {(key.net, key.channel.band, key.channel.column, key.enters): at for key, at in turns.items()}
    for net in nets:
        source = cells[net.source]
        for target in net.by_lane:
            cell = cells[target]
            leave, enter = lane_strips(source.band, cell.band)
            out_at = places[net.number, source.band, source.column + 1, -1]
            in_at = places[net.number, cell.band, cell.column, enter]
            points.setdefault((leave, net.number), []).append(out_at)
            points.setdefault((enter, net.number), []).append(in_at)
            joins |= {(leave, net.number, source.band), (enter, net.number, cell.band)}
            if leave != enter:
                points[leave, net.number].append(margin_at[net.number])
                points[enter, net.number].append(margin_at[net.number])
    return [
        Lane(
            number,
            strip,
            min(at),
            max(at),
            (strip, number, strip - 1) in joins,
            (strip, number, strip) in joins,
        )
        for (strip, number), at in points.items()
    ]


def lane_ranks(lanes: Sequence[Lane], clear_px: float) -> dict[tuple[int, int], int]:
    """The rank of each lane in its strip by (strip, net), counted away from the band above."""
    ranks: dict[tuple[int, int], int] = {}
    for strip in sorted({lane.strip for lane in lanes}):
        seated: list[tuple[Lane, int]] = []
        for lane in sorted((each for each in lanes if each.strip == strip), key=_nearness):
            beside = [
                rank
                for other, rank in seated
                if lane.start - clear_px < other.end and other.start - clear_px < lane.end
            ]
            seated.append((lane, 1 + max(beside, default=-1)))
        ranks.update({(strip, lane.net): rank for lane, rank in seated})
    return ranks


def _nearness(lane: Lane) -> tuple[int, float, int]:
    """Short lanes lie close to the band they are joined to, so that long ones pass outside them."""
    if lane.joins_above and lane.joins_below:
        return (1, lane.length, lane.net)
    return (0, lane.length, lane.net) if lane.joins_above else (2, -lane.length, lane.net)
