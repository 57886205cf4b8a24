"""Which jobs have no report yet, and why: told by `halfsplit check` before somebody stands at the counter.

What is told is what `halfsplit handover` would say, made by the same code; no report is written here.
"""

from __future__ import annotations

from collections.abc import Iterator

from kb.audience.attaching import Attachments, Glances
from kb.audience.handing_over import hand_over
from kb.audience.mentions import Mentions
from kb.pages.handover import problems_of_texts
from kb.problems import Problem
from kb.shop import Shop


def refused(shop: Shop, job: str, pictures: Attachments, mentions: Mentions) -> tuple[Problem, ...]:
    """All that keeps the report on a job from being made; KeyError if there is no such job."""
    report, problems = hand_over(shop, job, pictures, mentions)
    return problems if report is None else problems_of_texts(report)


def refused_of_returned(shop: Shop) -> Iterator[Problem]:
    """What handover would refuse of each job that has gone home.

    Photographs are only glanced at: a shop has thousands, and most are as they were yesterday.
    """
    pictures, mentions = Glances(shop.root, shop.data_files), Mentions(shop.jobs.values())
    for identifier, job in shop.jobs.items():
        if job.record.returned:
            yield from refused(shop, identifier, pictures, mentions)


def open_jobs(shop: Shop) -> Iterator[tuple[str, tuple[Problem, ...]]]:
    """Each job without a day of return, by its id, with all that keeps its report from being made."""
    pictures, mentions = Attachments(shop.root, shop.data_files), Mentions(shop.jobs.values())
    for identifier, job in sorted(shop.jobs.items()):
        if not job.record.returned:
            yield identifier, refused(shop, identifier, pictures, mentions)
