"""Reads the pages once and notes under every word which pages it is on, and how much it counts there."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from kb.pages.pageset import Page, SearchText
from kb.search.postings import Posting
from kb.search.weighing import FIELDS, as_weight, field_scores
from kb.search.words import compounds_of, terms_of


@dataclass(frozen=True)
class Gathered:
    """The pages that can be found, by path, and the postings of every word."""

    pages: tuple[Page, ...]
    postings: dict[str, list[Posting]]


@dataclass(frozen=True)
class _Counted:
    """How often one field of one page holds each word, and how many words it is long."""

    times: dict[str, int]
    length: int


def gather(pages: Sequence[Page]) -> Gathered:
    """Everything the index is made of; pages without search text are not to be found."""
    findable = sorted((page for page in pages if page.search), key=lambda page: page.path)
    counted = [[_count(texts) for texts in _texts(page.search)] for page in findable if page.search]
    usual = [
        sum(page[place].length for page in counted) / max(1, len(counted)) for place in range(len(FIELDS))
    ]
    postings: dict[str, list[Posting]] = {}
    for number, fields in enumerate(counted):
        for term, score in _scores(fields, usual).items():
            postings.setdefault(term, []).append((number, as_weight(score)))
    return Gathered(tuple(findable), postings)


def _texts(search: SearchText) -> tuple[tuple[str, ...], ...]:
    """The texts of each field, in the order of `FIELDS`."""
    return (search.title,), search.strong, search.words


def _count(texts: Sequence[str]) -> _Counted:
    compounds = Counter(compound for text in texts for compound in compounds_of(text))
    times: dict[str, int] = {}
    for compound, often in compounds.items():
        for term in terms_of(compound):
            times[term] = times.get(term, 0) + often
    return _Counted(times, sum(compounds.values()))


def _scores(fields: Sequence[_Counted], usual: Sequence[float]) -> dict[str, float]:
    scores: dict[str, float] = {}
    for field, counted, usual_length in zip(FIELDS, fields, usual, strict=True):
        if not counted.times:
            continue
        counts = field_scores(field, counted.length, usual_length, max(counted.times.values()))
        for term, times in counted.times.items():
            scores[term] = scores.get(term, 0.0) + counts[times]
    return scores
