"""Which revision a unit on the bench is: by its serial, by the sight marks somebody saw, by what is written.

What is written counts, then what serial and marks tell together. Nothing is guessed where they disagree.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from kb.records import Job
from kb.shop.shop import ModelFacts


@dataclass(frozen=True)
class Told:
    """What each way of telling says of one unit.

    `by_marks` holds the revisions that carry every mark that was seen, None where none was looked for.
    `strange` are the places in the list of those marks that no revision of the model has.
    """

    by_serial: tuple[str, ...]
    by_marks: tuple[str, ...] | None
    strange: tuple[int, ...] = ()

    @property
    def together(self) -> tuple[str, ...]:
        """What both tell: marks decide among the serial's revisions, and alone where it has none."""
        if self.by_marks is None:
            return self.by_serial
        return tuple(each for each in self.by_marks if each in self.by_serial or not self.by_serial)


def told(facts: ModelFacts, job: Job) -> Told:
    """What the unit of a job tells; raises UnreadableSerials in a model that has problems."""
    by_serial = facts.revisions_for_serial(job.serial)
    if not job.seen:
        return Told(by_serial, None)
    carriers = [revisions_with(facts, mark) for mark in job.seen]
    strange = tuple(number for number, found in enumerate(carriers) if not found)
    known = [set(found) for found in carriers if found]
    by_marks = tuple(each for each in facts.revision_ids if all(each in found for found in known))
    return Told(by_serial, by_marks if known else None, strange)


def revisions_of_unit(facts: ModelFacts, job: Job) -> tuple[str, ...]:
    """The revisions a job's unit may be: the one that is written, or what serial and marks tell together.

    Where they disagree and the job says why its serial lies outside, the marks decide.
    """
    if job.revision:
        return (job.revision,)
    found = told(facts, job)
    return found.together or found.by_marks or ()


def revisions_with(facts: ModelFacts, mark: str) -> tuple[str, ...]:
    """The revisions with that mark under by_sight. Only the whole mark counts: "no key" holds "key"."""
    return tuple(
        revision.id
        for revision in facts.model.revisions
        if any(_folded(each) == _folded(mark) for each in revision.by_sight)
    )


def _folded(mark: str) -> str:
    return re.sub(r"\s+", " ", mark.strip().rstrip(".")).casefold()
