"""The serial-number box: what the browser needs to tell a unit's revision, with no request."""

from __future__ import annotations

from typing import Any

from markupsafe import Markup

from kb.pages.comparison import compare_revisions
from kb.pages.rendering import render
from kb.pages.sheet import Sheet
from kb.shop import ModelFacts

MOST_FAULTS = 40
"""More than this many faults are reached through the revision's page, so that a page stays small."""


def serial_box(sheet: Sheet, facts: ModelFacts) -> Markup:
    """The box of one model; its data stands in the page as JSON."""
    example = next((text for revision in facts.model.revisions for text in revision.serials), "")
    return render(
        "serial-box.html", model=facts.model, model_id=facts.id, data=serial_data(sheet, facts),
        example=example.partition(" to ")[0],
    )  # fmt: skip


def serial_data(sheet: Sheet, facts: ModelFacts) -> dict[str, Any]:
    """Ranges, differences and faults of each revision, ready for JSON."""
    rows = compare_revisions(facts)
    return {
        "model": facts.model.name,
        "revisions": [
            _revision_data(sheet, facts, number, rows) for number in range(len(facts.model.revisions))
        ],
    }


def _revision_data(sheet: Sheet, facts: ModelFacts, number: int, rows: tuple[Any, ...]) -> dict[str, Any]:
    revision = facts.model.revisions[number]
    faults = sheet.desk.links.faults_of(facts.id, revision=revision.id)
    page = sheet.to("revision", f"{facts.id}/{revision.id}")
    return {
        "id": revision.id,
        "name": revision.name or "",
        "href": page.address,
        "ranges": [
            {"prefix": each.prefix, "low": each.low, "high": each.high, "text": each.text}
            for each in facts.ranges[revision.id]
        ],
        "sight": list(revision.by_sight),
        "differences": [
            {"block": row.block_name, "what": row.what, "now": row.carried[number].text,
             "elsewhere": _elsewhere(row, number)}
            for row in rows
            if row.carried[number].text and _elsewhere(row, number)
        ],
        "faults": [_fault_data(sheet, fault) for fault in faults[:MOST_FAULTS]],
        "fault_count": len(faults),
    }  # fmt: skip


def _elsewhere(row: Any, number: int) -> list[str]:
    """What the other revisions carry where that is something else."""
    own = row.carried[number].text
    return sorted({each.text for each in row.carried if each.text and each.text != own})


def _fault_data(sheet: Sheet, fault: str) -> dict[str, str]:
    target = sheet.to("fault", fault)
    record = sheet.desk.shop.faults[fault].record
    return {"title": target.title, "href": target.address, "symptom": record.symptoms[0]}
