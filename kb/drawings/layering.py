"""Which column of the drawing each block stands in: cycles opened, parts kept apart, longest path layers.

Everything follows the order the shop wrote the blocks in, so the same graph always gives the same drawing.
Blocks are plain numbers here (their place in the list); it must not know about sizes or text.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

Link = tuple[int, int]


@dataclass(frozen=True)
class Cell:
    """A place in the grid: `band` counts the rows of a wrapped drawing, `column` the layers within one."""

    band: int
    column: int


def returning_links(count: int, links: Iterable[Link]) -> frozenset[Link]:
    """The links that close a loop, found by walking depth first in written order; self loops too."""
    onward: list[list[int]] = [[] for _ in range(count)]
    for source, target in links:
        onward[source].append(target)
    seen: set[int] = set()
    found: set[Link] = set()
    for start in range(count):
        if start not in seen:
            _walk(start, onward, seen, found)
    return frozenset(found)


def _walk(start: int, onward: Sequence[Sequence[int]], seen: set[int], found: set[Link]) -> None:
    # An explicit stack: a chain of thousands must not meet Python's recursion limit.
    trail = [(start, iter(onward[start]))]
    open_now = {start}
    seen.add(start)
    while trail:
        block, rest = trail[-1]
        target = next(rest, None)
        if target is None:
            open_now.discard(block)
            trail.pop()
        elif target in open_now:
            found.add((block, target))
        elif target not in seen:
            seen.add(target)
            open_now.add(target)
            trail.append((target, iter(onward[target])))


def parts_of(count: int, links: Iterable[Link]) -> list[list[int]]:
    """The unconnected parts of the graph, each in written order, the part of the first block first."""
    root = list(range(count))

    def find(block: int) -> int:
        while root[block] != block:
            root[block] = root[root[block]]
            block = root[block]
        return block

    for source, target in links:
        low, high = sorted((find(source), find(target)))
        root[high] = low
    parts: dict[int, list[int]] = {}
    for block in range(count):
        parts.setdefault(find(block), []).append(block)
    return list(parts.values())


def layers_of(part: Sequence[int], links: Sequence[Link], most_abreast: int) -> dict[int, int]:
    """Longest path layers from 0, at most `most_abreast` blocks in one; `links` must have no cycle.

    A block that nothing feeds stands just before the first block it feeds, not at the far left. One abreast,
    a branch is followed to its end before the next one begins.
    """
    before: dict[int, list[int]] = {block: [] for block in part}
    after: dict[int, list[int]] = {block: [] for block in part}
    for source, target in links:
        if source in before and target in before:
            before[target].append(source)
            after[source].append(target)
    if most_abreast == 1:
        return _in_single_file(part, before, after)
    longest = _longest_paths(part, before, after)
    for block in part:
        if not before[block] and after[block]:
            longest[block] = min(longest[target] for target in after[block]) - 1
    return _thinned(part, longest, before, most_abreast)


def _longest_paths(
    part: Sequence[int], before: Mapping[int, Sequence[int]], after: Mapping[int, Sequence[int]]
) -> dict[int, int]:
    longest = dict.fromkeys(part, 0)
    waiting = {block: len(before[block]) for block in part}
    ready = [block for block in part if not before[block]]
    for block in ready:
        for target in after[block]:
            longest[target] = max(longest[target], longest[block] + 1)
            waiting[target] -= 1
            if waiting[target] == 0:
                ready.append(target)
    return longest


def _in_single_file(
    part: Sequence[int], before: Mapping[int, Sequence[int]], after: Mapping[int, Sequence[int]]
) -> dict[int, int]:
    waiting = {block: len(before[block]) for block in part}
    ready = [block for block in reversed(part) if not before[block]]
    layer: dict[int, int] = {}
    while ready:
        block = ready.pop()
        layer[block] = len(layer)
        for target in reversed(after[block]):
            waiting[target] -= 1
            if waiting[target] == 0:
                ready.append(target)
    return layer


def _thinned(
    part: Sequence[int], longest: Mapping[int, int], before: Mapping[int, Sequence[int]], most_abreast: int
) -> dict[int, int]:
    layer: dict[int, int] = {}
    held: dict[int, int] = {}
    for block in sorted(part, key=lambda each: (longest[each], each)):
        place = max([longest[block], *(layer[source] + 1 for source in before[block])])
        while held.get(place, 0) >= most_abreast:
            place += 1
        layer[block] = place
        held[place] = held.get(place, 0) + 1
    return layer


def cells_across(parts: Sequence[Mapping[int, int]], columns: int) -> dict[int, Cell]:
    """Left to right: a part longer than `columns` folds into even bands; short parts share a band."""
    cells: dict[int, Cell] = {}
    band, column = 0, 0
    for layer in parts:
        depth = max(layer.values()) + 1
        folds = -(-depth // columns)
        width = -(-depth // folds)
        if column and column + width > columns:
            band, column = band + 1, 0
        if folds > 1 and column:
            band, column = band + 1, 0
        for block, place in layer.items():
            cells[block] = Cell(band + place // width, column + place % width)
        band += folds - 1
        column += depth - (folds - 1) * width if folds > 1 else width
    return cells


def cells_down(parts: Sequence[Mapping[int, int]], most_abreast: int) -> dict[int, Cell]:
    """Top to bottom: the parts under each other in one band; blocks without any link stand abreast."""
    cells: dict[int, Cell] = {}
    column, singles = 0, 0
    for layer in parts:
        is_single = len(layer) == 1
        if is_single and 0 < singles < most_abreast:
            column, singles = column - 1, singles + 1
        else:
            singles = int(is_single)
        for block, place in layer.items():
            cells[block] = Cell(0, column + place)
        column += max(layer.values()) + 1
    return cells
