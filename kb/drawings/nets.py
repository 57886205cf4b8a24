"""Links gathered into nets: what leaves one block under one name shares one line that forks.

A net runs through the columns of its own band on reserved places between the boxes; what has to go back, or
to another band, takes a lane outside the boxes. Nothing here knows a coordinate.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from kb.drawings.layering import Cell


class Spot(NamedTuple):
    """One place in a column: a box (`net` is -1) or the passage of a net (`box` is -1)."""

    box: int
    net: int
    column: int


@dataclass(frozen=True)
class Net:
    """One signal: its source block, its name, and the blocks it reaches through the columns or by lanes."""

    number: int
    source: int
    label: str
    through: tuple[int, ...]
    by_lane: tuple[int, ...]


def nets_of(links: Sequence[tuple[int, int, str]], cells: Mapping[int, Cell], reach: int) -> tuple[Net, ...]:
    """The nets in written order; a target more than `reach` columns on is reached by a lane."""
    targets: dict[tuple[int, str], list[int]] = {}
    for source, target, label in links:
        targets.setdefault((source, label), []).append(target)
    nets = []
    for number, ((source, label), reached) in enumerate(targets.items()):
        through = tuple(each for each in reached if _is_onward(cells[source], cells[each], reach))
        by_lane = tuple(each for each in reached if each not in through)
        nets.append(Net(number, source, label, through, by_lane))
    return tuple(nets)


def _is_onward(source: Cell, target: Cell, reach: int) -> bool:
    return source.band == target.band and 0 < target.column - source.column <= reach


@dataclass(frozen=True)
class Band:
    """The columns of one band, each with its spots from top to bottom, and what joins them."""

    columns: tuple[tuple[Spot, ...], ...]
    joins: tuple[tuple[Spot, Spot], ...]


def bands_of(cells: Mapping[int, Cell], nets: Sequence[Net]) -> tuple[Band, ...]:
    """The bands with their spots in written order, nets beside the box that sends them."""
    count = 1 + max(cell.band for cell in cells.values())
    columns: list[list[list[Spot]]] = [[] for _ in range(count)]
    for band in range(count):
        width = 1 + max(cell.column for cell in cells.values() if cell.band == band)
        columns[band] = [[] for _ in range(width)]
    for box in sorted(cells):
        columns[cells[box].band][cells[box].column].append(Spot(box, -1, cells[box].column))
    joins: list[list[tuple[Spot, Spot]]] = [[] for _ in range(count)]
    for net in nets:
        band = cells[net.source].band
        for left, right in _steps_of(net, cells):
            joins[band].append((left, right))
            if right.net == net.number:
                columns[band][right.column].append(right)
    return tuple(
        Band(tuple(tuple(column) for column in columns[band]), tuple(joins[band])) for band in range(count)
    )


def _steps_of(net: Net, cells: Mapping[int, Cell]) -> list[tuple[Spot, Spot]]:
    if not net.through:
        return []
    here = Spot(net.source, -1, cells[net.source].column)
    last = max(cells[target].column for target in net.through)
    steps: list[tuple[Spot, Spot]] = []
    for column in range(here.column + 1, last + 1):
        steps.extend(
            (here, Spot(target, -1, column)) for target in net.through if cells[target].column == column
        )
        if column < last:
            passage = Spot(-1, net.number, column)
            steps.append((here, passage))
            here = passage
    return steps
