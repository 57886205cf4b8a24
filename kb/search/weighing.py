"""How much a page is about a word, and how much a word tells: whole numbers settled at build time.

The fields of a page are weighed together in the manner of BM25F, but each field saturates by itself. So
a word in a title beats the same word in the text, however often the text repeats it.
Source: S. Robertson and H. Zaragoza, "The Probabilistic Relevance Framework: BM25 and Beyond" (2009).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

LARGEST_WEIGHT = 31
"""Weights are 1 to 31: five bits of a posting."""

_STEPS_PER_UNIT_OF_RARITY = 8


@dataclass(frozen=True)
class Field:
    """How a field counts. `length_matters` is 0 for not at all, 1 for in full proportion."""

    name: str
    weight: int
    length_matters: float


FIELDS = (Field("title", 6, 0.25), Field("strong", 4, 0.25), Field("words", 1, 0.5))
_MOST = 2 * sum(field.weight for field in FIELDS)


def field_scores(field: Field, length: int, usual_length: float, most: int) -> list[float]:
    """What 0, 1, 2, … `most` occurrences count in a field of `length` words; less than twice its weight."""
    longer = length / usual_length if usual_length else 1.0
    thinned = 1 - field.length_matters + field.length_matters * longer
    return [2 * field.weight * times / (times + thinned) for times in range(most + 1)]


def as_weight(score: float) -> int:
    """The summed scores of a page's fields as a whole number from 1 to 31."""
    return max(1, round(LARGEST_WEIGHT * score / _MOST))


def rarity_steps(pages: int) -> list[int]:
    """For each step of rarity above the first, the most pages a word may be on to reach it.

    A table instead of a logarithm, so that Python and every browser come to the same ranking.
    """
    steps: list[int] = []
    while reach := _most_pages_at(len(steps) + 2, pages):
        steps.append(reach)
    return steps


def rarity(steps: Sequence[int], pages_with_word: int) -> int:
    """How much a word tells, from 1 for a word on every page."""
    return 1 + sum(step >= pages_with_word for step in steps)


def _most_pages_at(step: int, pages: int) -> int:
    """ln(1 + (N - n + 1/2) / (n + 1/2)) >= step / 8, solved for n. The logarithm is never negative."""
    at_least = math.exp(step / _STEPS_PER_UNIT_OF_RARITY)
    return max(0, math.floor((pages + 1) / at_least - 0.5))
