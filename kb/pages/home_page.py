"""The first page and the lists of models and of faults."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from kb.pages.addresses import Target, address
from kb.pages.job_judging import checks_made, judged
from kb.pages.listing import fault_rows
from kb.pages.pageset import Page
from kb.pages.rendering import render
from kb.pages.sheet import Desk, Sheet
from kb.problems import Problem
from kb.reading import Located
from kb.records import Job

NEWEST = 8
MOST_OF_A_KIND = 6


@dataclass(frozen=True)
class Attention:
    """One group of records that somebody should look at, and how many more there are."""

    title: str
    rows: tuple[tuple[Target, str], ...]
    more: int


def home_page(desk: Desk) -> Page:
    """Models, newest faults and what needs attention. Made last: it tells the disagreements of all pages."""
    sheet = desk.sheet("index.html")
    card = desk.shop.card.record
    body = render(
        "home.html", card=card, welcome=sheet.prose(desk.shop.card, ("welcome",), card.welcome),
        models=_model_cards(sheet), newest=fault_rows(sheet, desk.links.newest_faults[:NEWEST]),
        attention=_attention(sheet), counts=_counts(sheet),
        course=_first_course(sheet), handbook=sheet.link("handbook/index.html"),
        faults=sheet.link("faults/index.html"),
        statistics=sheet.link("bench/statistics.html"),
        fits=sheet.link("fits/index.html") if desk.matrix.sockets else "",
    )  # fmt: skip
    return Page(sheet.path, card.name, "index", body)


def model_index(desk: Desk) -> Page:
    """All models."""
    sheet = desk.sheet("models/index.html")
    body = render("model-index.html", models=_model_cards(sheet))
    return Page(sheet.path, "Models", "index", body)


def fault_index(desk: Desk) -> Page:
    """The newest faults and the way to all of them, by model."""
    sheet = desk.sheet("faults/index.html")
    newest = desk.links.newest_faults[:40]
    by_model = [
        (sheet.link(f"models/{model}/faults.html"), located.record, len(desk.links.faults_of(model)))
        for model, located in sorted(desk.shop.models.items(), key=lambda item: item[1].record.name.lower())
    ]
    body = render("fault-index.html", rows=fault_rows(sheet, newest), by_model=by_model,
                  total=len(desk.shop.faults), symptoms=sheet.link("symptoms/index.html"))  # fmt: skip
    return Page(sheet.path, "Faults", "index", body)


def _first_course(sheet: Sheet) -> Target | None:
    """Where somebody new begins: the first course of the handbook, or else of the shop."""
    courses = sheet.desk.courses.by_page
    return sheet.to(*next(iter(courses))) if courses else None


def _model_cards(sheet: Sheet) -> list[dict[str, object]]:
    shop, links = sheet.desk.shop, sheet.desk.links
    cards = [
        {
            "target": sheet.to("model", identifier),
            "bench": sheet.link(address("bench", identifier)),
            "model": located.record,
            "faults": len(links.faults_of(identifier)),
            "jobs": sum(1 for job in shop.jobs.values() if job.record.model == identifier),
        }
        for identifier, located in shop.models.items()
    ]
    return sorted(cards, key=lambda card: str(card["target"].title).lower())  # type: ignore[attr-defined]


def _counts(sheet: Sheet) -> list[tuple[str, int, str]]:
    shop = sheet.desk.shop
    return [
        ("models", len(shop.models), sheet.link("models/index.html")),
        ("faults", len(shop.faults), sheet.link("faults/index.html")),
        ("parts", len(shop.parts), sheet.link("parts/index.html")),
        ("guides", len(shop.guides), sheet.link("guides/index.html")),
        *([("jobs", len(shop.jobs), sheet.link("jobs/index.html"))] if shop.jobs else []),
    ]


def _attention(sheet: Sheet) -> list[Attention]:
    groups = [
        ("Values that disagree with their calculation", _disagreements(sheet)),
        ("Causes only suspected so far", _suspected(sheet)),
        ("Cures that did not hold", _came_back(sheet)),
        ("Readings written down as good that are not", _contradicted(sheet)),
        ("Units still on the bench", _open_jobs(sheet)),
        ("Parts no longer made, with nothing to take their place", _without_substitute(sheet)),
        ("Blocks without a check of their own", _unchecked_blocks(sheet)),
    ]
    return [
        Attention(title, tuple(rows[:MOST_OF_A_KIND]), max(0, len(rows) - MOST_OF_A_KIND))
        for title, each in groups
        if (rows := list(each))
    ]


def _disagreements(sheet: Sheet) -> Iterator[tuple[Target, str]]:
    by_file: dict[str, Problem] = {}
    for problem in sheet.desk.disagreements:
        by_file.setdefault(problem.file, problem)
    shop = sheet.desk.shop
    kinds: tuple[tuple[str, Mapping[str, Located[Any]]], ...] = (("fault", shop.faults), ("job", shop.jobs))
    for kind, records in kinds:
        for identifier, located in records.items():
            if located.file in by_file:
                yield sheet.to(kind, identifier), by_file[located.file].what


def _suspected(sheet: Sheet) -> Iterator[tuple[Target, str]]:
    for identifier, located in sheet.desk.shop.faults.items():
        if not located.record.confirmed:
            yield sheet.to("fault", identifier), located.record.symptoms[0]


def _came_back(sheet: Sheet) -> Iterator[tuple[Target, str]]:
    """Cures that did not hold, as somebody wrote or as the same unit showed; newest job first."""
    for identifier, located in _newest_jobs(sheet):
        for fault in dict.fromkeys(finding.fault for finding in located.record.findings):
            told = {finding.held for finding in located.record.findings if finding.fault == fault}
            again = sheet.desk.links.returned(identifier, fault)
            if again is None and False not in told:
                continue
            why = sheet.to("fault", fault).title
            if again and True in told:
                why += f", though written down as held: back after {again.days} days"
            yield sheet.to("job", identifier), why


def _contradicted(sheet: Sheet) -> Iterator[tuple[Target, str]]:
    """Readings of jobs that were written down as good and are not."""
    for identifier, located in _newest_jobs(sheet):
        job, facts = located.record, sheet.desk.shop.facts[located.record.model]
        for each in checks_made(job):
            verdict = judged(each.reading, each.outcome, facts.check(each.check).good)
            if verdict.contradicts and each.reading:
                yield sheet.to("job", identifier), f"{each.check}: {each.reading.text}, {verdict.words}"


def _newest_jobs(sheet: Sheet) -> list[tuple[str, Located[Job]]]:
    jobs = sheet.desk.shop.jobs.items()
    return sorted(jobs, key=lambda item: (-item[1].record.received.toordinal(), item[0]))


def _open_jobs(sheet: Sheet) -> Iterator[tuple[Target, str]]:
    for identifier, located in sheet.desk.shop.jobs.items():
        if located.record.returned is None:
            model = sheet.desk.shop.models[located.record.model].record.name
            yield sheet.to("job", identifier), f"{model}, in since {located.record.received.isoformat()}"


def _without_substitute(sheet: Sheet) -> Iterator[tuple[Target, str]]:
    for identifier, located in sheet.desk.shop.parts.items():
        if located.record.obsolete and not located.record.substitutes:
            yield sheet.to("part", identifier), located.record.kind


def _unchecked_blocks(sheet: Sheet) -> Iterator[tuple[Target, str]]:
    for model, facts in sheet.desk.shop.facts.items():
        for block in facts.model.blocks:
            if not facts.checks_at(block.id):
                yield sheet.to("block", f"{model}/{block.id}"), "nothing to measure is written down"
