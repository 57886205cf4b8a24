"""Which recorded faults can be practised on, and how a unit that has one of them reads.

A reading comes from the fault's record. Where none is written down a check reads as good only if the signal
flow keeps the fault away from it; otherwise the page says that nobody wrote it down. Nothing is made up.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from kb.diagnosis.expectations import Expectations
from kb.diagnosis.judging import expected_rate
from kb.records import Check, Fault, FaultCheck
from kb.shop import ModelFacts
from kb.shop.shop import fault_revisions

if TYPE_CHECKING:
    from kb.pages.sheet import Desk, Sheet

LEAST_READINGS = 2
"""A fault with fewer recorded readings gives a learner nothing to go by."""

LEAST_UNITS = 2
"""With a single fault there is nothing to tell apart."""

_HALF = 0.5


@dataclass(frozen=True)
class Unit:
    """A unit to practise on: its fault and the revision it is of."""

    fault: str
    revision: str


def practice_path(model: str) -> str:
    """Where the practice page of a model lies."""
    return f"models/{model}/practice.html"


def units_of(desk: Desk, model: str) -> tuple[Unit, ...]:
    """The units of a model, in an order that tells nothing; empty where there are too few."""
    facts = desk.shop.facts[model]
    found = []
    for identifier in desk.links.faults_of(model):
        fault = desk.shop.faults[identifier].record
        revisions = fault_revisions(fault, facts)
        if revisions and len(_readings(facts, fault)) >= LEAST_READINGS:
            found.append(Unit(identifier, revisions[0]))
    ordered = sorted(found, key=lambda unit: hashlib.sha256(f"{model} {unit.fault}".encode()).digest())
    return tuple(ordered) if len(ordered) >= LEAST_UNITS else ()


def practice_data(sheet: Sheet, model: str) -> list[dict[str, Any]]:
    """Every unit with what its owner says and how its checks read."""
    desk, facts = sheet.desk, sheet.desk.shop.facts[model]
    return [
        {
            "fault": unit.fault,
            "title": desk.shop.faults[unit.fault].record.title,
            "href": sheet.to("fault", unit.fault).address,
            "revision": unit.revision,
            "told": list(desk.shop.faults[unit.fault].record.symptoms),
            "reads": dict(_reads(facts, desk.shop.faults[unit.fault].record, unit.revision)),
        }
        for unit in units_of(desk, model)
    ]


def _readings(facts: ModelFacts, fault: Fault) -> dict[str, FaultCheck]:
    return {each.check: each for each in fault.checks if facts.has_check(each.check)}


def _reads(facts: ModelFacts, fault: Fault, revision: str) -> Iterator[tuple[str, list[str]]]:
    """By check: the outcome, what the instrument shows, and what that tells, where the record says so."""
    written, expectations = _readings(facts, fault), Expectations(facts, (revision,))
    for check in facts.model.checks:
        if revision in facts.revisions_of(check.revisions):
            yield check.id, _answer(written.get(check.id), expectations, fault, check)


def _answer(written: FaultCheck | None, expectations: Expectations, fault: Fault, check: Check) -> list[str]:
    if written is not None:
        rate = expected_rate(written.reads, check.good)
        outcome = "not_done" if rate is None else "fail" if rate >= _HALF else "pass"
        return [outcome, written.reads.text, written.means or ""]
    if expectations.of_block(fault.block, check).rate < _HALF:
        return ["pass", "", ""]
    return ["not_done", "", ""]
