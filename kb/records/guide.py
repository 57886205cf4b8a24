"""A guide: prose with calculations, exercises and links to records; its front matter says who may read it."""

from __future__ import annotations

import re
from typing import Annotated, Any

from pydantic import BeforeValidator, Field, WithJsonSchema

from kb.records.fields import Audience, Date, Identifier, Line, OneOrMany, Prose, Whole, Written, wrong
from kb.records.hazards import HazardId

Identifiers = Annotated[tuple[Identifier, ...], OneOrMany]
LESSON_KINDS = ("handbook", "guide", "practice")


def _lesson(value: Any) -> str:
    text = value.strip() if isinstance(value, str) else ""
    if not re.fullmatch(rf"practice|(?:{'|'.join(LESSON_KINDS)}):[a-z0-9-]+", text):
        advice = "write handbook:id, guide:id, practice:model or practice, without a blank after the colon"
        raise wrong(f'"{text[:40]}" is no lesson', advice)
    return text


Lesson = Annotated[str, BeforeValidator(_lesson), WithJsonSchema({"type": "string"})]
"""A page of a course: `handbook:converters` or `practice:pacer`; `practice` alone is that of every model."""


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
    lessons: Annotated[tuple[Lesson, ...], OneOrMany] = Field(
        (),
        description="makes the guide a course: handbook:id, guide:id, practice:model or practice, in order",
    )
    recorded: Date | None = None
    audience: Audience = "shop"


class Guide(Written):
    """A guide or a page of the handbook: its head and its Markdown."""

    head: GuideHead
    body: Prose
