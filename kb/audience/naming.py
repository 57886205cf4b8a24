"""Where a record for customers names one that is for the shop alone, in its fields.

Links in prose are looked at where prose is read, when the pages are made.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from kb.audience.fields import may_leave, public_values
from kb.problems import Problem
from kb.reading import Located
from kb.records import Fault, Guide
from kb.shop import Shop

REMEDY = 'mark it "audience: customer", or take the link out'


def names_private(shop: Shop) -> Iterator[Problem]:
    """A problem for each shop-only record that the fields of a customers' record name."""
    for fault in shop.faults.values():
        if may_leave(fault.record):
            yield from _of_fault(fault, shop)
    for guide in shop.guides.values():
        if may_leave(guide.record):
            yield from _of_guide(guide, shop)


def private_link(kind: str, identifier: str) -> str:
    """What is wrong when customers would be led to a record that is not for them."""
    return f'the {kind} "{identifier}" is for the shop only, and customers would read this'


def _of_fault(fault: Located[Fault], shop: Shop) -> Iterator[Problem]:
    said = public_values(fault.record)
    remedy = 'mark it "audience: customer" (they see its name, maker, kind and years), or keep the fault'
    for number, model in enumerate(said["models"]):
        if not may_leave(shop.models[model].record):
            yield fault.problem(("models", number), private_link("model", model), f"{remedy} in the shop")
    yield from _each(fault, "related", "fault", said["related"], shop.faults)


def _of_guide(guide: Located[Guide], shop: Shop) -> Iterator[Problem]:
    said = public_values(guide.record.head)
    yield from _each(guide, "models", "model", said["models"], shop.models)
    yield from _each(guide, "faults", "fault", said["faults"], shop.faults)
    yield from _each(guide, "parts", "part", said["parts"], shop.parts)


def _each(
    record: Located[Any], key: str, kind: str, named: tuple[str, ...], known: Mapping[str, Located[Any]]
) -> Iterator[Problem]:
    for number, identifier in enumerate(named):
        if not may_leave(known[identifier].record):
            yield record.problem((key, number), private_link(kind, identifier), REMEDY)
