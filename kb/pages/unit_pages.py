"""The page of one unit: all its visits, what was found and fitted, and its readings over the years."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from kb.pages.addresses import Target, address
from kb.pages.job_judging import Verdict, judged
from kb.pages.pageset import Page, SearchText
from kb.pages.rendering import render
from kb.pages.sheet import Desk, Sheet
from kb.records import Check, Job
from kb.records.job import CheckOutcome, FinalTest
from kb.shop import ModelFacts
from kb.shop.sight import revisions_of_unit
from kb.shop.units import Unit


@dataclass(frozen=True)
class Measured:
    """One reading of one check: when, in which job, and what it is worth."""

    job: Target
    date: str
    text: str
    verdict: Verdict
    at_the_end: bool


@dataclass(frozen=True)
class Course:
    """All that one check gave on the unit, oldest first."""

    check: Check
    readings: tuple[Measured, ...]


def unit_page(desk: Desk, unit: Unit) -> Page:
    """The page; its visits stand newest first."""
    facts = desk.shop.facts[unit.model]
    sheet = desk.sheet(address("unit", unit.id))
    newest = desk.shop.jobs[unit.jobs[-1]].record
    revisions = revisions_of_unit(facts, newest)
    sheet.expect_reservoirs(facts.reservoirs_on(revisions or facts.revision_ids))
    jobs = [desk.shop.jobs[each].record for each in unit.jobs]
    courses = _courses(sheet, unit, facts)
    words = [text for each in courses for text in (each.check.do, each.check.good.text)]
    on_top = sheet.cautions_before(
        *_words_of(desk, jobs), *words, *(m.text for each in courses for m in each.readings),
        declared=facts.model.hazards,
    )  # fmt: skip
    visits = [_visit(sheet, each) for each in reversed(unit.jobs)]
    visits_heading = sheet.section("visits", "Visits")
    courses_heading = sheet.section("readings", "Readings over the years") if courses else ""
    parts_heading = (
        sheet.section("parts", "Fitted over the years") if any(each.parts for each in jobs) else ""
    )
    met = any(each.earlier_work for each in jobs)
    earlier_heading = sheet.section("earlier", "Earlier work that was met") if met else ""
    body = render(
        "unit.html", parts_heading=parts_heading, earlier_heading=earlier_heading, sheet=sheet,
        unit=unit, on_top=on_top, model=sheet.to("model", unit.model),
        revisions=[sheet.to("revision", f"{unit.model}/{each}") for each in revisions],
        visits_heading=visits_heading, visits=visits, courses_heading=courses_heading, courses=courses,
        earlier=[(each, sheet.to("job", job)) for job in unit.jobs
                 for each in desk.shop.jobs[job].record.earlier_work],
        parts=[(each, sheet.to("part", each.part), sheet.to("job", job)) for job in unit.jobs
               for each in desk.shop.jobs[job].record.parts],
        spellings=sorted({each.serial for each in jobs} - {unit.serial}),
        bench=sheet.link(address("bench", unit.model)),
    )  # fmt: skip
    title = f"{facts.model.name} {unit.serial}, all visits"
    customers = tuple(dict.fromkeys(each.customer for each in jobs if each.customer))
    search = SearchText(
        title, (unit.serial, *customers), tuple(each for job in jobs for each in job.complaint)
    )
    summary = f"{len(jobs)} {'visit' if len(jobs) == 1 else 'visits'}, the last in {newest.received.year}"
    return Page(sheet.path, title, "unit", body, summary, tuple(sheet.headings), search)


def _words_of(desk: Desk, jobs: list[Job]) -> list[str | None]:
    """What the page says of the jobs; it is read as a whole, so its cautions stand at the top."""
    texts: list[str | None] = []
    for job in jobs:
        texts += [*job.complaint, job.outside_because]
        texts += [text for each in job.earlier_work for text in (each.found, each.why)]
        texts += [text for each in job.parts for text in (each.where, each.value)]
        texts += [desk.shop.parts[each.part].record.name for each in job.parts]
        for finding in job.findings:
            texts += [desk.shop.faults[finding.fault].record.title, finding.before, finding.after]
    return texts


def _visit(sheet: Sheet, identifier: str) -> dict[str, Any]:
    job = sheet.desk.shop.jobs[identifier].record
    findings = [_found(sheet, identifier, number) for number in range(len(job.findings))]
    return {"job": job, "target": sheet.to("job", identifier), "findings": findings}


def _found(sheet: Sheet, identifier: str, number: int) -> dict[str, Any]:
    finding = sheet.desk.shop.jobs[identifier].record.findings[number]
    later = sheet.desk.links.returned(identifier, finding.fault)
    return {
        "finding": finding,
        "fault": sheet.to("fault", finding.fault),
        "later": later,
        "later_job": sheet.to("job", later.job) if later else None,
    }


def _courses(sheet: Sheet, unit: Unit, facts: ModelFacts) -> list[Course]:
    """The checks that were made on the unit, in the model's order, each with every reading."""
    found: dict[str, list[Measured]] = {}
    for identifier in unit.jobs:
        job = sheet.desk.shop.jobs[identifier].record
        target, date = sheet.to("job", identifier), job.received.isoformat()
        made: list[tuple[CheckOutcome | FinalTest, bool]]
        made = [(each, False) for finding in job.findings for each in finding.checks]
        for each, at_the_end in [*made, *((test, True) for test in job.final_tests)]:
            verdict = judged(each.reading, each.outcome, facts.check(each.check).good)
            text = each.reading.text if each.reading else ""
            when = (job.returned or job.received).isoformat() if at_the_end else date
            found.setdefault(each.check, []).append(Measured(target, when, text, verdict, at_the_end))
    return [Course(each, tuple(found[each.id])) for each in facts.model.checks if each.id in found]
