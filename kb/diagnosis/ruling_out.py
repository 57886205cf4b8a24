"""A case after somebody looked and a cause was not it: the rest shares what is left, in the same proportions.

It is for causes that were looked at, not for checks: a check only makes a cause less likely.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace

from kb.diagnosis.case import Case, Check


def without(case: Case, ruled_out: Collection[str]) -> Case:
    """`case` without the causes named; names that are not in it change nothing.

    What had to be opened to look at them is open now. Without any cause left, only the leak remains.
    """
    gone = [cause for cause in case.causes if cause.id in ruled_out]
    if not gone:
        return case
    kept = [place for place, cause in enumerate(case.causes) if cause.id not in ruled_out]
    left = sum(case.causes[place].prior for place in kept) + case.leak
    causes = tuple(
        replace(case.causes[place], prior=case.causes[place].prior / left if left > 0 else 0.0)
        for place in kept
    )
    leak = case.leak / left if kept and left > 0 else 1.0
    opening = {**case.opening, **{cause.access: 0.0 for cause in gone if cause.access}}
    checks = tuple(_of(check, kept) for check in case.checks)
    return Case(causes, checks, leak, case.leak_minutes, opening)


def _of(check: Check, kept: list[int]) -> Check:
    """The check with the rates of the causes that are kept, and the leak as it was."""
    return replace(check, fails=tuple(check.fails[place] for place in kept))
