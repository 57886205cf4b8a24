"""A fault: what was heard and seen, how the checks read, what caused it and what cured it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

from pydantic import AfterValidator, Field, model_validator

from kb.quantities import Quantity
from kb.records.capture import NamedCapture
from kb.records.fields import (
    Audience,
    Calculation,
    Date,
    Flag,
    Identifier,
    Key,
    Line,
    OneOrMany,
    Prose,
    ReadingText,
    Whole,
    Written,
    quantity_of,
    wrong,
)
from kb.records.hazards import HazardId


class FaultCheck(Written):
    """How one of the model's checks reads when this is the fault."""

    check: Identifier = Field(description="a check of the model")
    reads: ReadingText = Field(description="words, or a range with its unit")
    means: Line | None = Field(None, description="what the reading tells")


if TYPE_CHECKING:
    Ratio = Quantity
else:
    Ratio = quantity_of("ratio", "5 %")


def _is_a_share(within: Quantity) -> Quantity:
    if not 0 < within.value < 1:
        raise wrong(f'"{within.text[:40]}" is no share to be off by', 'write it in per cent, such as "5 %"')
    return within


class ChangedValue(Written):
    """A value that the cure changes, and the calculation it is held against."""

    what: Line = Field(description="the part or quantity, such as R14, timing resistor")
    was: Line | None = None
    now: Line
    calculation: Calculation | None = None
    stands_for: Key | None = Field(
        None,
        description="the calculation's input or result that was and now are values of; "
        "the one it solves for if left out",
    )
    within: Annotated[Ratio, AfterValidator(_is_a_share)] | None = Field(
        None, description="how far `now` may be from what is computed; its own tolerance, or 5 %, if left out"
    )
    accepted_because: Line | None = Field(
        None, description="why a value that disagrees with the calculation is right all the same"
    )


class FaultPart(Written):
    """A part the cure needs. A plain part id stands for `part: id`."""

    part: Identifier
    where: Line | None = Field(None, description="its place on the drawing, such as IC4")
    quantity: Whole = 1
    note: Line | None = None

    @model_validator(mode="before")
    @classmethod
    def _plain_id(cls, value: object) -> object:
        return {"part": value} if isinstance(value, str) else value


class Fault(Written):
    """One fault with one cause, on one model or on several."""

    title: Line
    models: Annotated[tuple[Identifier, ...], OneOrMany] = Field(min_length=1)
    revisions: Annotated[tuple[Line, ...], OneOrMany] = Field(
        ("all",), description="all, ids such as b, or model/revision where there are several models"
    )
    block: Identifier
    symptoms: Annotated[tuple[Line, ...], OneOrMany] = Field(
        min_length=1, description="in the words a customer or a technician would use"
    )
    checks: tuple[FaultCheck, ...] = ()
    cause: Prose
    fix: Annotated[tuple[Prose, ...], OneOrMany] = Field(
        min_length=1, description="the steps of the cure, in order"
    )
    confirmed: Flag = Field(True, description="false while the cause is only suspected")
    values: tuple[ChangedValue, ...] = ()
    calculations: tuple[Calculation, ...] = ()
    hazards: tuple[HazardId, ...] = ()
    parts: tuple[FaultPart, ...] = ()
    minutes: Whole | None = Field(None, description="how long the cure takes")
    photos: tuple[Line, ...] = ()
    captures: Annotated[tuple[NamedCapture, ...], OneOrMany] = Field(
        (), description="oscilloscope captures under captures/; the page shows and measures them"
    )
    related: Annotated[tuple[Identifier, ...], OneOrMany] = ()
    sources: tuple[Line, ...] = ()
    recorded: Date | None = None
    audience: Audience = "shop"
    private_note: Prose | None = Field(None, description="never leaves the shop, whatever the audience")
