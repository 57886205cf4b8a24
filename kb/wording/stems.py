"""A word without its ending, so that one form of it is found by another."""

from __future__ import annotations

from functools import lru_cache


@lru_cache(maxsize=1 << 15)
def stem(word: str) -> str:
    """A word without its commonest English endings, never shorter than three letters."""
    for ending in ("ings", "ing", "edly", "ed", "es", "s", "ly"):
        base = word.removesuffix(ending)
        if base != word and len(base) >= 3:
            if len(base) > 3 and base[-1] == base[-2] and base[-1] not in "lsz":
                base = base[:-1]
            return base.removesuffix("e") if len(base) > 3 else base
    return word.removesuffix("e") if len(word) > 3 else word
