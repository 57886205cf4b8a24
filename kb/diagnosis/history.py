"""What past jobs tell: which faults were found, what the checks gave, how long the cures took.

A cure that did not hold has not proven its fault, so such findings are left out.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterable
from dataclasses import dataclass

from kb.diagnosis.judging import is_good
from kb.records import Finding, Job
from kb.records.job import CheckOutcome
from kb.shop import Shop

RELATED = 1.0
STRANGER = 0.5
"""A repair in the same kind of block of another maker's other kind of instrument tells half as much."""


@dataclass(frozen=True)
class Found:
    """One fault found in one job. `outcomes` says of each check that was judged whether it failed."""

    job: str
    received: datetime.date
    model: str
    fault: str
    role: str
    outcomes: tuple[tuple[str, bool], ...]
    minutes: int | None


def found_faults(shop: Shop, before: datetime.date | None = None) -> tuple[Found, ...]:
    """The faults found in jobs that came in before a day, oldest first."""
    return tuple(
        _found(shop, identifier, job, finding)
        for identifier, job in _jobs(shop)
        if before is None or job.received < before
        for finding in job.findings
        if finding.held is not False
    )


def failed(shop: Shop, model: str, outcome: CheckOutcome) -> bool | None:
    """Whether a check of a job failed: as written, or judged from its reading; None if neither tells."""
    if outcome.outcome is not None:
        return None if outcome.outcome == "not_done" else outcome.outcome == "bad"
    if outcome.reading is None:
        return None
    good = is_good(outcome.reading, shop.facts[model].check(outcome.check).good)
    return None if good is None else not good


def model_counts(past: Iterable[Found], model: str, causes: Iterable[str]) -> dict[str, float]:
    """How often each of `causes` was found on `model`."""
    counts = dict.fromkeys(causes, 0.0)
    for each in past:
        if each.model == model and each.fault in counts:
            counts[each.fault] += 1
    return counts


def family_counts(shop: Shop, past: Iterable[Found], model: str, roles: dict[str, str]) -> dict[str, float]:
    """How often the like of each cause was found on other models; `roles` gives each cause's kind of block.

    The same fault elsewhere counts whole. Another fault in the same kind of block is shared out among the
    causes there, and counts half if neither maker nor kind of instrument is the same.
    """
    counts = dict.fromkeys(roles, 0.0)
    for each in past:
        if each.model == model:
            continue
        if each.fault in counts:
            counts[each.fault] += 1
            continue
        alike = [cause for cause, role in roles.items() if role == each.role]
        for cause in alike:
            counts[cause] += (RELATED if _related(shop, model, each.model) else STRANGER) / len(alike)
    return counts


def _jobs(shop: Shop) -> list[tuple[str, Job]]:
    jobs = [(identifier, located.record) for identifier, located in shop.jobs.items()]
    return sorted(jobs, key=lambda each: (each[1].received, each[0]))


def _found(shop: Shop, identifier: str, job: Job, finding: Finding) -> Found:
    judged = [(each.check, failed(shop, job.model, each)) for each in finding.checks]
    block = shop.faults[finding.fault].record.block
    return Found(
        identifier,
        job.received,
        job.model,
        finding.fault,
        shop.facts[job.model].block(block).shared_role,
        tuple((check, bad) for check, bad in judged if bad is not None),
        finding.minutes,
    )


def _related(shop: Shop, model: str, other: str) -> bool:
    one, two = shop.facts[model].model, shop.facts[other].model
    return one.maker == two.maker or one.kind == two.kind
