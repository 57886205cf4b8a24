"""A component: what it is, what it stands, what may take its place and on what conditions."""

from __future__ import annotations

from pydantic import Field, model_validator

from kb.records.fields import (
    Audience,
    Calculation,
    Date,
    Flag,
    Identifier,
    Line,
    Prose,
    ReadingText,
    Written,
    wrong,
)
from kb.records.hazards import HazardId


class Rating(Written):
    """One figure of the data sheet."""

    what: Line
    value: ReadingText = Field(description="words, or a quantity or range with its unit")
    condition: Line | None = None


class Substitute(Written):
    """Something that may be fitted instead: a part record, or a type written in words."""

    part: Identifier | None = None
    type: Line | None = Field(None, description="a type that has no record of its own")
    condition: Line = Field(description="what must be true, or changed, for it to serve")

    @model_validator(mode="after")
    def _one_of_them(self) -> Substitute:
        if (self.part is None) == (self.type is None):
            raise wrong("a substitute is either a part record or a type in words", "write part: or type:")
        return self


class Part(Written):
    """A component the shop fits or meets."""

    name: Line
    kind: Line = Field(description="such as one-shot, regulator, electrolytic capacitor")
    summary: Prose | None = None
    package: Line | None = None
    markings: tuple[Line, ...] = Field((), description="what is printed on it")
    ratings: tuple[Rating, ...] = ()
    substitutes: tuple[Substitute, ...] = ()
    obsolete: Flag = False
    hazards: tuple[HazardId, ...] = ()
    calculations: tuple[Calculation, ...] = ()
    sources: tuple[Line, ...] = ()
    photos: tuple[Line, ...] = ()
    recorded: Date | None = None
    kept_in: Line | None = Field(None, description="the drawer; never leaves the shop")
    price: Line | None = Field(None, description="never leaves the shop")
    audience: Audience = "shop"
    private_note: Prose | None = Field(None, description="never leaves the shop, whatever the audience")
