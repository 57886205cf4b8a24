"""How much a check tells, in bits: shown beside a proposal, never what decides it."""

from __future__ import annotations

import math
from collections.abc import Sequence

from kb.diagnosis.case import Check
from kb.diagnosis.posterior import updated


def entropy(probabilities: Sequence[float]) -> float:
    """What is still unknown, in bits."""
    return -sum(each * math.log2(each) for each in probabilities if each > 0) + 0.0


def gain(masses: tuple[float, ...], check: Check) -> float:
    """By how many bits `check` lowers the entropy on average; never below 0."""
    fails = (*check.fails, check.leak)
    left = 0.0
    for likelihoods in (fails, tuple(1 - rate for rate in fails)):
        branch = updated(masses, likelihoods)
        if branch.probabilities is not None:
            left += branch.evidence * entropy(branch.probabilities)
    return max(0.0, entropy(masses) - left)
