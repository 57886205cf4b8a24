"""What customers may see, in types that have room for nothing else.

Pages for customers are made from these types alone, so that what a shop keeps to itself cannot get into
one: no serial, no price, no check, no reading, no job has a place here.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import TypeVar

from kb.reading import Place
from kb.reading.tree import Scalar

PublicKind = TypeVar("PublicKind")


@dataclass(frozen=True)
class Spot:
    """Where a text stands, for the problems found in it; no page shows it."""

    file: str
    scalar: Scalar
    body_line: int

    @property
    def place(self) -> Place:
        """The first character of the text."""
        return self.scalar.place


@dataclass(frozen=True)
class PublicText:
    """Prose that customers read."""

    text: str
    spot: Spot = field(compare=False, repr=False)
    path: tuple[str | int, ...] = ()
    """The field it stands in; empty for the body of a guide."""


@dataclass(frozen=True)
class PublicModel:
    """An instrument by its name."""

    id: str
    name: str
    maker: str
    kind: str
    years: str | None


@dataclass(frozen=True)
class PublicPart:
    """A component as one speaks of it to somebody who does not repair."""

    id: str
    name: str
    kind: str
    summary: PublicText | None
    hazards: tuple[str, ...]


@dataclass(frozen=True)
class PublicFault:
    """A fault that an owner can look into: what is heard, why, and what can be done."""

    id: str
    title: str
    models: tuple[str, ...]
    symptoms: tuple[str, ...]
    cause: PublicText
    fix: tuple[PublicText, ...]
    confirmed: bool
    hazards: tuple[str, ...]
    related: tuple[str, ...]


@dataclass(frozen=True)
class PublicGuide:
    """A guide for customers."""

    id: str
    title: str
    summary: str
    models: tuple[str, ...]
    faults: tuple[str, ...]
    parts: tuple[str, ...]
    hazards: tuple[str, ...]
    sources: tuple[str, ...]
    order: int | None
    body: PublicText


@dataclass(frozen=True)
class PublicSite:
    """Everything that may leave; each mapping is in the order of its ids."""

    name: str
    place: str | None
    local_code: str
    models: Mapping[str, PublicModel]
    faults: Mapping[str, PublicFault]
    guides: Mapping[str, PublicGuide]
    parts: Mapping[str, PublicPart]


def by_id(records: Mapping[str, PublicKind]) -> Mapping[str, PublicKind]:
    """The same records in an order that depends on their ids alone."""
    return MappingProxyType({identifier: records[identifier] for identifier in sorted(records)})
