"""How good a ranking was, once the fault is known: the sums are kept with the number of repairs.

Sources: Brier, "Verification of forecasts expressed in terms of probability" (1950), the sum over all
classes, so that it runs from 0 to 2; the mean reciprocal rank as of TREC-8 (1999); both from memory.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from kb.diagnosis.case import LEAK, rounded

LEAST_PROBABILITY = 1e-15


@dataclass(frozen=True)
class Prediction:
    """The probabilities given to one repair, the leak among them, and what it turned out to be."""

    probabilities: Mapping[str, float]
    truth: str

    @property
    def rank(self) -> int:
        """The place of the truth, from 1; ties by id, the leak last. 0 if it was given no place."""
        order = sorted(
            self.probabilities, key=lambda each: (-rounded(self.probabilities[each]), each == LEAK, each)
        )
        return order.index(self.truth) + 1 if self.truth in self.probabilities else 0


@dataclass(frozen=True)
class Scores:
    """The scores of `n` repairs: counts for the first places, means in nats and in Brier's unit.

    The means are None without a repair.
    """

    n: int
    first: int
    first_three: int
    log_loss: float | None
    brier: float | None
    reciprocal_rank: float | None


def scores(predictions: Iterable[Prediction]) -> Scores:
    """The scores of all predictions together."""
    given = tuple(predictions)
    ranks = [each.rank for each in given]
    return Scores(
        len(given),
        sum(1 for rank in ranks if rank == 1),
        sum(1 for rank in ranks if 1 <= rank <= 3),
        _mean([log_loss(each) for each in given]),
        _mean([brier(each) for each in given]),
        _mean([1 / rank if rank else 0.0 for rank in ranks]),
    )


def log_loss(prediction: Prediction) -> float:
    """Minus the natural logarithm of the probability the truth had."""
    return -math.log(max(prediction.probabilities.get(prediction.truth, 0.0), LEAST_PROBABILITY)) + 0.0


def brier(prediction: Prediction) -> float:
    """The squared distance to certainty of the truth, summed over all causes."""
    missing = 0.0 if prediction.truth in prediction.probabilities else 1.0
    return missing + sum(
        (each - (cause == prediction.truth)) ** 2 for cause, each in prediction.probabilities.items()
    )


def _mean(values: list[float]) -> float | None:
    return math.fsum(values) / len(values) if values else None
