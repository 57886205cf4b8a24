"""How an instrument is trimmed: one trimmer after the other, what each has to read, which disturbs which."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from kb.records.fields import Identifier, Line, OneOrMany, Prose, ReadingText, Whole, Written
from kb.records.hazards import HazardId

Tracks = Literal["scale", "offset", "high_end"]
"""What a trim does to the pitch of an oscillator, for the words of the calculation `tracking`."""


class Trim(Written):
    """One trimmer, in its place in the order."""

    id: Identifier
    name: Line = Field(description="what it is called, such as SCALE")
    trimmer: Line = Field(description="where it is, such as RV3 on the voice board")
    block: Identifier
    set_up: Prose | None = Field(None, description="what has to be set before")
    do: Line = Field(description="what to measure and to turn, as you would tell a colleague")
    good: ReadingText = Field(description="the reading to reach, with its limits")
    tracks: Tracks | None = Field(None, description="scale, offset or high_end of an oscillator's pitch")
    disturbs: Annotated[tuple[Identifier, ...], OneOrMany] = Field(
        (), description="trims that have to be made again once this one was turned"
    )
    go_back_to: Identifier | None = Field(
        None, description="the earlier trim to go back to until all hold, where this one disturbs it"
    )
    minutes: Whole | None = None
    hazards: tuple[HazardId, ...] = ()
    revisions: Annotated[tuple[Identifier, ...], OneOrMany] = Field(
        (), description="only on these revisions; every one if left out"
    )


class Calibration(Written):
    """All trims of a model in the order they are made."""

    before: Prose | None = Field(None, description="what has to be done before the first: warm-up, meters")
    trims: tuple[Trim, ...] = Field(min_length=1)


class TrimResult(Written):
    """What one of the model's trims read on a unit, before and after it was turned."""

    trim: Identifier
    before: ReadingText | None = None
    after: ReadingText | None = Field(None, description="leave it out where it was not turned")
    note: Line | None = None
