"""What is said to somebody whose quantity cannot be read.

One plain line that quotes what was written, and one that shows how to write it. Nothing here may put
a control character or a screenful of pasted text into a message.
"""

from __future__ import annotations

import unicodedata

LONGEST_QUOTE = 40


class QuantityError(ValueError):
    """A text is not the quantity it should be: `what` is wrong, and `advice` shows what would be right."""

    def __init__(self, what: str, advice: str) -> None:
        super().__init__(what, advice)
        self.what = what
        self.advice = advice

    def __str__(self) -> str:
        return f"{self.what}; {self.advice}" if self.advice else self.what


def quoted(text: str) -> str:
    """Return `text` in quotation marks, on one line: shortened, with unprintable characters escaped."""
    shown = "".join(_visible(character) for character in text[: LONGEST_QUOTE + 1])
    if len(text) > LONGEST_QUOTE or len(shown) > LONGEST_QUOTE:
        shown = shown[: LONGEST_QUOTE - 1] + "…"
    return f'"{shown}"'


def _visible(character: str) -> str:
    if character.isprintable():
        return character
    if unicodedata.category(character) == "Zs":
        return " "
    return character.encode("unicode_escape").decode("ascii")
