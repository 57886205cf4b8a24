"""Where the page of a record is, and what it is called in a link."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from kb.records import Written
from kb.shop import Shop

LINK_KINDS = ("model", "revision", "block", "fault", "part", "guide", "handbook", "job")
"""The words before the colon of a link in prose: `[text](fault:clock-stops)`."""


@dataclass(frozen=True)
class Target:
    """A page that can be linked to: its address from the site's root and its title."""

    address: str
    title: str


def address(kind: str, identifier: str) -> str:
    """The address of a record's page; revisions, blocks and units are named `model/id`."""
    if kind in ("revision", "block"):
        model, _, own = identifier.partition("/")
        return f"models/{model}/{kind}-{own}.html"
    if kind in ("bench", "trims"):
        return f"models/{identifier}/{kind}.html"
    folder = "handbook" if kind == "handbook" else f"{kind}s"
    return f"{folder}/{identifier}.html"


def find_target(shop: Shop, kind: str, identifier: str) -> Target | None:
    """The page a link `kind:identifier` leads to, or None when there is no such record."""
    title = _title(shop, kind, identifier)
    return None if title is None else Target(address(kind, identifier), title)


def known_ids(shop: Shop, kind: str) -> tuple[str, ...]:
    """What may stand after `kind:` in a link."""
    if kind == "revision":
        return tuple(f"{model}/{each}" for model, facts in shop.facts.items() for each in facts.revision_ids)
    if kind == "block":
        return tuple(
            f"{model}/{each.id}" for model, facts in shop.facts.items() for each in facts.model.blocks
        )
    return tuple(_records(shop, kind))


def _records(shop: Shop, kind: str) -> Mapping[str, object]:
    by_kind: dict[str, Mapping[str, object]] = {
        "model": shop.models, "fault": shop.faults, "part": shop.parts,
        "guide": shop.guides, "handbook": shop.handbook, "job": shop.jobs,
    }  # fmt: skip
    return by_kind.get(kind, {})


def _title(shop: Shop, kind: str, identifier: str) -> str | None:
    if kind in ("revision", "block"):
        return _title_inside(shop, kind, identifier)
    located = _records(shop, kind).get(identifier)
    record: Written | None = getattr(located, "record", None)
    if record is None:
        return None
    head = getattr(record, "head", record)
    if kind == "job":
        return f"Job {identifier}"
    return str(getattr(head, "title", None) or getattr(head, "name", identifier))


def _title_inside(shop: Shop, kind: str, identifier: str) -> str | None:
    model, _, own = identifier.partition("/")
    facts = shop.facts.get(model)
    if facts is None:
        return None
    if kind == "block":
        return f"{facts.model.name}: {facts.block(own).name}" if facts.has_block(own) else None
    return f"{facts.model.name}, revision {own.upper()}" if own in facts.revision_ids else None
