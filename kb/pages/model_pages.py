"""The pages of one instrument: the model, each of its revisions and each of its blocks."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial
from typing import Any

from markupsafe import Markup

from kb.pages.addresses import address
from kb.pages.comparison import compare_revisions
from kb.pages.fits_pages import plays_with
from kb.pages.fits_view import page_of
from kb.pages.flow_view import flow_html
from kb.pages.listing import fault_rows
from kb.pages.page_desk import Task
from kb.pages.pageset import Page, SearchText
from kb.pages.rendering import render
from kb.pages.serial_box import serial_box
from kb.pages.sheet import Desk, Sheet
from kb.pages.trim_pages import trim_section, trim_sheet
from kb.reading import Located
from kb.records import Block, Model
from kb.safety import stored_energy
from kb.shop import ModelFacts

MOST_FAULTS = 60
"""A model with more faults than this lists them on a page of their own."""

MOST_UNITS = 12
"""So many units are named, the last ones first; the others are found by their serials."""

MOST_PARTNERS = 12
"""So many other models are named under "Plays with"; all are on the page of what fits."""


def model_pages(desk: Desk, identifier: str) -> Iterator[Page]:
    """Every page of one model."""
    for task in model_tasks(desk.shop.facts[identifier]):
        yield from task.make(desk)


def model_tasks(facts: ModelFacts) -> Iterator[Task]:
    """The making of every page of one model."""

    def one(name: str, page: Callable[[Desk, Located[Model], ModelFacts], Page]) -> Task:
        def make(desk: Desk) -> Iterator[Page]:
            yield page(desk, desk.shop.models[facts.id], desk.shop.facts[facts.id])

        return Task(f"model {facts.id} {name}", make)

    yield one("page", _model_page)
    yield one("faults", lambda desk, _, own: _fault_list(desk, own))
    if facts.model.calibration:
        yield one("trims", lambda desk, _, own: trim_sheet(desk, own.id))
    for number, _ in enumerate(facts.model.revisions):
        yield one(f"revision {number}", partial(_revision_page, number=number))
    for number, _ in enumerate(facts.model.blocks):
        yield one(f"block {number}", partial(_block_page, number=number))


def _model_page(desk: Desk, located: Located[Model], facts: ModelFacts) -> Page:
    sheet = desk.sheet(address("model", facts.id))
    model = facts.model
    sheet.expect_reservoirs(model.supply.reservoirs if model.supply else ())
    on_top = sheet.cautions_before(model.name, declared=model.hazards)
    summary = sheet.prose(located, ("summary",), model.summary)
    box_heading = sheet.section("serial", "Which revision is it?")
    box = serial_box(sheet, facts)
    comparison = sheet.section("revisions", "Revisions compared") + sheet.cautions_before(
        *_words_of_revisions(facts)
    )
    flow_heading = sheet.section("signal-flow", "Signal flow")
    flow = flow_html(sheet, facts)
    faults_heading = sheet.section("faults", "Known faults")
    checks_heading = sheet.section("checks", "Checks and what is good") if model.checks else ""
    checks = _checks(sheet, located, facts)
    trims = trim_section(sheet, located, facts)
    supply_heading = sheet.section("supply", "Supply") if model.supply else ""
    supply = _supply(sheet, located)
    ports_heading = sheet.section("ports", "Sockets") if model.ports else Markup("")
    on_ports = [text for each in model.ports for text in (each.name, each.connector)]
    on_ports += [text for each in model.ports if (by := each.one_shot) for text in (by.device, by.where)]
    ports_heading += sheet.cautions_before(*on_ports)
    calculations = sheet.calculations(located, ("calculations",), model.calculations)
    partners_heading = sheet.section("plays-with", "Plays with") if model.ports else ""
    faults = desk.links.faults_of(facts.id)
    body = render(
        "model.html", sheet=sheet, facts=facts, model=model, summary=summary, on_top=on_top,
        box_heading=box_heading, box=box, comparison_heading=comparison, rows=compare_revisions(facts),
        flow_heading=flow_heading, flow=flow, faults_heading=faults_heading,
        faults=fault_rows(sheet, faults[:MOST_FAULTS], facts.id), fault_count=len(faults),
        all_faults=sheet.link(f"models/{facts.id}/faults.html"), checks_heading=checks_heading, checks=checks,
        trims=trims, supply_heading=supply_heading, supply=supply,
        ports_heading=ports_heading, calculations=calculations,
        partners_heading=partners_heading, partners=plays_with(sheet, facts.id, MOST_PARTNERS),
        fits=sheet.link(page_of(facts.id)), units=_units(sheet, facts),
        guides=[sheet.to("guide", each) for each in desk.links.guides_about("models", facts.id)],
        private_note=sheet.prose(located, ("private_note",), model.private_note),
        photos=_photos(sheet, model.photos), bench=sheet.link(address("bench", facts.id)),
    )  # fmt: skip
    words = (model.maker, model.kind, *(text for revision in model.revisions for text in revision.by_sight))
    search = SearchText(model.name, (model.maker, model.kind), (*words, model.summary))
    return Page(
        sheet.path, model.name, "model", body, f"{model.maker} {model.kind}", tuple(sheet.headings), search
    )


def _words_of_revisions(facts: ModelFacts, block: str | None = None) -> list[str | None]:
    """What the comparison of revisions shows, of one block or of all."""
    texts: list[str | None] = []
    for revision in facts.model.revisions:
        texts += [revision.name, *revision.by_sight]
        for each in revision.differences:
            if block in (None, each.block):
                texts += [facts.block(each.block).name, each.what, each.was, each.now, each.why]
    return texts


def _words_of_block(facts: ModelFacts, block: Block) -> list[str | None]:
    """What a block's page shows above its checks."""
    carried = [each.carries for each in block.feeds]
    carried += [each.carries for other in facts.model.blocks for each in other.feeds if each.to == block.id]
    differences = _words_of_revisions(facts, block.id) if _differs(facts, block) else []
    return [block.name, block.test_point, block.expect.text if block.expect else None, *carried, *differences]


