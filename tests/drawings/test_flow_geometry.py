"""Nothing in a flow drawing may cover anything else, whatever the graph."""

from __future__ import annotations

import random
import time
from itertools import combinations

import pytest
from hypothesis import given, settings

from kb.drawings import Flow, FlowBlock, FlowLink, draw_flow
from kb.drawings.lettering import clean, width_of
from tests.drawings.shapes import SVG, Drawing, corners, crowded, flow_of, flows, read, runs_through, segments

VARIANTS = pytest.mark.parametrize("compact", [False, True], ids=["wide", "compact"])


@VARIANTS
@given(flow=flows())
@settings(deadline=None, max_examples=40)
def test_no_two_boxes_overlap(flow: Flow, *, compact: bool) -> None:
    drawing = read(draw_flow(flow, compact=compact))
    assert len(drawing.boxes) == len(flow.blocks)
    assert_boxes_apart(drawing)


def assert_boxes_apart(drawing: Drawing) -> None:
    for one, other in combinations(drawing.boxes.values(), 2):
        apart = one[2] <= other[0] or other[2] <= one[0] or one[3] <= other[1] or other[3] <= one[1]
        assert apart, (one, other)


@VARIANTS
@given(flow=flows())
@settings(deadline=None, max_examples=40)
def test_every_link_has_a_line_and_none_runs_through_a_box(flow: Flow, *, compact: bool) -> None:
    drawing = read(draw_flow(flow, compact=compact))
    wanted = {(link.source, link.target, clean(link.label)) for link in flow.links}
    assert sorted((source, target) for source, target, _ in wanted) == sorted(
        (source, target) for source, target, _ in drawing.links
    )
    assert_lines_clear_of_boxes(drawing)


def assert_lines_clear_of_boxes(drawing: Drawing) -> None:
    for _, _, points in drawing.links:
        for start, end in segments(points):
            assert start[0] == end[0] or start[1] == end[1]
            assert not any(runs_through(start, end, box) for box in drawing.boxes.values())


@VARIANTS
@given(flow=flows())
@settings(deadline=None, max_examples=40)
def test_a_line_begins_at_its_source_and_ends_at_its_target(flow: Flow, *, compact: bool) -> None:
    drawing = read(draw_flow(flow, compact=compact))
    for source, target, points in drawing.links:
        for end, (left, top, right, bottom) in (
            (points[0], drawing.boxes[source]),
            (points[-1], drawing.boxes[target]),
        ):
            assert left <= end[0] <= right
            assert top <= end[1] <= bottom
            assert end[0] in (left, right) or end[1] in (top, bottom)


@VARIANTS
@given(flow=flows())
@settings(deadline=None, max_examples=40)
def test_lines_of_different_signals_never_lie_on_each_other(flow: Flow, *, compact: bool) -> None:
    assert_signals_apart(flow, compact=compact)


@VARIANTS
@pytest.mark.parametrize("number", range(12))
def test_a_crowded_flow_keeps_boxes_and_signals_apart(number: int, *, compact: bool) -> None:
    # Small random graphs hardly ever have lines that exchange their levels; these do.
    flow = crowded(number)
    drawing = read(draw_flow(flow, compact=compact))
    assert_boxes_apart(drawing)
    assert_lines_clear_of_boxes(drawing)
    assert_signals_apart(flow, compact=compact)


def assert_signals_apart(flow: Flow, *, compact: bool) -> None:
    lines = labelled_lines(flow, compact=compact)
    for (one_net, one), (other_net, other) in combinations(lines, 2):
        if one_net != other_net:
            for first in segments(one):
                for second in segments(other):
                    assert shared_length(first, second) < 1, (one_net, other_net, first, second)


def labelled_lines(flow: Flow, *, compact: bool) -> list[tuple[tuple[str, str], list[tuple[float, float]]]]:
    drawing = read(draw_flow(flow, compact=compact))
    labels = {title_of_link(flow, link): clean(link.label) for link in flow.links}
    lines = []
    for group in drawing.root.iter(f"{SVG}g"):
        if "data-from" in group.attrib and group.attrib["data-from"] != group.attrib["data-to"]:
            title = group.findtext(f"{SVG}title") or ""
            key = (group.attrib["data-from"], group.attrib["data-to"], title)
            path = group.find(f"{SVG}path")
            assert path is not None
            lines.append(((group.attrib["data-from"], labels[key]), corners(path.attrib["d"])))
    return lines


def title_of_link(flow: Flow, link: FlowLink) -> tuple[str, str, str]:
    names = {block.id: clean(block.name) or block.id for block in flow.blocks}
    title = f"{names[link.source]} to {names[link.target]}"
    label = clean(link.label)
    return link.source, link.target, f"{title}: {label}" if label else title


