"""A guide: prose with calculations and links to records; its front matter says who may read it."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from kb.records.fields import Audience, Date, Identifier, Line, OneOrMany, Prose, Whole, Written
from kb.records.hazards import HazardId

Identifiers = Annotated[tuple[Identifier, ...], OneOrMany]


class GuideHead(Written):
    """The front matter of a guide."""

    title: Line
    summary: Line
    models: Identifiers = ()
    faults: Identifiers = ()
    parts: Identifiers = ()
    hazards: tuple[HazardId, ...] = ()
    sources: tuple[Line, ...] = ()
    order: Whole | None = Field(None, description="its place in lists; by title if left out")
    recorded: Date | None = None
    audience: Audience = "shop"


class Guide(Written):
    """A guide or a page of the handbook: its head and its Markdown."""

    head: GuideHead
    body: Prose
