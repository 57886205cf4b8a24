"""Choosing sizes: how wide the boxes are and where the flow folds, so that the drawing fits its page at full size.

It tries a few settings, the most comfortable first, and takes the first that is narrow enough.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from kb.drawings.blocks import Flow, FlowBlock
from kb.drawings.geometry import Layout
from kb.drawings.layout import Request, lay_out
from kb.drawings.lettering import clean, shorten, width_of, wrap

NAME_PX = 14.0
NOTE_PX = 12.0
NAME_LEADING_PX = 17.0
NOTE_LEADING_PX = 18.0
PADDING_PX = 9.0
_MOST_LINES = 3
_LABEL_ROOM_PX = 84.0
_WIDE_LIMIT_PX = 1100.0
_COMPACT_LIMIT_PX = 344.0
_WIDE_BOX_PX = 138.0


@dataclass(frozen=True)
class Lettered:
    """What is written in one box: the name on one to three lines, the test point and the state's word."""

    lines: tuple[str, ...]
    test_point: str
    state: str

    @property
    def height(self) -> float:
        notes = NOTE_LEADING_PX if self.test_point or self.state else 0.0
        return 2 * PADDING_PX + NAME_LEADING_PX * len(self.lines) + notes


@dataclass(frozen=True)
class Fitted:
    """A layout together with the words that fit its boxes; one entry of `boxes` for each block."""

    layout: Layout
    boxes: tuple[Lettered, ...]


def fitted(flow: Flow, *, compact: bool) -> Fitted:
    """The first setting narrow enough for its page, or the narrowest there is."""
    limit = _COMPACT_LIMIT_PX if compact else _WIDE_LIMIT_PX
    best: Fitted | None = None
    for attempt in _compact_attempts(flow) if compact else _wide_attempts(flow):
        if best is None or attempt.layout.width < best.layout.width:
            best = attempt
        if best.layout.width <= limit:
            break
    assert best is not None
    return best


def _links(flow: Flow) -> tuple[tuple[int, int, str], ...]:
    numbers = {block.id: number for number, block in enumerate(flow.blocks)}
    return tuple((numbers[link.source], numbers[link.target], clean(link.label)) for link in flow.links)


def _wide_attempts(flow: Flow) -> Iterator[Fitted]:
    links = _links(flow)
    lettered = _lettered(flow.blocks, _WIDE_BOX_PX)
    tallest = max(each.height for each in lettered)
    labels = {label: min(width_of(label, NOTE_PX) + 6, _LABEL_ROOM_PX) for _, _, label in links if label}
    for columns in (6, 5, 4, 3, 2):
        request = Request(
            along=(_WIDE_BOX_PX,) * len(lettered),
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
    labels = {label: NOTE_PX + 4 for _, _, label in links if label}
    loop_labels = [width_of(label, NOTE_PX) for source, target, label in links if label and source == target]
    for most_abreast, box_px, reach in ((1, 220.0, 1), (2, 148.0, 3), (2, 132.0, 2), (2, 116.0, 1),
                                        (1, 220.0, 3), (1, 180.0, 3), (1, 148.0, 1)):
        lettered = _lettered(flow.blocks, box_px)
        request = Request(
            along=tuple(each.height for each in lettered),
            across=(box_px,) * len(lettered),
            links=links,
            columns=0,
            most_abreast=most_abreast,
            reach=reach,
            box_gap=16.0,
            port_pitch=60.0 if labels else 16.0,
            label_along=labels,
            loop_label_across=min(max(loop_labels, default=0.0), 48.0),
        )
        yield Fitted(lay_out(request), lettered)


def _lettered(blocks: Sequence[FlowBlock], box_px: float) -> tuple[Lettered, ...]:
    room = box_px - 2 * PADDING_PX
    return tuple(_one(block, room) for block in blocks)


def _one(block: FlowBlock, room: float) -> Lettered:
    name = clean(block.name) or clean(block.id) or "?"
    state_px = width_of(block.state, NOTE_PX, bold=True) + 16 if block.state else 0.0
    point = shorten(clean(block.test_point), room - state_px, NOTE_PX) if block.test_point else ""
    return Lettered(wrap(name, room, NAME_PX, _MOST_LINES, bold=True), point, block.state)
