"""Reading a drawing back: the boxes and lines of an SVG as plain numbers, and random graphs to draw."""

from __future__ import annotations

import random
import re
from dataclasses import dataclass
from itertools import pairwise
from xml.etree import ElementTree

from hypothesis import strategies as st

from kb.drawings import Flow, FlowBlock, FlowLink
from kb.drawings.blocks import STATES

SVG = "{http://www.w3.org/2000/svg}"
Point = tuple[float, float]


@dataclass(frozen=True)
class Drawing:
    """What a reader sees: boxes by block, links with their lines, and the root element."""

    root: ElementTree.Element
    boxes: dict[str, tuple[float, float, float, float]]
    links: list[tuple[str, str, list[Point]]]


def read(svg: str) -> Drawing:
    root = ElementTree.fromstring(svg)  # noqa: S314 our own drawing, read back
    boxes = {}
    for group in root.iter(f"{SVG}g"):
        if "data-block" in group.attrib:
            rect = group.find(f"{SVG}rect")
            assert rect is not None
            x, y, width, height = (float(rect.attrib[key]) for key in ("x", "y", "width", "height"))
            boxes[group.attrib["data-block"]] = (x, y, x + width, y + height)
    links = []
    for group in root.iter(f"{SVG}g"):
        if "data-from" in group.attrib:
            path = group.find(f"{SVG}path")
            assert path is not None
            links.append((group.attrib["data-from"], group.attrib["data-to"], corners(path.attrib["d"])))
    return Drawing(root, boxes, links)


def corners(path: str) -> list[Point]:
    """The corner points of a path made of M, L and Q; a rounded corner counts as its control point."""
    points: list[Point] = []
    steps = re.findall(r"([MLQ])([^MLQ]*)", path)
    for number, (kind, text) in enumerate(steps):
        values = [float(value) for value in text.split()]
        is_last = number == len(steps) - 1
        if kind == "L" and not is_last and steps[number + 1][0] == "Q":
            continue
        points.append((values[0], values[1]))
    return points


def segments(points: list[Point]) -> list[tuple[Point, Point]]:
    return [pair for pair in pairwise(points) if pair[0] != pair[1]]


def runs_through(start: Point, end: Point, box: tuple[float, float, float, float]) -> bool:
    """Whether a straight line touches the inside of a box; along its edge does not count."""
    (low_x, high_x), (low_y, high_y) = sorted((start[0], end[0])), sorted((start[1], end[1]))
    left, top, right, bottom = box
    return low_x < right - 0.5 and high_x > left + 0.5 and low_y < bottom - 0.5 and high_y > top + 0.5


def flow_of(count: int, links: list[tuple[int, int]], **words: str) -> Flow:
    blocks = tuple(
        FlowBlock(f"b{number}", words.get(f"b{number}", f"Block {number}")) for number in range(count)
    )
    return Flow(blocks, tuple(FlowLink(f"b{one}", f"b{other}") for one, other in links), "Test flow")


def crowded(number: int) -> Flow:
    """A large tangled flow, the same each time for the same number."""
    dice = random.Random(number)
    count = dice.choice([20, 40, 60])
    ends = [f"b{block}" for block in range(count)]
    links = [
        FlowLink(dice.choice(ends), dice.choice(ends), dice.choice(["", "", "gate"]))
        for _ in range(int(count * dice.choice([0.5, 1, 1.3, 2])))
    ]
    return Flow(tuple(FlowBlock(end, f"Block {end}") for end in ends), tuple(links), "Crowded")


@st.composite
def flows(draw: st.DrawFn, most: int = 24) -> Flow:
    """Any flow: forks, joins, loops, self loops, loose parts, doubled links, names of every kind."""
    count = draw(st.integers(1, most))
    names = st.one_of(st.text(max_size=40), st.sampled_from(["Clock", "Pulse width modulator", "W" * 60]))
    blocks = tuple(
        FlowBlock(
            f"b{number}",
            draw(names),
            draw(st.sampled_from([None, "blocks/x/", "#here"])),
            draw(st.sampled_from(["", "TP1", "TP14 on the lower board"])),
            draw(st.sampled_from(STATES)),
        )
        for number in range(count)
    )
    ends = st.integers(0, count - 1).map(lambda number: f"b{number}")
    labels = st.sampled_from(["", "", "gate", "pitch voltage of the second row"])
    links = draw(st.lists(st.builds(FlowLink, ends, ends, labels), max_size=2 * count))
    return Flow(blocks, tuple(links), draw(st.text(max_size=20)))
