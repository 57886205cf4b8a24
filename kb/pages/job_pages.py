"""The pages of jobs: what came in, what was found, what went home. For the shop alone."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from kb.pages.addresses import address
from kb.pages.pageset import Page, SearchText
from kb.pages.rendering import render
from kb.pages.sheet import Desk, Sheet
from kb.pages.shop_captures import capture_blocks
from kb.reading import Located
from kb.records import Finding, Job
from kb.shop import ModelFacts
from kb.shop.sight import revisions_of_unit

MOST_ON_ONE_PAGE = 100


def job_pages(desk: Desk) -> Iterator[Page]:
    """A page for each job and the list of them, newest first."""
    for identifier in desk.shop.jobs:
        yield _job_page(desk, identifier)
    if desk.shop.jobs:
        yield from _index_pages(desk)


def _job_page(desk: Desk, identifier: str) -> Page:
    located = desk.shop.jobs[identifier]
    job = located.record
    facts = desk.shop.facts[job.model]
    sheet = desk.sheet(address("job", identifier))
    revisions = revisions_of_unit(facts, job)
    sheet.expect_reservoirs(facts.reservoirs_on(revisions or facts.revision_ids))
    on_top = sheet.cautions_before(*_words_of(job, facts), declared=facts.model.hazards)
    body = render(
        "job.html", sheet=sheet, job=job, identifier=identifier, on_top=on_top,
        in_range=bool(facts.revisions_for_serial(job.serial)),
        model=sheet.to("model", job.model),
        revisions=[sheet.to("revision", f"{job.model}/{each}") for each in revisions],
        arrival=sheet.prose(located, ("arrival",), job.arrival),
        findings=[_finding(sheet, located, number, facts) for number in range(len(job.findings))],
        final_tests=[(each, facts.check(each.check)) for each in job.final_tests],
        parts=[(each, sheet.to("part", each.part)) for each in job.parts],
        photos=[(sheet.link(sheet.picture(each.file) or ""), each.shows) for each in job.photos],
        advice=sheet.prose(located, ("advice",), job.advice),
        captures=capture_blocks(sheet, located, job.captures),
        note=sheet.prose(located, ("note",), job.note),
    )  # fmt: skip
    title = f"{facts.model.name} {job.serial}"
    search = SearchText(title, (identifier, *job.complaint), (job.arrival or "", job.note or ""))
    return Page(sheet.path, title, "job", body, job.received.isoformat(), tuple(sheet.headings), search)


def _words_of(job: Job, facts: ModelFacts) -> list[str | None]:
    """All that a job's page says; its cautions stand at the top, since it is read as a whole."""
    texts = [job.arrival, job.note, job.advice, *job.complaint, *job.cautions, *job.seen]
    texts += [each.about for each in job.captures]
    texts += [text for each in job.parts for text in (each.where, each.value)]
    texts += [each.shows for each in job.photos]
    texts += [text for each in job.earlier_work for text in (each.found, each.why)]
    texts += [text for each in job.findings for text in _told_of(each)]
    checks = [each.check for finding in job.findings for each in finding.checks]
    for each in [*checks, *(test.check for test in job.final_tests)]:
        texts += [facts.check(each).do, facts.check(each).good.text]
    return texts


def _told_of(finding: Finding) -> tuple[str | None, ...]:
    return finding.before, finding.after, finding.told, finding.done, finding.note


def _finding(sheet: Sheet, located: Located[Job], number: int, facts: ModelFacts) -> dict[str, Any]:
    finding = located.record.findings[number]
    return {
        "finding": finding,
        "fault": sheet.to("fault", finding.fault),
        "checks": [(each, facts.check(each.check)) for each in finding.checks],
        "done": sheet.prose(located, ("findings", number, "done"), finding.done),
        "note": sheet.prose(located, ("findings", number, "note"), finding.note),
    }


def _index_pages(desk: Desk) -> Iterator[Page]:
    """The newest jobs first, so many on a page."""
    ids = sorted(desk.shop.jobs, key=lambda each: (-desk.shop.jobs[each].record.received.toordinal(), each))
    chunks = [ids[at : at + MOST_ON_ONE_PAGE] for at in range(0, len(ids), MOST_ON_ONE_PAGE)]
    paths = ["jobs/index.html", *(f"jobs/page-{number}.html" for number in range(2, len(chunks) + 1))]
    for number, (path, chunk) in enumerate(zip(paths, chunks, strict=True)):
        sheet = desk.sheet(path)
        rows = [
            (sheet.to("job", each), desk.shop.jobs[each].record,
             sheet.to("model", desk.shop.jobs[each].record.model)) for each in chunk
        ]  # fmt: skip
        body = render(
            "job-index.html", rows=rows,
            older=sheet.link(paths[number + 1]) if number + 1 < len(paths) else None,
            newer=sheet.link(paths[number - 1]) if number else None,
        )  # fmt: skip
        title = "Jobs" if number == 0 else f"Jobs, page {number + 1}"
        yield Page(path, title, "index", body)
