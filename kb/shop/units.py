"""One unit over the years: the jobs of one model and serial, and which cure did not last.

Two spellings of one number are one unit: "SX16 137" is SX16-0137. A serial without any figure ("no plate")
tells no unit from another, so each such job stands alone.
"""

from __future__ import annotations

import datetime
from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from kb.records import Job
from kb.shop.serials import plain
from kb.shop.shop import ModelFacts, Shop

SOON = datetime.timedelta(days=365)
"""The same fault so soon after going home means that the cure did not hold. Common practice, no source."""


@dataclass(frozen=True)
class Unit:
    """One instrument with its jobs, oldest first; `serial` as the newest of them spells it."""

    model: str
    slug: str
    serial: str
    jobs: tuple[str, ...]

    @property
    def id(self) -> str:
        """Model and number, as they stand in the address of its page."""
        return f"{self.model}/{self.slug}"


@dataclass(frozen=True)
class Return:
    """A fault that was found on the same unit again: by which job, and so many days after it went home."""

    job: str
    days: int


def units_of(shop: Shop) -> Mapping[str, Unit]:
    """Every unit that was on the bench, by its id."""
    found: dict[tuple[str, str], list[str]] = defaultdict(list)
    for identifier, located in sorted(shop.jobs.items(), key=lambda item: (item[1].record.received, item[0])):
        job = located.record
        found[job.model, number_of(shop.facts[job.model], job.serial, identifier)].append(identifier)
    units = (
        Unit(model, slug, shop.jobs[jobs[-1]].record.serial, tuple(jobs))
        for (model, slug), jobs in sorted(found.items())
    )
    return {unit.id: unit for unit in units}


def number_of(facts: ModelFacts, serial: str, job: str) -> str:
    """What tells a unit from the others of its model, fit for an address."""
    typed = plain(serial)
    if not any(each.isdigit() for each in typed):
        return f"job-{job}"
    prefixes = {each.prefix for ranges in facts.ranges.values() for each in ranges}
    for prefix in sorted(prefixes, key=lambda each: (-len(each), each)):
        rest = typed.removeprefix(prefix)
        if rest.isdigit() and (rest != typed or not prefix):
            return _slug(prefix, rest)
    if typed.isdigit() and len(prefixes) == 1:
        return _slug(prefixes.pop(), typed)
    return typed.lower()


def _slug(prefix: str, number: str) -> str:
    bare = number.lstrip("0") or "0"
    return f"{prefix.lower()}-{bare}" if prefix else bare


def returned(jobs: Iterable[tuple[str, Job]], identifier: str, fault: str) -> Return | None:
    """The first later job of a unit that soon found `fault` again; `jobs` are all of them, oldest first."""
    in_order = list(jobs)
    at = next(number for number, (each, _) in enumerate(in_order) if each == identifier)
    first = in_order[at][1]
    home = first.returned or first.received
    for later, job in in_order[at + 1 :]:
        found = any(finding.fault == fault for finding in job.findings)
        if found and job.received - home <= SOON:
            return Return(later, max(0, (job.received - home).days))
    return None
