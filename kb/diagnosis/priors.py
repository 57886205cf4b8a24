"""How probable each cause is before a check was made: counts of past repairs, smoothed.

Sources: the Dirichlet posterior mean with Jeffreys' 1/2 for each cause; Good, "The population
frequencies of species" (Biometrika, 1953) for the share of the unseen, from memory.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

JEFFREYS = 0.5
LEAK_CASES = 1.0
"""The leak weighs as much as one past case."""

FAMILY_CASES = 4.0
"""What is known of the family weighs as much as four cases of the model."""

Counts = Mapping[str, float]


def smoothed(counts: Counts, alpha: float = JEFFREYS) -> dict[str, float]:
    """The share of each cause, every one with `alpha` cases more than it had."""
    total = sum(counts.values()) + alpha * len(counts)
    return {cause: (count + alpha) / total for cause, count in counts.items()}


def with_leak(
    counts: Counts, alpha: float = JEFFREYS, leak_cases: float = LEAK_CASES
) -> tuple[dict[str, float], float]:
    """The share of each cause and of the leak, which counts as `leak_cases` cases."""
    total = sum(counts.values()) + alpha * len(counts) + leak_cases
    return {cause: (count + alpha) / total for cause, count in counts.items()}, leak_cases / total


def unseen_share(counts: Counts) -> float:
    """The share of repairs that were the first of their kind: a hint, and useless if all or none were."""
    total = sum(counts.values())
    return sum(1 for count in counts.values() if count == 1) / total if total else 1.0


def backed_off(
    levels: Sequence[Counts], alpha: float = JEFFREYS, weight: float = FAMILY_CASES, leak_cases: float = 0.0
) -> tuple[dict[str, float], float]:
    """The share of each cause of the first level, shrunk from level to level: all repairs, family, model.

    The first level is smoothed; at each further one, what is known so far weighs as much as `weight`
    cases. `leak_cases` are added at the last level.
    """
    shares = smoothed(levels[0], alpha)
    leak = 0.0
    for depth, counts in enumerate(levels[1:], start=2):
        extra = leak_cases if depth == len(levels) else 0.0
        total = sum(counts.values()) + weight + extra
        shares = {cause: (counts.get(cause, 0.0) + weight * share) / total for cause, share in shares.items()}
        leak = extra / total
    return shares, leak
