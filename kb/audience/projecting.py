"""From a shop to what its customers may see, and every place where a record for them names another one.

The projection reads records through `public_values` alone. It never looks at a job.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from kb.audience.fields import may_leave, public_values
from kb.audience.naming import names_private
from kb.audience.public import (
    PublicFault,
    PublicGuide,
    PublicModel,
    PublicPart,
    PublicSite,
    PublicText,
    Spot,
    by_id,
)
from kb.audience.telling import tells_private
from kb.problems import Problem, Problems
from kb.reading import Located
from kb.reading.located import Step, node_at
from kb.reading.tree import Scalar
from kb.records import Block, Fault, Guide, Model, Part
from kb.shop import Shop


def project(shop: Shop) -> tuple[PublicSite | None, tuple[Problem, ...]]:
    """What may leave, or None with every place where a public record names or tells something private."""
    problems = Problems()
    problems.extend(names_private(shop))
    problems.extend(tells_private(shop))
    if len(problems):
        return None, tuple(problems)
    return select(shop), ()


def select(shop: Shop) -> PublicSite:
    """The records marked for customers, with their public fields alone; they name only each other."""
    card = public_values(shop.card.record)
    return PublicSite(
        card["name"], card["place"], card["local_code"],
        by_id({each.id: _model(each) for each in shop.models.values() if may_leave(each.record)}),
        by_id({each.id: _fault(each, shop) for each in shop.faults.values() if may_leave(each.record)}),
        by_id({each.id: _guide(each, shop) for each in shop.guides.values() if may_leave(each.record)}),
        by_id({each.id: _part(each) for each in shop.parts.values() if may_leave(each.record)}),
    )  # fmt: skip


def _model(located: Located[Model]) -> PublicModel:
    said = public_values(located.record)
    return PublicModel(located.id, said["name"], said["maker"], said["kind"], said["years"])


def _fault(located: Located[Fault], shop: Shop) -> PublicFault:
    said = public_values(located.record)
    return PublicFault(
        located.id, said["title"], _open(said["models"], shop.models), said["symptoms"],
        public_text(located, ("cause",), said["cause"]),
        tuple(public_text(located, ("fix", number), text) for number, text in enumerate(said["fix"])),
        said["confirmed"], _hazards(said, shop), _open(said["related"], shop.faults),
    )  # fmt: skip


def _hazards(said: dict[str, Any], shop: Shop) -> tuple[str, ...]:
    """The hazards a fault declares, and those of the block it sits in on each of its models."""
    blocks = [
        public_values(block)
        for model in said["models"]
        for block in public_values(shop.models[model].record)["blocks"]
        if _is(block, said["block"])
    ]
    declared = [*said["hazards"], *(hazard for block in blocks for hazard in block["hazards"])]
    return tuple(dict.fromkeys(declared))


def _is(block: Block, identifier: str) -> bool:
    return bool(public_values(block)["id"] == identifier)


def _guide(located: Located[Guide], shop: Shop) -> PublicGuide:
    said = public_values(located.record.head)
    return PublicGuide(
        located.id, said["title"], said["summary"], _open(said["models"], shop.models),
        _open(said["faults"], shop.faults), _open(said["parts"], shop.parts),
        said["hazards"], said["sources"], said["order"], public_text(located, (), located.record.body),
    )  # fmt: skip


def _open(named: tuple[str, ...], records: Mapping[str, Located[Any]]) -> tuple[str, ...]:
    """Those of the named records that customers may see."""
    return tuple(each for each in named if may_leave(records[each].record))


def _part(located: Located[Part]) -> PublicPart:
    said = public_values(located.record)
    summary = public_text(located, ("summary",), said["summary"]) if said["summary"] else None
    return PublicPart(located.id, said["name"], said["kind"], summary, said["hazards"])


def public_text(located: Located[Any], path: tuple[Step, ...], text: str) -> PublicText:
    """A prose field with its place in the file, and with nothing else of the record."""
    node = node_at(located.tree, path)
    place = located.place(*path)
    found = node if isinstance(node, Scalar) and path else Scalar("", place)
    # The scalar's own text is what the field holds; a shop's comment beside it is not part of it.
    scalar = Scalar(text, found.place, found.style, found.indent)
    return PublicText(text, Spot(located.file, scalar, located.body_line), path)
