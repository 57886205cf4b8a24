"""Cuts the words into parts by their first letters, so that a query loads a small piece of the index.

One letter makes a part. A part that is too large is cut by the second letter, then by the third; what
stays under its two letters then also holds the foremost pages of everything that begins with them.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from itertools import groupby
from operator import itemgetter

from kb.search.postings import Posting, encode

LARGEST_PART = 18_000
"""Bytes a part may have before it is cut by one letter more."""

MOST_LETTERS = 3

FOREMOST_PAGES = 256
ANY_ENDING = "*"
"""Stands for every word that begins with the two letters before it; no word holds this sign."""

Word = tuple[str, str]
"""A word and its encoded postings."""

Part = list[str]
"""Words and their postings by turns, in the order of the words."""


def cut(postings: Mapping[str, list[Posting]]) -> dict[str, Part]:
    """The parts of the index by the letters that their words begin with."""
    words = sorted((word, encode(found)) for word, found in postings.items())
    return _cut_at(1, words, postings)


def file_name(start: str) -> str:
    """The part for `start` in its index: letters and digits as they are, all else by its number."""
    plain = "".join(each if each.isascii() and each.isalnum() else f"_{ord(each):x}_" for each in start)
    return f"words-{plain}.js"


def _cut_at(letters: int, words: Iterable[Word], postings: Mapping[str, list[Posting]]) -> dict[str, Part]:
    """`words` by that many first letters, each part cut again as long as it is too large."""
    parts: dict[str, Part] = {}
    for start, group in groupby(words, key=lambda word: word[0][:letters]):
        held = list(group)
        if letters == MOST_LETTERS or _size(held) <= LARGEST_PART:
            parts[start] = _part(held)
            continue
        longer = [word for word in held if word[0] != start]
        parts |= _cut_at(letters + 1, longer, postings)
        kept = _part(word for word in held if word[0] == start)
        if letters > 1:
            kept += [start + ANY_ENDING, encode(_foremost(postings[word] for word, _ in longer))]
        if kept:
            parts[start] = kept
    return parts


def _foremost(lists: Iterable[list[Posting]]) -> list[Posting]:
    """The pages that weigh most in any of `lists`, in the order of pages."""
    best: dict[int, int] = {}
    for page, weight in (posting for postings in lists for posting in postings):
        best[page] = max(weight, best.get(page, 0))
    heaviest = sorted(best.items(), key=lambda posting: (-posting[1], posting[0]))
    return sorted(heaviest[:FOREMOST_PAGES], key=itemgetter(0))


def _part(words: Iterable[Word]) -> Part:
    return [piece for word in words for piece in word]


def _size(words: Iterable[Word]) -> int:
    return sum(len(word) + len(found) + 6 for word, found in words)
