"""Cases made from the worked rows, from a table in a test, and at random."""

from __future__ import annotations

import random
from collections.abc import Mapping, Sequence
from typing import Any

from kb.diagnosis.case import LEAK, Case, Cause, Check, Result
from kb.diagnosis.likelihoods import leak_rate
from tests.reference.diagnosis import number, numbers

_AS_OUTCOME = {"pass": "pass", "good": "pass", "fail": "fail", "bad": "fail", "not_done": "not_done"}


def case_of(given: Mapping[str, Any]) -> Case:
    """The case of a row: prior and P(fail) for each cause, minutes where the row has them."""
    prior = numbers(given.get("prior", given.get("p", {})))
    names = [name for name in prior if name != LEAK]
    minutes = given.get("confirm_cost", {})
    rates = {check: numbers(row) for check, row in given.get("p_fail", {}).items()}
    costs = given.get("check_cost", {})
    return Case(
        tuple(Cause(name, prior[name], number(minutes.get(name, 1))) for name in names),
        tuple(
            Check(check, number(costs.get(check, 1)), tuple(row[name] for name in names), row.get(LEAK, 0.5))
            for check, row in rates.items()
        ),
        prior.get(LEAK, 0.0),
        number(given.get("leak_cost", 0)),
    )


def results_of(given: Mapping[str, Any]) -> tuple[Result, ...]:
    """The observations of a row."""
    return tuple(
        Result(each["check"], _AS_OUTCOME[each["outcome"]], each.get("confidence", 1.0))  # type: ignore[arg-type]
        for each in given["observations"]
    )


def random_case(draw: random.Random, causes: int, checks: int, accesses: Sequence[str] = ("",)) -> Case:
    """A case with a leak of 5 %, rates between 2 % and 98 %, and doors drawn from `accesses`."""
    weights = [draw.random() + 0.01 for _ in range(causes)]
    priors = [0.95 * weight / sum(weights) for weight in weights]
    made = []
    for number_ in range(checks):
        fails = tuple(draw.uniform(0.02, 0.98) for _ in range(causes))
        made.append(
            Check(
                f"t{number_:02}", draw.randint(1, 9), fails, leak_rate(priors, fails), draw.choice(accesses)
            )
        )
    return Case(
        tuple(
            Cause(f"c{place:02}", prior, draw.randint(5, 40), draw.choice(accesses))
            for place, prior in enumerate(priors)
        ),
        tuple(made),
        1 - sum(priors),
        90.0,
        {access: 9.0 for access in accesses if access},
    )


def random_results(draw: random.Random, case: Case, count: int) -> tuple[Result, ...]:
    """Outcomes of `count` checks, some of them uncertain."""
    chosen = draw.sample([check.id for check in case.checks], count)
    return tuple(Result(check, draw.choice(("pass", "fail")), draw.choice((1.0, 0.8))) for check in chosen)
