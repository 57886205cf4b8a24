"""Path data for the lines: rounded corners, arrow heads, and small arrows midway on long lanes.

Heads are drawn as paths of their own, because markers need ids that could clash on a page.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from kb.drawings.geometry import Point

_RADIUS_PX = 5.0
_HEAD_PX = 9.0
_HALF_HEAD_PX = 4.2
_LONG_PX = 60.0
_LONG_ACROSS_PX = 200.0


def corner_path(points: Sequence[Point], square_at: frozenset[Point]) -> str:
    """A line through the points, its corners rounded except where the net forks."""
    parts = [f"M{_at(points[0])}"]
    for before, corner, after in zip(points, points[1:], points[2:], strict=False):
        radius = min(_RADIUS_PX, _length(before, corner) / 2, _length(corner, after) / 2)
        if corner in square_at:
            parts.append(f"L{_at(corner)}")
        else:
            bend, on = _towards(corner, before, radius), _towards(corner, after, radius)
            parts.append(f"L{_at(bend)}Q{_at(corner)} {_at(on)}")
    parts.append(f"L{_at(points[-1])}")
    return "".join(parts)


def arrow_head(start: Point, tip: Point) -> str:
    """A filled triangle whose tip touches the end of the line."""
    base = _towards(tip, start, _HEAD_PX)
    run_x, run_y = (tip[0] - base[0]) / _HEAD_PX, (tip[1] - base[1]) / _HEAD_PX
    one = (base[0] - run_y * _HALF_HEAD_PX, base[1] + run_x * _HALF_HEAD_PX)
    other = (base[0] + run_y * _HALF_HEAD_PX, base[1] - run_x * _HALF_HEAD_PX)
    return f"M{_at(tip)}L{_at(one)}L{_at(other)}Z"


def midway_arrows(lines: Sequence[Sequence[Point]], *, runs_down: bool) -> list[str]:
    """Arrows in the middle of the long inner runs of a net's lines, so that a way back shows its direction.

    Lanes along the flow are marked sooner than the short cuts across it, and where lines of the net share a
    run only the part they share is marked.
    """
    runs: dict[tuple[Point, bool], tuple[Point, Point]] = {}
    for start, end in (pair for line in lines for pair in pairwise(line[1:-1])):
        is_across = (start[1] == end[1]) == runs_down
        if _length(start, end) >= (_LONG_ACROSS_PX if is_across else _LONG_PX):
            known = runs.setdefault((start, is_across), (start, end))
            if _length(start, end) < _length(*known):
                runs[start, is_across] = (start, end)
    return [_midway(start, end) for start, end in runs.values()]


def _midway(start: Point, end: Point) -> str:
    return arrow_head(start, _towards(start, end, (_length(start, end) + _HEAD_PX) / 2))


def _length(start: Point, end: Point) -> float:
    return abs(end[0] - start[0]) + abs(end[1] - start[1])


def _towards(start: Point, end: Point, distance: float) -> Point:
    share = distance / (_length(start, end) or 1.0)
    return start[0] + (end[0] - start[0]) * share, start[1] + (end[1] - start[1]) * share


def _at(point: Point) -> str:
    return " ".join(f"{value:.1f}".removesuffix(".0") for value in point)
