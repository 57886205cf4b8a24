"""The pages of jobs: what came in, what was found, what went home. For the shop alone."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from kb.pages.addresses import address
from kb.pages.job_judging import checks_made, is_for, judged, not_made
from kb.pages.pageset import Page, SearchText
from kb.pages.rendering import render
from kb.pages.sheet import Desk, Sheet
from kb.pages.shop_captures import capture_blocks
from kb.pages.trim_pages import trimmed, with_trimmers, words_of_trims
from kb.pages.unit_pages import unit_page
from kb.pages.value_rows import ValueRow, value_rows, words_of_value
from kb.reading import Located
from kb.records import Check, Finding, Job
from kb.records.job import CheckOutcome, FinalTest
from kb.shop import ModelFacts
from kb.shop.sight import revisions_of_unit

MOST_ON_ONE_PAGE = 100


def job_pages(desk: Desk) -> Iterator[Page]:
    """A page for each job and for each unit, and the list of jobs, newest first."""
    for identifier in desk.shop.jobs:
        yield _job_page(desk, identifier)
    for unit in desk.links.units.values():
        yield unit_page(desk, unit)
    if desk.shop.jobs:
        yield from _index_pages(desk)


def _job_page(desk: Desk, identifier: str) -> Page:
    located = desk.shop.jobs[identifier]
    job = located.record
    facts = desk.shop.facts[job.model]
    sheet = desk.sheet(address("job", identifier))
    revisions = revisions_of_unit(facts, job)
    sheet.expect_reservoirs(facts.reservoirs_on(revisions or facts.revision_ids))
    taken = [text for each in job.findings for text in _words_taken(desk, each)]
    missing = not_made(facts, job, revisions)
    taken += _words_of_checks(
        [*(facts.check(each.check) for each in checks_made(job)), *(each.check for each in missing)]
    )
    taken += words_of_trims(facts, job)
    taken += [each.reading.text for each in checks_made(job) if each.reading]
    on_top = sheet.cautions_before(*_words_of(job), *taken, declared=facts.model.hazards)
    calculations = sheet.calculations(
        located, ("calculations",), [with_trimmers(each, facts, revisions) for each in job.calculations]
    )
    body = render(
        "job.html", sheet=sheet, job=job, identifier=identifier, on_top=on_top,
        in_range=bool(facts.revisions_for_serial(job.serial)),
        model=sheet.to("model", job.model),
        revisions=[sheet.to("revision", f"{job.model}/{each}") for each in revisions],
        arrival=sheet.prose(located, ("arrival",), job.arrival),
        findings=[_finding(sheet, located, number, facts) for number in range(len(job.findings))],
        final_tests=[_judged(each, facts) for each in job.final_tests],
        not_made=missing, how_many=len(_checks_for(facts, revisions)),
        minutes=sum(each.minutes or 0 for each in job.findings),
        untimed=sum(1 for each in job.findings if each.minutes is None),
        unit=sheet.link(address("unit", desk.links.unit_of(identifier).id)),
        visits=len(desk.links.unit_of(identifier).jobs),
        trims=trimmed(facts, job), calculations=calculations,
        parts=[(each, sheet.to("part", each.part)) for each in job.parts],
        photos=[(sheet.link(sheet.picture(each.file) or ""), each.shows) for each in job.photos],
        advice=sheet.prose(located, ("advice",), job.advice),
        captures=capture_blocks(sheet, located, job.captures),
        note=sheet.prose(located, ("note",), job.note),
    )  # fmt: skip
    title = f"{facts.model.name} {job.serial}"
    search = SearchText(title, (identifier, *job.complaint), (job.arrival or "", job.note or ""))
    return Page(sheet.path, title, "job", body, job.received.isoformat(), tuple(sheet.headings), search)


def _words_of(job: Job) -> list[str | None]:
    """All that a job's page says; its cautions stand at the top, since it is read as a whole."""
    texts = [job.arrival, job.note, job.advice, *job.complaint, *job.cautions, *job.seen]
    texts += [*(each.about for each in job.captures), *(each.about for each in job.calculations)]
    texts += [text for each in job.parts for text in (each.where, each.value)]
    texts += [each.shows for each in job.photos]
    texts += [text for each in job.earlier_work for text in (each.found, each.why)]
    texts += [text for each in job.findings for text in _told_of(each)]
    return texts


def _words_of_checks(checks: Iterable[Check]) -> list[str | None]:
    """What the page says of checks, also of those that were not made."""
    return [text for each in checks for text in (each.do, each.called, each.good.text)]


def _told_of(finding: Finding) -> tuple[str | None, ...]:
    values = [text for each in finding.values for text in words_of_value(each)]
    return finding.before, finding.after, finding.told, finding.done, finding.note, *values


def _words_taken(desk: Desk, finding: Finding) -> list[str | None]:
    """What the page says of the fault's values, where they were changed as it tells."""
    values = desk.shop.faults[finding.fault].record.values if finding.values_of_fault else ()
    return [text for each in values for text in words_of_value(each)]


def _judged(made: CheckOutcome | FinalTest, facts: ModelFacts) -> dict[str, Any]:
    """A check that was made, with what its reading is worth."""
    check = facts.check(made.check)
    return {"made": made, "check": check, "verdict": judged(made.reading, made.outcome, check.good)}


def _checks_for(facts: ModelFacts, revisions: tuple[str, ...]) -> list[Check]:
    return [each for each in facts.model.checks if is_for(facts, each, revisions)]


def _finding(sheet: Sheet, located: Located[Job], number: int, facts: ModelFacts) -> dict[str, Any]:
    finding = located.record.findings[number]
    later = sheet.desk.links.returned(located.id, finding.fault)
    return {
        "finding": finding,
        "fault": sheet.to("fault", finding.fault),
        "checks": [_judged(each, facts) for each in finding.checks],
        "changed": _values(sheet, located, number),
        "done": sheet.prose(located, ("findings", number, "done"), finding.done),
        "note": sheet.prose(located, ("findings", number, "note"), finding.note),
        "later": later,
        "later_job": sheet.to("job", later.job) if later else None,
    }


def _values(sheet: Sheet, located: Located[Job], number: int) -> list[ValueRow]:
    """The values changed on the unit: those of the fault first, where they were changed as it tells."""
    finding, desk = located.record.findings[number], sheet.desk
    rows: list[ValueRow] = []
    if finding.values_of_fault:
        fault = desk.shop.faults[finding.fault]
        rows += value_rows(desk, fault, ("values",), fault.record.values)
    return rows + value_rows(desk, located, ("findings", number, "values"), finding.values)


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
