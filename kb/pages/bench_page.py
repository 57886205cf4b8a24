"""The bench page of a model: what is likely on this unit, and the next check, told while somebody measures.

All words and cautions are written by templates here; the script moves and marks them, and makes none up.
Without scripts the page is a list of checks in the model's own order.
"""

from __future__ import annotations

from typing import Any

from markupsafe import Markup

from kb.pages.addresses import address
from kb.pages.bench_data import bench_data
from kb.pages.flow_view import flow_html
from kb.pages.pageset import Page
from kb.pages.practice_data import practice_path, units_of
from kb.pages.rendering import render
from kb.pages.sheet import Desk, Sheet
from kb.reading import Located
from kb.records import Model
from kb.safety import Caution, Cautions, hazards
from kb.shop import ModelFacts

STYLE = "halfsplit/bench.css"
SCRIPTS = (
    # In the order they need each other.
    "halfsplit/units.js", "halfsplit/quantities.js", "halfsplit/diagnosis.js", "halfsplit/bench-reading.js",
    "halfsplit/bench-state.js", "halfsplit/bench-view.js", "halfsplit/bench.js",
)  # fmt: skip
"""Loaded by this page alone."""


def bench_page(desk: Desk, identifier: str) -> Page:
    """The page of the model with that id."""
    located, facts = desk.shop.models[identifier], desk.shop.facts[identifier]
    sheet = desk.sheet(address("bench", identifier))
    supply = facts.model.supply
    sheet.expect_reservoirs(supply.reservoirs if supply else ())
    data = bench_data(sheet, facts)
    checks = check_rows(sheet, located, facts)
    example = next((text for revision in facts.model.revisions for text in revision.serials), "")
    body = render(
        "bench.html", sheet=sheet, facts=facts, model=sheet.to("model", identifier), data=data, checks=checks,
        example=example.partition(" to ")[0], flow=flow_html(sheet, facts, is_open=True),
        cautions=[(each, _whole_caution(sheet, each)) for each in _called(data)],
        statistics=sheet.link("bench/statistics.html"),
        practice=sheet.link(practice_path(identifier)) if units_of(desk, identifier) else "",
        style=sheet.link(STYLE), scripts=[sheet.link(each) for each in SCRIPTS],
    )  # fmt: skip
    title = f"{facts.model.name} on the bench"
    return Page(
        sheet.path, title, "bench", body, f"Likely causes and the next check for a {facts.model.name}"
    )


def check_rows(sheet: Sheet, located: Located[Model], facts: ModelFacts) -> list[dict[str, Any]]:
    """Each check with the cautions that stand above it where the page is read from the top."""
    rows = []
    for number, check in enumerate(facts.model.checks):
        declared = (*check.hazards, *facts.block(check.block).hazards, *facts.model.hazards)
        cautions = sheet.cautions_before(check.do, check.good.text, check.note, declared=declared)
        rows.append(
            {
                "check": check,
                "cautions": cautions,
                "block": sheet.to("block", f"{facts.id}/{check.block}"),
                "block_name": facts.block(check.block).name,
                "test_point": facts.block(check.block).test_point,
                "note": sheet.prose(located, ("checks", number, "note"), check.note),
            }
        )
    return rows


def _called(data: dict[str, Any]) -> list[str]:
    """The hazards of any check and any cause, in the table's order."""
    called = {hazard for each in (*data["checks"], *data["causes"]) for hazard, _ in each["hazards"]}
    return [each for each in hazards() if each in called]


def _whole_caution(sheet: Sheet, hazard: str) -> Markup:
    """A caution for the script to put above a check; it adds what called for it there."""
    found: tuple[Caution, ...] = Cautions().before(declared=[hazard])
    return sheet.shown(found)
