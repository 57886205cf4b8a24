"""The pages of one word as a short string: each page's distance from the one before, and its weight.

Letters that need no escape in a script carry five bits each and say whether more follow. That is about
2.3 bytes a page, where plain numbers would take six.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import lru_cache

LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_"
WEIGHTS = 32
_VALUES = {letter: value for value, letter in enumerate(LETTERS)}

Posting = tuple[int, int]
"""A page's number and its weight."""


def encode(postings: Iterable[Posting]) -> str:
    """The string for `postings`, which come in the order of their pages."""
    pieces: list[str] = []
    last = 0
    for page, weight in postings:
        pieces.append(_letters((page - last) * WEIGHTS + weight))
        last = page
    return "".join(pieces)


def decode(letters: str) -> Iterator[Posting]:
    """The postings in a string that `encode` made."""
    page = 0
    for number in decode_numbers(letters):
        page += number // WEIGHTS
        yield page, number % WEIGHTS


def encode_numbers(numbers: Iterable[int]) -> str:
    """Whole numbers from 0 as letters, small ones short."""
    return "".join(_letters(number) for number in numbers)


def decode_numbers(letters: str) -> Iterator[int]:
    """The numbers in a string that `encode_numbers` made."""
    number = shift = 0
    for letter in letters:
        value = _VALUES[letter]
        number |= (value & 31) << shift
        shift += 5
        if value < 32:
            yield number
            number = shift = 0


@lru_cache(maxsize=1 << 16)
def _letters(number: int) -> str:
    found = ""
    while number >= 32:
        found += LETTERS[32 + (number & 31)]
        number >>= 5
    return found + LETTERS[number]
