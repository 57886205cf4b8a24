"""Which check to make next: the one after which the fault is expected to be found soonest.

One step is looked ahead: the minutes of the check, then going straight to the confirmations. Bits of
information are the wrong currency near the end, where finding and confirming cost minutes.
Source: Heckerman, Breese and Rommelse, "Decision-theoretic troubleshooting" (1995), the form from memory.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from kb.diagnosis.case import Case, Check, Result, last_of_each, opened_by, rounded
from kb.diagnosis.confirming import Action, Confirming, actions_of
from kb.diagnosis.posterior import Posterior, posterior, updated


@dataclass(frozen=True)
class Proposal:
    """One open check: the minutes to the fault if it is made first, and what it saves against confirming.

    `fails` is the probability that it fails. `saves_minutes` is negative where it only costs time.
    """

    check: str
    expected_minutes: float
    saves_minutes: float
    fails: float


@dataclass(frozen=True)
class NextStep:
    """What to do next: `check`, or else confirm the cause `confirm`.

    `base_minutes` is the time without any further check; `proposals` are all open checks, best first.
    """

    base_minutes: float
    proposals: tuple[Proposal, ...]
    check: str | None
    confirm: str | None
    saves_minutes: float


def next_step(
    case: Case, results: tuple[Result, ...], least_saving: float = 0.0, set_aside: Iterable[str] = ()
) -> NextStep | None:
    """The next step after `results`; None where they contradict every cause.

    A check is proposed only if it saves more than `least_saving` minutes, so that a proposal does not
    flicker, and never if it was done or stands in `set_aside`.
    """
    found = posterior(case, results)
    if found.probabilities is None:
        return None
    masses, opened = found.probabilities, opened_by(case, results)
    confirming = Confirming(actions_of(case), case.opening)
    order = confirming.order(masses, opened)
    base = confirming.minutes_of(order, masses, case.leak_minutes, opened)
    proposals = _proposals(case, results, masses, opened, confirming, base)
    aside = frozenset(set_aside)
    best = next((each for each in proposals if each.check not in aside), None)
    leader = _leader(case, order, masses)
    if best is None or rounded(best.saves_minutes) <= rounded(least_saving):
        return NextStep(base, proposals, None, leader, 0.0)
    return NextStep(base, proposals, best.check, None, best.saves_minutes)


def after(masses: tuple[float, ...], check: Check) -> tuple[Posterior, Posterior]:
    """The probabilities if `check` fails and if it passes; `evidence` is how probable that is."""
    fails = (*check.fails, check.leak)
    return updated(masses, fails), updated(masses, tuple([1 - rate for rate in fails]))


def _proposals(
    case: Case,
    results: tuple[Result, ...],
    masses: tuple[float, ...],
    opened: frozenset[str],
    confirming: Confirming,
    base: float,
) -> tuple[Proposal, ...]:
    done = {result.check for result in last_of_each(results) if result.outcome != "not_done"}
    found = []
    for check in case.checks:
        if check.id in done:
            continue
        opening = 0.0 if not check.access or check.access in opened else case.opening.get(check.access, 0.0)
        expected = opening + check.minutes
        branches = after(masses, check)
        for branch in branches:
            if branch.probabilities is not None:
                expected += branch.evidence * confirming.minutes(
                    branch.probabilities, case.leak_minutes, opened | {check.access}
                )
        found.append((rounded(expected), check.minutes, check.id,
                      Proposal(check.id, expected, base - expected, branches[0].evidence)))  # fmt: skip
    found.sort(key=lambda each: each[:3])
    return tuple(each[3] for each in found)


def _leader(case: Case, order: tuple[Action, ...], masses: tuple[float, ...]) -> str | None:
    """The cause to confirm first; of causes with one remedy, the most probable."""
    if not order:
        return None
    place = min(order[0].places, key=lambda each: (-rounded(masses[each]), case.causes[each].id))
    return case.causes[place].id
