"""The shop: every record by kind and id, and what a model's records say once they are put together."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from types import MappingProxyType
from typing import TypeVar

from kb.reading import Located
from kb.records import (
    Block,
    Check,
    Fault,
    Guide,
    Job,
    Model,
    OwnCalculator,
    Part,
    Reservoir,
    Revision,
    ShopCard,
)
from kb.shop.serials import SerialRange, parse_serials

Named = TypeVar("Named", Revision, Block, Check)


@dataclass(frozen=True)
class ModelFacts:
    """One model with the questions that pages ask of it answered."""

    id: str
    model: Model

    @cached_property
    def revision_ids(self) -> tuple[str, ...]:
        """The revisions in the order the record gives them."""
        return tuple(revision.id for revision in self.model.revisions)

    @cached_property
    def ranges(self) -> Mapping[str, tuple[SerialRange, ...]]:
        """The serial ranges of each revision; raises UnreadableSerials in a model that has problems."""
        return MappingProxyType(
            {
                revision.id: tuple(parse_serials(text) for text in revision.serials)
                for revision in self.model.revisions
            }
        )

    def revision(self, identifier: str) -> Revision:
        """The revision of that id; raises KeyError."""
        return _by_id(self.model.revisions, identifier)

    def block(self, identifier: str) -> Block:
        """The block of that id; raises KeyError."""
        return _by_id(self.model.blocks, identifier)

    def check(self, identifier: str) -> Check:
        """The check of that id; raises KeyError."""
        return _by_id(self.model.checks, identifier)

    def has_block(self, identifier: str) -> bool:
        """Whether the model has a block of that id."""
        return any(block.id == identifier for block in self.model.blocks)

    def has_check(self, identifier: str) -> bool:
        """Whether the model has a check of that id."""
        return any(check.id == identifier for check in self.model.checks)

    def revisions_of(self, named: tuple[str, ...]) -> tuple[str, ...]:
        """The revisions that something limited to `named` is on: all of them when none is named."""
        return tuple(each for each in self.revision_ids if not named or each in named)

    def revisions_for_serial(self, serial: str) -> tuple[str, ...]:
        """The revisions whose ranges hold the serial as typed: none, one, or several told apart by sight."""
        return tuple(
            identifier
            for identifier, ranges in self.ranges.items()
            if any(each.holds(serial) for each in ranges)
        )

    def checks_at(self, block: str) -> tuple[Check, ...]:
        """The checks made at a block."""
        return tuple(check for check in self.model.checks if check.block == block)

    def reservoirs_on(self, revisions: tuple[str, ...]) -> tuple[Reservoir, ...]:
        """The reservoir capacitors that at least one of `revisions` carries."""
        supply = self.model.supply
        return tuple(
            each
            for each in (supply.reservoirs if supply else ())
            if set(self.revisions_of(each.revisions)) & set(revisions)
        )


def _by_id(items: tuple[Named, ...], identifier: str) -> Named:
    for item in items:
        if item.id == identifier:
            return item
    raise KeyError(identifier)


@dataclass(frozen=True)
class Shop:
    """All records of a shop, checked; nothing in it changes after `load_shop` gave it out."""

    root: Path
    card: Located[ShopCard]
    models: Mapping[str, Located[Model]]
    faults: Mapping[str, Located[Fault]]
    parts: Mapping[str, Located[Part]]
    guides: Mapping[str, Located[Guide]]
    jobs: Mapping[str, Located[Job]]
    calculators: Mapping[str, Located[OwnCalculator]]
    handbook: Mapping[str, Located[Guide]]
    data_files: frozenset[str]
    synonyms: tuple[tuple[str, ...], ...] = ()
    """Groups of phrases that mean the same, beside those of the trade."""

    @cached_property
    def facts(self) -> Mapping[str, ModelFacts]:
        """Each model with its questions answered."""
        return MappingProxyType(
            {identifier: ModelFacts(identifier, each.record) for identifier, each in self.models.items()}
        )

    def revisions_of_fault(self, fault: Fault, model: str) -> tuple[str, ...]:
        """The revisions of `model` that `fault` is on, in the model's order."""
        return fault_revisions(fault, self.facts[model])


def fault_revisions(fault: Fault, facts: ModelFacts) -> tuple[str, ...]:
    """The revisions of one model that a fault applies to.

    `revisions` may name plain ids, or `model/id` where the fault is on several models; a model that
    none of them names has the fault on all of its revisions.
    """
    named = [split_revision(text, fault) for text in fault.revisions if text != "all"]
    here = tuple(identifier for model, identifier in named if model in (facts.id, None))
    return facts.revisions_of(here)


def split_revision(text: str, fault: Fault) -> tuple[str | None, str]:
    """`sixteenfold/b` as (model, revision); a plain id belongs to the only model, or to any of them."""
    model, slash, identifier = text.partition("/")
    if slash:
        return model, identifier
    return (fault.models[0] if len(fault.models) == 1 else None), text
