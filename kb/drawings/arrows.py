"""Path data for the lines: rounded corners, arrow heads, and small arrows midway on long lanes.

Heads are drawn as paths of their own, because markers need ids that could clash on a page.
"""

from __future__ import annotations

from collections.abc import Sequence

from kb.drawings.geometry import Point

_RADIUS_PX = 5.0
_HEAD_PX = 9.0
_HALF_HEAD_PX = 4.2
_LONG_PX = 60.0


def corner_path(points: Sequence[Point], square_at: frozenset[Point]) -> str:
    """A line through the points, its corners rounded except where the net forks."""
    parts = [f"M{_at(points[0])}"]
    for before, corner, after in zip(points, points[1:], points[2:], strict=False):
        radius = min(_RADIUS_PX, _length(before, corner) / 2, _length(corner, after) / 2)
        if corner in square_at:
            parts.append(f"L{_at(corner)}")
        else:
            parts.append(f"L{_at(_towards(corner, before, radius))}Q{_at(corner)} {_at(_towards(corner, after, radius))}")
    parts.append(f"L{_at(points[-1])}")
    return "".join(parts)


def arrow_head(start: Point, tip: Point) -> str:
    """A filled triangle whose tip touches the end of the line."""
    base = _towards(tip, start, _HEAD_PX)
    run_x, run_y = (tip[0] - base[0]) / _HEAD_PX, (tip[1] - base[1]) / _HEAD_PX
    one = (base[0] - run_y * _HALF_HEAD_PX, base[1] + run_x * _HALF_HEAD_PX)
    other = (base[0] + run_y * _HALF_HEAD_PX, base[1] - run_x * _HALF_HEAD_PX)
    return f"M{_at(tip)}L{_at(one)}L{_at(other)}Z"


def midway_arrows(points: Sequence[Point]) -> list[str]:
    """An arrow in the middle of every long inner run, so that a return path shows which way it goes."""
    runs = zip(points[1:], points[2:-1], strict=False)
    long_runs = [(start, end) for start, end in runs if _length(start, end) >= _LONG_PX]
    return [arrow_head(start, _towards(start, end, (_length(start, end) + _HEAD_PX) / 2)) for start, end in long_runs]


def _length(start: Point, end: Point) -> float:
    return abs(end[0] - start[0]) + abs(end[1] - start[1])


def _towards(start: Point, end: Point, distance: float) -> Point:
    length = _length(start, end) or 1.0
    return start[0] + (end[0] - start[0]) * distance / length, start[1] + (end[1] - start[1]) * distance / length


def _at(point: Point) -> str:
    return " ".join(f"{value:.1f}".removesuffix(".0") for value in point)
