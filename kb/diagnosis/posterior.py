"""What is probable once checks were made: naive Bayes over single causes, and when not to believe it.

Outcomes count as independent given the cause, so one fact must be entered once. Results that contradict
every cause give a message and no number.
Source: Pearl, "Probabilistic Reasoning in Intelligent Systems" (1988) for uncertain readings, from memory.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from kb.diagnosis.case import Case, Check, Result, last_of_each, rounded

Verdict = Literal["consistent", "doubtful", "contradiction"]

AGAINST = 0.1
"""An outcome speaks against a cause that would give it in a tenth of all cases or less."""

TOO_MANY_AGAINST = 2
"""One reading may be wrong. Where every cause would need two to be wrong, no cause is believable."""


@dataclass(frozen=True)
class Posterior:
    """The probability of each cause, the leak's at the end; None where the results rule out every one.

    `evidence` is the probability of the results themselves.
    """

    probabilities: tuple[float, ...] | None
    evidence: float


@dataclass(frozen=True)
class Effect:
    """What one result did to one cause, all the other results being as they are."""

    cause: str
    before: float
    after: float

    @property
    def log_odds(self) -> float | None:
        """The change of the natural logarithm of the odds; None where a probability is 0 or 1."""
        if not (0 < self.before < 1 and 0 < self.after < 1):
            return None
        return math.log(self.after / (1 - self.after)) - math.log(self.before / (1 - self.before))


def factors(check: Check, result: Result) -> tuple[float, ...]:
    """P(outcome | cause) for each cause and the leak; 1 for a check that was not done."""
    rates = (*check.fails, check.leak)
    if result.outcome == "not_done":
        return (1.0,) * len(rates)
    sure = result.confidence if result.outcome == "fail" else 1 - result.confidence
    return tuple(sure * rate + (1 - sure) * (1 - rate) for rate in rates)


def posterior(case: Case, results: tuple[Result, ...]) -> Posterior:
    """The probabilities after `results`; the last entry of a check holds, checks not done count nothing."""
    masses, evidence = case.priors, 1.0
    for result in last_of_each(results):
        if result.outcome == "not_done":
            continue
        found = updated(masses, factors(case.by_check[result.check], result))
        evidence *= found.evidence
        if found.probabilities is None:
            return Posterior(None, 0.0)
        masses = found.probabilities
    return Posterior(masses, evidence)


def updated(masses: tuple[float, ...], likelihoods: tuple[float, ...]) -> Posterior:
    """One step of Bayes' rule."""
    products = tuple(mass * factor for mass, factor in zip(masses, likelihoods, strict=True))
    total = sum(products)
    if total <= 0:
        return Posterior(None, 0.0)
    return Posterior(tuple(product / total for product in products), total)


def ranking(case: Case, probabilities: tuple[float, ...]) -> tuple[int, ...]:
    """The causes' places in the case, most probable first; ties by minutes, then id, the leak last."""

    def key(place: int) -> tuple[int, bool, float, str]:
        if place == len(case.causes):
            return -rounded(probabilities[place]), True, case.leak_minutes, ""
        cause = case.causes[place]
        return -rounded(probabilities[place]), False, cause.minutes, cause.id

    return tuple(sorted(range(len(probabilities)), key=key))


def speaking_against(case: Case, results: tuple[Result, ...]) -> tuple[tuple[str, ...], ...]:
    """For each cause the checks whose outcome speaks against it."""
    done = [(result, factors(case.by_check[result.check], result)) for result in last_of_each(results)]
    return tuple(
        tuple(result.check for result, likelihoods in done if likelihoods[place] <= AGAINST)
        for place in range(len(case.causes))
    )


def verdict(case: Case, results: tuple[Result, ...]) -> Verdict:
    """Whether the numbers may be shown.

    `contradiction`: the results rule out every cause, or each cause has several of them against it; no
    number is to be shown. `doubtful`: each cause has one against it, or the leak leads; the numbers stand
    beside a warning.
    """
    found = posterior(case, results)
    if found.probabilities is None:
        return "contradiction"
    fewest = min((len(against) for against in speaking_against(case, results)), default=0)
    if fewest >= TOO_MANY_AGAINST:
        return "contradiction"
    leads = ranking(case, found.probabilities)[0] == len(case.causes)
    return "doubtful" if fewest or (leads and results) else "consistent"


def effects(case: Case, results: tuple[Result, ...], check: str) -> tuple[Effect, ...]:
    """What the result of `check` did to each cause and the leak; empty in a contradiction."""
    held = last_of_each(results)
    after = posterior(case, held).probabilities
    before = posterior(case, tuple(result for result in held if result.check != check)).probabilities
    if after is None or before is None:
        return ()
    return tuple(Effect(*each) for each in zip(case.names, before, after, strict=True))


def worth_repeating(case: Case, results: tuple[Result, ...]) -> str | None:
    """The check whose outcome the others make least probable: the one to make again first.

    Ties go to the check that takes less time, then to the first id. None where nothing was done.
    """
    done = [result for result in last_of_each(results) if result.outcome != "not_done"]

    def key(result: Result) -> tuple[int, float, str]:
        check = case.by_check[result.check]
        rest = posterior(case, tuple(other for other in done if other is not result)).probabilities
        expected = 1.0 if rest is None else updated(rest, factors(check, result)).evidence
        return rounded(expected), check.minutes, check.id

    return min(done, key=key).check if done else None