def _differs(facts: ModelFacts, block: Block) -> bool:
    return any(row.block == block.id for row in compare_revisions(facts))


def _units(sheet: Sheet, facts: ModelFacts) -> dict[str, Any]:
    """The units of the model that were on the bench last, and how many more there are."""
    shop, links = sheet.desk.shop, sheet.desk.links
    here = [each for each in links.units.values() if each.model == facts.id]
    here.sort(key=lambda each: (-shop.jobs[each.jobs[-1]].record.received.toordinal(), each.slug))
    shown = [
        (sheet.link(address("unit", each.id)), each.serial, len(each.jobs)) for each in here[:MOST_UNITS]
    ]
    return {"shown": shown, "more": len(here) - len(shown), "jobs": sheet.link("jobs/index.html")}


def _photos(sheet: Sheet, names: tuple[str, ...]) -> list[str]:
    return [sheet.link(found) for name in names if (found := sheet.picture(name))]


def _checks(
    sheet: Sheet, located: Located[Model], facts: ModelFacts, block: str | None = None
) -> list[dict[str, Any]]:
    """Each check, or each at one block, with the cautions that stand above it and its note.

    A check that is not on the page must not ask for a caution: it would not be shown again below.
    """
    return [
        {
            "check": check,
            "cautions": sheet.cautions_before(
                check.do, check.good.text, check.note, check.called, declared=check.hazards
            ),
            "block": sheet.to("block", f"{facts.id}/{check.block}"),
            "block_name": facts.block(check.block).name,
            "note": sheet.prose(located, ("checks", number, "note"), check.note),
        }
        for number, check in enumerate(facts.model.checks)
        if block in (None, check.block)
    ]


def _supply(sheet: Sheet, located: Located[Model]) -> Markup:
    supply = located.record.supply
    if supply is None:
        return Markup("")
    texts = [supply.fuse, supply.lead, supply.note]
    texts += [text for rail in supply.rails for text in (rail.name, rail.test_point)]
    hazards = (["mains"] if supply.mains else []) + (["stored-energy"] if supply.reservoirs else [])
    cautions = sheet.cautions_before(*texts, declared=hazards)
    safe = sheet.desk.shop.card.record.safe_voltage
    return render(
        "supply.html", supply=supply, cautions=cautions,
        stored=[(each, stored_energy(each, safe)) for each in supply.reservoirs],
        note=sheet.prose(located, ("supply", "note"), supply.note),
    )  # fmt: skip


def _fault_list(desk: Desk, facts: ModelFacts) -> Page:
    """Every fault of the model, by block."""
    sheet = desk.sheet(f"models/{facts.id}/faults.html")
    groups = []
    for block in facts.model.blocks:
        faults = desk.links.faults_of(facts.id, block=block.id)
        if faults:
            heading = sheet.section(block.id, block.name)
            groups.append((heading, fault_rows(sheet, faults, facts.id)))
    title = f"{facts.model.name}: all faults"
    body = render("fault-list.html", title=title, model=sheet.to("model", facts.id), groups=groups)
    return Page(sheet.path, title, "index", body, headings=tuple(sheet.headings))


