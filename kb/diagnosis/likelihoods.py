"""How probable it is that a check fails under a cause: what is expected, and what was seen.

An expectation counts as a few past outcomes, so that real ones overrule it in time.
Source: the m-estimate (Cestnik, "Estimating probabilities", 1990), from memory.
"""

from __future__ import annotations

from collections.abc import Sequence

EXPECTED_TO_FAIL = 0.95
EXPECTED_TO_PASS = 0.05


def smoothed_rate(fails: float, passes: float, alpha: float = 0.5) -> float:
    """P(fail) from counts alone, `alpha` added to both: Jeffreys with 1/2, Laplace with 1."""
    return (fails + alpha) / (fails + passes + 2 * alpha)


def learned_rate(fails: float, passes: float, expected: float, weight: float) -> float:
    """P(fail) from counts and an expectation that weighs as much as `weight` outcomes."""
    return (fails + weight * expected) / (fails + passes + weight)


def leak_rate(priors: Sequence[float], fails: Sequence[float]) -> float:
    """P(fail) under a cause nobody recorded: the average over the recorded ones, weighed by their priors.

    A flat 1/2 would let results that say nothing about the recorded causes crush the leak.
    """
    known = sum(priors)
    return sum(prior * rate for prior, rate in zip(priors, fails, strict=True)) / known if known > 0 else 0.5
