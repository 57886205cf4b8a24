"""A tolerance that remembers whose it is, so that a page can put another one in its place.

It is a plain pair for everybody who computes with it.
"""

from __future__ import annotations

from typing import Self


class PartTolerance(tuple[float, float]):
    """How far below and above its value a part may lie, as fractions; `key` is the part's input.

    Where the part states none, the input `{shared}_tolerance` decides, which several parts may share.
    """

    key: str
    shared: str

    def __new__(cls, minus: float, plus: float, key: str, shared: str = "") -> Self:
        """The tolerance of the input called `key`."""
        made = super().__new__(cls, (minus, plus))
        made.key, made.shared = key, shared or key
        return made

    @property
    def source(self) -> str:
        """Where it comes from, as a plan for the page says it."""
        return f"={self.key}" if self.shared == self.key else f"={self.key}/{self.shared}"
