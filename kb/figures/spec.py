"""What a figure shows, as plain data: comparable, hashable and without a drawing library.

A calculator decides what is worth seeing; how it is drawn is the business of `draw`. Values are SI.
"""

from __future__ import annotations

import hashlib
import json
import math
from dataclasses import asdict, dataclass
from typing import Literal


@dataclass(frozen=True)
class Axis:
    """One axis: `dimension` names the unit its numbers are shown in, "number" for bare counts."""

    label: str
    dimension: str = "number"
    is_log: bool = False


@dataclass(frozen=True)
class Series:
    """One curve, row of bars or set of single points; `label` is shown in the legend."""

    label: str
    x: tuple[float, ...]
    y: tuple[float, ...]
    kind: Literal["line", "bars", "points"] = "line"


@dataclass(frozen=True)
class Mark:
    """A straight line across the whole figure at `value`: "horizontal" at a y, "vertical" at an x."""

    direction: Literal["horizontal", "vertical"]
    value: float
    label: str


@dataclass(frozen=True)
class FigureSpec:
    """A whole figure; `description` is the text for a reader who can't see it."""

    title: str
    description: str
    x: Axis
    y: Axis
    series: tuple[Series, ...]
    marks: tuple[Mark, ...] = ()

    def __post_init__(self) -> None:
        if not self.series:
            raise ValueError("a figure shows at least one series")
        for item in self.series:
            if len(item.x) != len(item.y):
                raise ValueError(f"{item.label!r} has {len(item.x)} x values and {len(item.y)} y values")
            if not all(math.isfinite(value) for value in (*item.x, *item.y)):
                raise ValueError(f"{item.label!r} holds a value that can't be drawn")
            for axis, values in ((self.x, item.x), (self.y, item.y)):
                if axis.is_log and min(values, default=1.0) <= 0:
                    raise ValueError(f"{item.label!r} is not above zero on a logarithmic axis")

    def as_json(self) -> str:
        """The same text for the same figure, always."""
        return json.dumps(asdict(self), sort_keys=True, ensure_ascii=False, separators=(",", ":"))

    @property
    def digest(self) -> str:
        """A name for exactly this content, in hexadecimal."""
        return hashlib.sha256(self.as_json().encode()).hexdigest()