def shared_length(
    first: tuple[tuple[float, float], tuple[float, float]],
    second: tuple[tuple[float, float], tuple[float, float]],
) -> float:
    for axis in (0, 1):
        if first[0][axis] == first[1][axis] == second[0][axis] == second[1][axis]:
            along = 1 - axis
            low = max(min(first[0][along], first[1][along]), min(second[0][along], second[1][along]))
            high = min(max(first[0][along], first[1][along]), max(second[0][along], second[1][along]))
            return max(high - low, 0.0)
    return 0.0


@VARIANTS
@given(flow=flows())
@settings(deadline=None, max_examples=40)
def test_all_text_and_all_lines_stay_inside_the_picture(flow: Flow, *, compact: bool) -> None:
    drawing = read(draw_flow(flow, compact=compact))
    _, _, width, height = (float(value) for value in drawing.root.attrib["viewBox"].split())
    for _, _, points in drawing.links:
        assert all(0 <= x <= width and 0 <= y <= height for x, y in points)
    for text in drawing.root.iter(f"{SVG}text"):
        size = float(text.attrib["font-size"])
        assert size >= 12
        for line in [each for each in (text, *text) if each.text]:
            x, y = float(line.attrib["x"]), float(line.attrib["y"])
            wide = width_of(line.text or "", size)
            left = x - {"start": 0.0, "middle": wide / 2, "end": wide}[text.attrib["text-anchor"]]
            assert left >= -0.5
            assert left + wide <= width + 0.5
            assert size <= y + 2
            assert y <= height


@VARIANTS
@pytest.mark.parametrize("count", [6, 20, 60])
def test_sixty_blocks_are_drawn_in_a_fifth_of_a_second(count: int, *, compact: bool) -> None:
    dice = random.Random(count)
    tree = [(dice.randrange(number), number) for number in range(1, count)]
    more = [(dice.randrange(count), dice.randrange(count)) for _ in range(count // 2)]
    flow = flow_of(count, tree + more)
    # The quickest of three, because the machine may be busy with something else.
    assert min(timed(flow, compact=compact) for _ in range(3)) < 0.2


def timed(flow: Flow, *, compact: bool) -> float:
    start = time.perf_counter()
    draw_flow(flow, compact=compact)
    return time.perf_counter() - start


@pytest.mark.parametrize("count", [2, 5, 6, 7, 8, 13, 30])
def test_a_chain_fits_the_page_at_full_size(count: int) -> None:
    flow = flow_of(count, [(number, number + 1) for number in range(count - 1)])
    assert float(read(draw_flow(flow)).root.attrib["width"]) <= 1100
    assert float(read(draw_flow(flow, compact=True)).root.attrib["width"]) <= 344


def test_a_chain_runs_dead_straight() -> None:
    drawing = read(draw_flow(flow_of(5, [(0, 1), (1, 2), (2, 3), (3, 4)])))
    assert [len(points) for _, _, points in drawing.links] == [2, 2, 2, 2]
    assert len({points[0][1] for _, _, points in drawing.links}) == 1


def test_a_way_back_runs_outside_the_boxes_it_passes() -> None:
    drawing = read(draw_flow(flow_of(4, [(0, 1), (1, 2), (2, 3), (3, 0)])))
    back = next(points for source, target, points in drawing.links if (source, target) == ("b3", "b0"))
    lowest = max(bottom for _, _, _, bottom in drawing.boxes.values())
    assert max(y for _, y in back) > lowest
    assert back[-1][0] > back[-2][0], "it comes in from the left, as everything does"


def test_a_fork_is_marked_by_a_dot_and_a_crossing_is_not() -> None:
    fork = read(draw_flow(flow_of(3, [(0, 1), (0, 2)]))).root
    assert len(list(fork.iter(f"{SVG}circle"))) == 1
    crossing = read(draw_flow(flow_of(4, [(0, 2), (1, 3)]))).root
    assert not list(crossing.iter(f"{SVG}circle"))


def test_long_flows_fold_and_the_fold_keeps_reading_order() -> None:
    boxes = read(draw_flow(flow_of(12, [(number, number + 1) for number in range(11)]))).boxes
    rows = sorted({box[1] for box in boxes.values()})
    assert len(rows) == 2
    assert [name for name, box in boxes.items() if box[1] == rows[0]] == [f"b{number}" for number in range(6)]


def test_the_compact_drawing_runs_down_the_page() -> None:
    boxes = read(draw_flow(flow_of(4, [(0, 1), (1, 2), (2, 3)]), compact=True)).boxes
    tops = [boxes[f"b{number}"][1] for number in range(4)]
    assert tops == sorted(tops)
    assert len({box[0] for box in boxes.values()}) == 1


def test_several_signals_between_two_blocks_have_a_line_each() -> None:
    blocks = (FlowBlock("kb", "Keyboard"), FlowBlock("env", "Envelope"))
    links = (FlowLink("kb", "env", "gate"), FlowLink("kb", "env", "trigger"), FlowLink("kb", "env", "gate"))
    drawing = read(draw_flow(Flow(blocks, links, "Two signals")))
    assert len(drawing.links) == 2
    assert len({points[-1] for _, _, points in drawing.links}) == 2