def _revision_page(desk: Desk, located: Located[Model], facts: ModelFacts, number: int) -> Page:
    revision = facts.model.revisions[number]
    target = f"{facts.id}/{revision.id}"
    sheet = desk.sheet(address("revision", target))
    sheet.expect_reservoirs(facts.reservoirs_on((revision.id,)))
    rows = compare_revisions(facts)
    texts = [revision.name, *_words_of_revisions(facts), revision.note]
    on_top = sheet.cautions_before(*texts, declared=facts.model.hazards)
    faults = desk.links.faults_of(facts.id, revision=revision.id)
    others = [fault for fault in desk.links.faults_of(facts.id) if fault not in faults]
    title = sheet.to("revision", target).title
    body = render(
        "revision.html", sheet=sheet, facts=facts, revision=revision, number=number, rows=rows, on_top=on_top,
        title=title, note=sheet.prose(located, ("revisions", number, "note"), revision.note),
        differs=sheet.section("differs", "What this one carries"),
        faults_heading=sheet.section("faults", "Faults that apply"),
        faults=fault_rows(sheet, faults[:MOST_FAULTS], facts.id), fault_count=len(faults),
        all_faults=sheet.link(f"models/{facts.id}/faults.html"),
        others=fault_rows(sheet, others[:20], facts.id),
        flow_heading=sheet.section("signal-flow", "Signal flow"),
        flow=flow_html(sheet, facts, revision=revision.id), model=sheet.to("model", facts.id),
        bench=sheet.link(address("bench", facts.id)),
    )  # fmt: skip
    carried = tuple(row.carried[number].text or "" for row in rows)
    search = SearchText(title, (*revision.serials, revision.name or ""), (*revision.by_sight, *carried))
    return Page(
        sheet.path, title, "revision", body, ", ".join(revision.serials), tuple(sheet.headings), search
    )


def _block_page(desk: Desk, located: Located[Model], facts: ModelFacts, number: int) -> Page:
    block = facts.model.blocks[number]
    target = f"{facts.id}/{block.id}"
    sheet = desk.sheet(address("block", target))
    on = facts.revisions_of(block.revisions)
    sheet.expect_reservoirs(facts.reservoirs_on(on))
    on_top = sheet.cautions_before(*_words_of_block(facts, block), declared=block.hazards)
    does = sheet.prose(located, ("blocks", number, "does"), block.does)
    faults = desk.links.faults_of(facts.id, block=block.id)
    title = sheet.to("block", target).title
    flow_heading = sheet.section("signal-flow", "Where it sits")
    flow = flow_html(sheet, facts, here=block.id)
    checks_heading = sheet.section("checks", "Checks here")
    checks = _checks(sheet, located, facts, block.id)
    body = render(
        "block.html", sheet=sheet, facts=facts, block=block, title=title, on_top=on_top, does=does,
        flow_heading=flow_heading, flow=flow, fed_by=_fed_by(sheet, facts, block),
        feeds=_feeds(sheet, facts, block),
        on=on, everywhere=len(on) == len(facts.revision_ids), checks_heading=checks_heading, checks=checks,
        faults_heading=sheet.section("faults", "Faults found here"),
        faults=fault_rows(sheet, faults, facts.id), model=sheet.to("model", facts.id),
        rows=[row for row in compare_revisions(facts) if row.block == block.id],
        parts=[sheet.to("part", part) for part in block.parts], elsewhere=_elsewhere(sheet, facts, block),
    )  # fmt: skip
    words = (block.does or "", block.shared_role, *(each.do for each in facts.checks_at(block.id)))
    search = SearchText(title, (block.name, block.test_point or ""), words)
    return Page(sheet.path, title, "block", body, block.name, tuple(sheet.headings), search)


def _fed_by(sheet: Sheet, facts: ModelFacts, block: Block) -> list[dict[str, Any]]:
    return [
        {"target": sheet.to("block", f"{facts.id}/{other.id}"), "name": other.name, "feed": feed}
        for other in facts.model.blocks
        for feed in other.feeds
        if feed.to == block.id
    ]


def _feeds(sheet: Sheet, facts: ModelFacts, block: Block) -> list[dict[str, Any]]:
    return [
        {
            "target": sheet.to("block", f"{facts.id}/{feed.to}"),
            "name": facts.block(feed.to).name,
            "feed": feed,
        }
        for feed in block.feeds
    ]


def _elsewhere(sheet: Sheet, facts: ModelFacts, block: Block) -> list[dict[str, Any]]:
    """The same job in other models, with the faults found there."""
    links = sheet.desk.links
    return [
        {
            "target": sheet.to("block", f"{model}/{other}"),
            "faults": [sheet.to("fault", fault) for fault in links.faults_of(model, block=other)[:5]],
        }
        for model, other in links.same_role(facts.id, block.id)
    ]
