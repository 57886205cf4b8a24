"""Reads the texts once and notes under every word which of them hold it, and how much it counts there."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from kb.search.postings import Posting
from kb.search.texts import SearchText
from kb.search.weighing import FIELDS, as_weight, field_scores
from kb.search.words import terms_of
from kb.wording.folding import clauses_of
from kb.wording.phrases import Phrases, words_of_clause

Postings = dict[str, list[Posting]]

MOST_REMEMBERED = 100_000


@dataclass(frozen=True)
class Counted:
    """How often one field of one text holds each word, and how many words it is long."""

    times: dict[str, int]
    length: int


def gather(texts: Sequence[SearchText], phrases: Phrases) -> Postings:
    """The postings of every word, and of the sign of every phrase; texts are numbered as they come."""
    counted = [[_counted(field, phrases) for field in _fields(text)] for text in texts]
    usual = [
        sum(fields[place].length for fields in counted) / max(1, len(counted)) for place in range(len(FIELDS))
    ]
    postings: Postings = {}
    weights = _Weights()
    for number, fields in enumerate(counted):
        for term, score in _scores(fields, usual).items():
            posting = (number, weights[score])
            if term in postings:
                postings[term].append(posting)
            else:
                postings[term] = [posting]
    return postings


class _Weights(dict[float, int]):
    """The weight of each score, worked out once: most texts share theirs."""

    def __missing__(self, score: float) -> int:
        self[score] = found = as_weight(score)
        return found


def _fields(text: SearchText) -> tuple[tuple[str, ...], ...]:
    """The texts of each field, in the order of `FIELDS`."""
    return (text.title,), text.strong, text.words


def _counted(texts: tuple[str, ...], phrases: Phrases) -> Counted:
    """As `_count`; a server that builds after each edit counts only what is new."""
    known = phrases.counted
    if texts not in known:
        if len(known) > MOST_REMEMBERED:
            known.clear()
        known[texts] = _count(texts, phrases)
    found: Counted = known[texts]
    return found


def _count(texts: Sequence[str], phrases: Phrases) -> Counted:
    clauses = [clause for text in texts for clause in clauses_of(text)]
    compounds = Counter(compound for clause in clauses for compound in clause)
    times: dict[str, int] = {}
    for compound, often in compounds.items():
        for term in terms_of(compound):
            times[term] = times.get(term, 0) + often
    for clause in clauses:
        for met in phrases.met_in(words_of_clause(clause)):
            times[met.sign] = times.get(met.sign, 0) + 1
    return Counted(times, sum(compounds.values()))


def _scores(fields: Sequence[Counted], usual: Sequence[float]) -> dict[str, float]:
    scores: dict[str, float] = {}
    for field, counted, usual_length in zip(FIELDS, fields, usual, strict=True):
        if not counted.times:
            continue
        counts = field_scores(field, counted.length, usual_length, max(counted.times.values()))
        if scores:
            for term, times in counted.times.items():
                scores[term] = scores.get(term, 0.0) + counts[times]
        else:
            scores = {term: counts[times] for term, times in counted.times.items()}
    return scores
