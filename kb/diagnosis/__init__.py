"""Which fault it is likely to be, and which check to make next: pure functions over values.

`kb.diagnosis.from_shop` makes the values out of a shop's records; nothing else here knows of records.
"""

from __future__ import annotations

from kb.diagnosis.case import LEAK, Case, Cause, Check, Outcome, Result
from kb.diagnosis.looking_ahead import NextStep, Proposal, next_step
from kb.diagnosis.posterior import Posterior, posterior, ranking, verdict
from kb.diagnosis.rates import rate_text, wilson

__all__ = [
    "LEAK", "Case", "Cause", "Check", "NextStep", "Outcome", "Posterior", "Proposal", "Result",
    "next_step", "posterior", "ranking", "rate_text", "verdict", "wilson",
]  # fmt: skip
