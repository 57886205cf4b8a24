"""What past jobs tell: which faults were found, what the checks gave, how long the cures took.

What is counted are jobs: a fault that stands twice among the findings of one job was found in one job, and a
job with two faults is one job for each of them and one job of the whole. A cure that did not hold has not
proven its fault, so such findings are left out.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

from kb.diagnosis.judging import is_good
from kb.records import Fault, Finding, Job
from kb.records.job import CheckOutcome
from kb.shop import Shop

RELATED = 1.0
STRANGER = 0.5
"""A repair in the same kind of block of another maker's other kind of instrument tells half as much."""


@dataclass(frozen=True)
class Found:
    """One fault found in one job, however many findings tell of it.

    `outcomes` says of each check that was judged whether it failed; `minutes` are those of all its findings.
    """

    job: str
    received: datetime.date
    model: str
    fault: str
    role: str
    outcomes: tuple[tuple[str, bool], ...]
    minutes: int | None


class History:
    """What is asked of a shop again and again while several cases of it are made; read once."""

    def __init__(self, shop: Shop) -> None:
        self.shop = shop
        self._on: dict[str, tuple[tuple[str, Fault, frozenset[str]], ...]] = {}

    @cached_property
    def _found(self) -> tuple[Found, ...]:
        return found_faults(self.shop)

    def found(self, before: datetime.date | None) -> tuple[Found, ...]:
        """As `found_faults`."""
        return tuple(each for each in self._found if before is None or each.received < before)

    def faults_on(self, model: str) -> tuple[tuple[str, Fault, frozenset[str]], ...]:
        """The faults on a model with the revisions they are on, by id."""
        if model not in self._on:
            self._on[model] = tuple(
                (identifier, located.record, frozenset(self.shop.revisions_of_fault(located.record, model)))
                for identifier, located in sorted(self.shop.faults.items())
                if model in located.record.models
            )
        return self._on[model]


def found_faults(shop: Shop, before: datetime.date | None = None) -> tuple[Found, ...]:
    """The faults found in jobs that came in before a day, oldest job first, each once for each job."""
    return tuple(
        _found(shop, identifier, job, fault, findings)
        for identifier, job in _jobs(shop)
        if before is None or job.received < before
        for fault, findings in proven(job).items()
    )


def proven(job: Job) -> dict[str, tuple[Finding, ...]]:
    """The faults a job found, in the order of its record, with the findings that tell of each.

    Findings whose cure did not hold are left out.
    """
    told: dict[str, tuple[Finding, ...]] = {}
    for finding in job.findings:
        if finding.held is not False:
            told[finding.fault] = (*told.get(finding.fault, ()), finding)
    return told


def outcomes_of(shop: Shop, model: str, findings: Iterable[Finding]) -> tuple[tuple[str, bool], ...]:
    """Each check that was judged and whether it failed; one that was made again tells by its last outcome."""
    judged = {
        each.check: bad
        for finding in findings
        for each in finding.checks
        if (bad := failed(shop, model, each)) is not None
    }
    return tuple(judged.items())


def failed(shop: Shop, model: str, outcome: CheckOutcome) -> bool | None:
    """Whether a check of a job failed: as written, or judged from its reading; None if neither tells."""
    if outcome.outcome is not None:
        return None if outcome.outcome == "not_done" else outcome.outcome == "bad"
    if outcome.reading is None:
        return None
    good = is_good(outcome.reading, shop.facts[model].check(outcome.check).good)
    return None if good is None else not good


def model_counts(past: Iterable[Found], model: str, causes: Iterable[str]) -> dict[str, float]:
    """In how many jobs each of `causes` was found on `model`."""
    counts = dict.fromkeys(causes, 0.0)
    for each in past:
        if each.model == model and each.fault in counts:
            counts[each.fault] += 1
    return counts


def jobs_with(past: Iterable[Found], model: str, causes: Iterable[str]) -> int:
    """How many jobs on `model` found one of `causes`: what the counts of the causes are said to be of.

    Less than their sum where one job found several.
    """
    wanted = frozenset(causes)
    return len({each.job for each in past if each.model == model and each.fault in wanted})


def family_counts(shop: Shop, past: Iterable[Found], model: str, roles: dict[str, str]) -> dict[str, float]:
    """In how many jobs the like of each cause was found on other models; `roles` gives its kind of block.

    The same fault elsewhere counts whole. Another fault in the same kind of block is shared out among the
    causes there, and counts half if neither maker nor kind of instrument is the same.
    """
    counts = dict.fromkeys(roles, 0.0)
    by_role: dict[str, list[str]] = {}
    for cause, role in roles.items():
        by_role.setdefault(role, []).append(cause)
    shares: dict[tuple[str, str], float] = {}
    for each in past:
        if each.model == model:
            continue
        if each.fault in counts:
            counts[each.fault] += 1
            continue
        alike = by_role.get(each.role, ())
        if alike and (each.role, each.model) not in shares:
            share = RELATED if _related(shop, model, each.model) else STRANGER
            shares[each.role, each.model] = share / len(alike)
        for cause in alike:
            counts[cause] += shares[each.role, each.model]
    return counts


def _jobs(shop: Shop) -> list[tuple[str, Job]]:
    jobs = [(identifier, located.record) for identifier, located in shop.jobs.items()]
    return sorted(jobs, key=lambda each: (each[1].received, each[0]))


def _found(shop: Shop, identifier: str, job: Job, fault: str, findings: tuple[Finding, ...]) -> Found:
    block = shop.faults[fault].record.block
    minutes = [each.minutes for each in findings if each.minutes is not None]
    return Found(
        identifier,
        job.received,
        job.model,
        fault,
        shop.facts[job.model].block(block).shared_role,
        outcomes_of(shop, job.model, findings),
        sum(minutes) if minutes else None,
    )


def _related(shop: Shop, model: str, other: str) -> bool:
    one, two = shop.facts[model].model, shop.facts[other].model
    return one.maker == two.maker or one.kind == two.kind
