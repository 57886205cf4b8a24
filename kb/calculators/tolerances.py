"""A tolerance that remembers whose it is, so that a page can put another one in its place.

It is a plain pair for everybody who computes with it.
"""

from __future__ import annotations

from typing import Self


class PartTolerance(tuple[float, float]):
    """How far below and above its value a part may lie, as fractions; `key` is the part's input."""

    key: str

    def __new__(cls, minus: float, plus: float, key: str) -> Self:
        """The tolerance of the input called `key`."""
        made = super().__new__(cls, (minus, plus))
        made.key = key
        return made
