"""What a shop's synonyms must keep to beyond their form: a phrase means one thing."""

from __future__ import annotations

from collections.abc import Iterator

from kb.problems import Problem
from kb.reading import Located
from kb.records import Synonyms
from kb.wording.phrases import Key, phrase_key


def broken(synonyms: Located[Synonyms]) -> Iterator[Problem]:
    """A problem for each phrase that stands in an earlier group too, in whatever form of its words."""
    first: dict[Key, tuple[int, int]] = {}
    for number, group in enumerate(synonyms.record.groups):
        for place, phrase in enumerate(group):
            taken = first.setdefault(phrase_key(phrase), (number, place))
            if taken[0] != number:
                line = synonyms.place("groups", *taken).line
                what = f'"{phrase}" stands in a group before'
                advice = f"it is in line {line}; keep one of them, or make the two groups one"
                yield synonyms.problem(("groups", number, place), what, advice)
