"""When two symptoms say the same: a plain comparison of their telling words."""

from __future__ import annotations

import re

from kb.wording.stems import stem

Words = frozenset[str]

_SMALL_WORDS = (
    "a an the is are was be been it its this that of on in at to for with from by and or as when while "
    "after before but so if then than very only just all any some there does do did has have had"
)
_EMPTY_WORDS = frozenset(_SMALL_WORDS.split())
_SAME_ENOUGH = 0.5


def words_of(symptom: str) -> Words:
    """The telling words of a symptom, roughly stemmed: `clock stops` and `clock stopped` are equal."""
    found = re.findall(r"[a-z0-9]+", symptom.lower().replace("n't", " not"))
    return frozenset(stem(word) for word in found if word not in _EMPTY_WORDS)


def alike(first: Words, second: Words) -> bool:
    """Whether two symptoms share at least half of the words that either of them has."""
    if not first or not second:
        return False
    return len(first & second) / len(first | second) >= _SAME_ENOUGH
