"""What a diagnosis is made of: causes, checks and what the checks gave, as plain values.

Nothing here knows of records or of a shop, and nothing needs more than the four rules of arithmetic:
a browser holds the same values and comes to the same numbers.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Literal

LEAK = "LEAK"
"""The name of the cause that nobody has recorded yet."""

Outcome = Literal["pass", "fail", "not_done"]

_STEPS_PER_UNIT = 1e9


def rounded(value: float) -> int:
    """`value` in whole steps of 1e-9, halves upwards: what every order is decided by.

    The last digits of a sum depend on the order of its terms. Written with `floor`, so that Python and
    a browser round alike.
    """
    return math.floor(value * _STEPS_PER_UNIT + 0.5)


@dataclass(frozen=True)
class Cause:
    """One cause that may be the fault; `minutes` is the time it takes to confirm it.

    `access` names what has to be opened before, `remedy` the cure where several causes share one; both
    are empty where that is of no importance.
    """

    id: str
    prior: float
    minutes: float
    access: str = ""
    remedy: str = ""


@dataclass(frozen=True)
class Check:
    """One check: its minutes, and how probable it is that it fails under each cause.

    `fails` has one probability for each cause of the case, in the order of the causes; `leak` is the
    same for the cause that is not recorded.
    """

    id: str
    minutes: float
    fails: tuple[float, ...]
    leak: float
    access: str = ""


@dataclass(frozen=True)
class Result:
    """What a check gave. `confidence` is how sure the reading is: 1 is certain, 0.5 says nothing."""

    check: str
    outcome: Outcome
    confidence: float = 1.0


@dataclass(frozen=True)
class Case:
    """One unit with one fault: exactly one cause is true, or the leak is.

    Raises ValueError where a probability or a time makes no sense: that is a mistake of the program,
    never of a record.
    """

    causes: tuple[Cause, ...]
    checks: tuple[Check, ...]
    leak: float
    leak_minutes: float
    opening: Mapping[str, float] = field(default_factory=dict)

    def __post_init__(self) -> None:
        _refuse_repeated([cause.id for cause in self.causes], "cause")
        _refuse_repeated([check.id for check in self.checks], "check")
        if abs(math.fsum(self.priors) - 1) > 1e-9 or min(self.priors) < 0:
            raise ValueError("the priors and the leak do not add up to 1")
        times = [*(each.minutes for each in self.causes), *(each.minutes for each in self.checks)]
        if min(times, default=1.0) <= 0 or min((*self.opening.values(), self.leak_minutes)) < 0:
            raise ValueError("a check or a confirmation takes no time")
        for check in self.checks:
            if len(check.fails) != len(self.causes):
                raise ValueError(f"check {check.id} has {len(check.fails)} probabilities")
            if not all(0 <= each <= 1 for each in (*check.fails, check.leak)):
                raise ValueError(f"check {check.id} has a probability outside 0 to 1")

    @property
    def priors(self) -> tuple[float, ...]:
        """The prior of each cause, the leak's at the end."""
        return (*(cause.prior for cause in self.causes), self.leak)

    @cached_property
    def names(self) -> tuple[str, ...]:
        """The id of each cause, `LEAK` at the end."""
        return (*(cause.id for cause in self.causes), LEAK)

    @cached_property
    def by_check(self) -> Mapping[str, Check]:
        """The checks by id."""
        return {check.id: check for check in self.checks}


def _refuse_repeated(names: list[str], what: str) -> None:
    if len(set(names)) != len(names):
        raise ValueError(f"a {what} stands twice in the case")


def last_of_each(results: tuple[Result, ...]) -> tuple[Result, ...]:
    """One result for each check: where a check was done again, the last entry holds."""
    return tuple({result.check: result for result in results}.values())


def opened_by(case: Case, results: tuple[Result, ...]) -> frozenset[str]:
    """What is open already, because a check behind it was done."""
    done = {result.check for result in results if result.outcome != "not_done"}
    return frozenset(check.access for check in case.checks if check.access and check.id in done)
