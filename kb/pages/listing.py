"""Rows that several pages list: a fault with its first symptom, where it is and how often it was seen."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from kb.pages.addresses import Target
from kb.pages.sheet import Sheet


@dataclass(frozen=True)
class FaultRow:
    """One fault in a list."""

    target: Target
    symptoms: tuple[str, ...]
    models: tuple[str, ...]
    block: str
    revisions: tuple[str, ...]
    everywhere: bool
    confirmed: bool
    seen: int


def fault_rows(sheet: Sheet, faults: Iterable[str], model: str | None = None) -> list[FaultRow]:
    """The rows of `faults`; with a model, their revisions are those of that model."""
    return [_row(sheet, fault, model) for fault in faults]


def _row(sheet: Sheet, fault: str, model: str | None) -> FaultRow:
    shop = sheet.desk.shop
    record = shop.faults[fault].record
    on = model or record.models[0]
    facts = shop.facts[on]
    revisions = sheet.desk.links.revisions(fault, on)
    return FaultRow(
        sheet.to("fault", fault),
        record.symptoms,
        tuple(shop.models[each].record.name for each in record.models),
        facts.block(record.block).name,
        revisions,
        len(revisions) == len(facts.revision_ids),
        record.confirmed,
        len(sheet.desk.links.sightings(fault)),
    )
