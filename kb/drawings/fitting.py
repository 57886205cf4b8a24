"""Choosing sizes: how wide the boxes are and where the flow folds, so that it fits its page at full size.

It lays the flow out in a few ways and takes the plainest one that is narrow enough. It draws nothing.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache

from kb.drawings.blocks import OPEN, STATES, Flow, FlowBlock
from kb.drawings.geometry import Label, Layout, length_of
from kb.drawings.layout import lay_out
from kb.drawings.lettering import clean, is_broken, shorten, width_of, wrap
from kb.drawings.levels import Request

NOTE_PX = 12.0
NAME_LEADING_PX = 18.0
NOTE_LEADING_PX = 18.0
PADDING_PX = 8.0
_NAME_PX = 14.0
_SMALL_NAME_PX = 12.5
_MOST_LINES = 3
_LABEL_ROOM_PX = 84.0
_WIDE_LIMIT_PX = 1100.0
_COMPACT_LIMIT_PX = 344.0
_BEND_AS_LENGTH_PX = 60.0
_CUT_AS_LENGTH_PX = 500.0
_LESS_COMFORT = 0.12


@dataclass(frozen=True)
class Lettered:
    """What is written in one box: the name on one to three lines, the test point, the state's word.

    `is_stacked` says that test point and state stand on two lines because one is too short for both.
    """

    lines: tuple[str, ...]
    name_px: float
    test_point: str
    state: str
    is_stacked: bool

    @property
    def height(self) -> float:
        """What the words need, with the padding above and below them."""
        notes = (self.test_point or self.state) and (2 if self.is_stacked else 1)
        return 2 * PADDING_PX + NAME_LEADING_PX * len(self.lines) + NOTE_LEADING_PX * (notes or 0)


@dataclass(frozen=True)
class Fitted:
    """A layout together with the words that fit its boxes; one entry of `boxes` for each block."""

    layout: Layout
    boxes: tuple[Lettered, ...]


def fitted(flow: Flow, *, compact: bool) -> Fitted:
    """The plainest layout narrow enough for its page, or the narrowest there is."""
    limit = _COMPACT_LIMIT_PX if compact else _WIDE_LIMIT_PX
    attempts = enumerate(_compact_attempts(flow) if compact else _wide_attempts(flow))

    def hardship(attempt: tuple[int, Fitted]) -> tuple[float, float]:
        # The earlier attempts have the wider boxes; a later one has to be clearly plainer to be taken.
        rank, each = attempt
        return max(each.layout.width - limit, 0.0), _effort(each.layout) * (1 + _LESS_COMFORT * rank)

    return min(attempts, key=hardship)[1]


def _effort(layout: Layout) -> float:
    """How far the eye has to travel: the length of all lines, every bend and every name cut short as more."""
    length = math.fsum(length_of(route.points) for route in layout.routes)
    bends = sum(len(route.points) - 2 for route in layout.routes)
    cut = sum(
        layout.runs_down and label_room(label) < width_of(label.text, NOTE_PX) for label in layout.labels
    )
    return length + bends * _BEND_AS_LENGTH_PX + cut * _CUT_AS_LENGTH_PX + layout.height


def label_room(label: Label) -> float:
    """How wide a signal's name may be in the drawing that runs down the page, in pixels."""
    return min(label.room - 8, _LABEL_ROOM_PX)


def _links(flow: Flow) -> tuple[tuple[int, int, str], ...]:
    numbers = {block.id: number for number, block in enumerate(flow.blocks)}
    return tuple((numbers[link.source], numbers[link.target], clean(link.label)) for link in flow.links)


def _wide_attempts(flow: Flow) -> Iterator[Fitted]:
    links = _links(flow)
    labels = {
        label: math.ceil(min(width_of(label, NOTE_PX) + 6, _LABEL_ROOM_PX)) for _, _, label in links if label
    }
    for columns, box_px in ((6, 148.0), (7, 128.0), (5, 148.0), (4, 148.0), (3, 148.0)):
        lettered = _lettered(flow.blocks, box_px)
        tallest = max(each.height for each in lettered)
        request = Request(
            along=(box_px,) * len(lettered),
            across=(tallest,) * len(lettered),
            links=links,
            columns=columns,
            most_abreast=10,
            reach=columns,
            box_gap=20.0,
            port_pitch=17.0 if labels else 12.0,
            label_along=labels,
        )
        yield Fitted(lay_out(request), lettered)


def _compact_attempts(flow: Flow) -> Iterator[Fitted]:
    links = _links(flow)
    widths = {label: width_of(label, NOTE_PX) for _, _, label in links if label}
    loop_labels = [widths[label] for source, target, label in links if label and source == target]
    settings = [(1, 220.0, 1), (2, 148.0, 3), (2, 132.0, 2), (1, 180.0, 3), (2, 116.0, 1), (1, 148.0, 1)]
    if widths:
        # Several named signals leave a box side by side; a wide box has room for their names.
        settings.insert(0, (1, 264.0, 1))
    for most_abreast, box_px, reach in settings:
        lettered = _lettered(flow.blocks, box_px)
        request = Request(
            along=tuple(each.height for each in lettered),
            across=(box_px,) * len(lettered),
            links=links,
            columns=0,
            most_abreast=most_abreast,
            reach=reach,
            box_gap=16.0,
            port_pitch=68.0 if widths else 16.0,
            label_along=dict.fromkeys(widths, NOTE_PX + 4),
            label_across=math.ceil(min(max(widths.values(), default=0.0), 40.0)),
            loop_label_across=math.ceil(min(max(loop_labels, default=0.0), 48.0)),
        )
        yield Fitted(lay_out(request), lettered)


def _lettered(blocks: Sequence[FlowBlock], box_px: float) -> tuple[Lettered, ...]:
    room = box_px - 2 * PADDING_PX
    return tuple(_one(block, room) for block in blocks)


def _one(block: FlowBlock, room: float) -> Lettered:
    return _written(block.name, block.id, block.test_point, block.state, room)


@lru_cache(maxsize=4096)
def _written(own_name: str, identifier: str, test_point: str, state: str, room: float) -> Lettered:
    """The pages of one instrument ask for the same boxes again and again; only where they lead differs."""
    name = clean(own_name) or clean(identifier) or "unnamed block"
    # A slightly smaller name reads better than a word broken in two.
    name_px = _SMALL_NAME_PX if is_broken(name, room, _NAME_PX, bold=True) else _NAME_PX
    lines = wrap(name, room, name_px, _MOST_LINES, bold=True)
    point = clean(test_point)
    beside = tag_width(state) + 6 if state else 0.0
    is_stacked = bool(point and state) and width_of(point, NOTE_PX) > room - beside
    return Lettered(lines, name_px, shorten(point, room, NOTE_PX), state, is_stacked)


def tag_width(state: str) -> float:
    """How wide the frame around a state's word is, in pixels; for an open state, around the longest word."""
    words = STATES if state == OPEN else (state,)
    return max(width_of(word, NOTE_PX, bold=True) for word in words) + 10
