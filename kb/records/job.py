"""One unit on the bench. Always private: a job has no audience to set."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from kb.records.capture import NamedCapture
from kb.records.fault import ChangedValue
from kb.records.fields import (
    Calculation,
    Date,
    Flag,
    Identifier,
    Line,
    OneOrMany,
    Prose,
    ReadingText,
    Whole,
    Written,
)
from kb.records.trim import TrimResult

Outcome = Literal["good", "bad", "not_done"]
Decision = Literal["keep", "redo", "undo"]


class EarlierWork(Written):
    """What somebody did to the unit before, and what is to become of it."""

    found: Line
    decision: Decision
    why: Line


class CheckOutcome(Written):
    """What one of the model's checks gave on this unit."""

    check: Identifier
    outcome: Outcome | None = Field(None, description="judged from the reading where that is a quantity")
    reading: ReadingText | None = None


class Finding(Written):
    """A fault that was found on the unit, and whether its cure held."""

    fault: Identifier
    checks: tuple[CheckOutcome, ...] = ()
    before: Line | None = None
    after: Line | None = None
    values: tuple[ChangedValue, ...] = Field((), description="values changed on this unit, was and now")
    values_of_fault: Flag = Field(False, description="true if the values were changed as the fault tells")
    minutes: Whole | None = None
    told: Line | None = Field(
        None, description="what was wrong, in words for the owner; the fault's title if left out"
    )
    done: Prose | None = Field(None, description="what was done about it, in words for the owner")
    held: Flag | None = Field(None, description="false if it came back; leave it out while that is open")
    note: Prose | None = None


class UsedPart(Written):
    """A part that went into the unit."""

    part: Identifier
    where: Line | None = None
    value: Line | None = Field(None, description="what was fitted, as it is marked, such as 1 uF, 63 V")
    quantity: Whole = 1


class FinalTest(Written):
    """A check made before the unit went home."""

    check: Identifier
    reading: ReadingText | None = None
    outcome: Outcome


class Picture(Written):
    """A picture of this unit that goes into its report."""

    file: Line = Field(description="its name under photos/")
    shows: Line = Field(description="what is to be seen, also for those who cannot see it")


class Job(Written):
    """One visit of one unit. Its report for the owner holds what `kb/audience/handover_fields.py` lists."""

    model: Identifier
    serial: Line
    revision: Identifier | None = Field(None, description="by sight, where the serial does not tell")
    seen: Annotated[tuple[Line, ...], OneOrMany] = Field(
        (), description="sight marks that were seen on the unit, in the words of by_sight in the model"
    )
    outside_because: Line | None = Field(
        None, description="why the serial lies outside every range, or contradicts the marks"
    )
    received: Date
    returned: Date | None = None
    customer: Line | None = Field(None, description="a private reference, not a name")
    complaint: Annotated[tuple[Line, ...], OneOrMany] = ()
    arrival: Prose | None = Field(None, description="function and looks when it came in")
    earlier_work: tuple[EarlierWork, ...] = ()
    findings: tuple[Finding, ...] = ()
    parts: tuple[UsedPart, ...] = ()
    trims: tuple[TrimResult, ...] = Field((), description="what the model's trims read, before and after")
    calculations: tuple[Calculation, ...] = Field(
        (), description="worked out on the job's page, such as tracking with the octaves that were read"
    )
    final_tests: tuple[FinalTest, ...] = ()
    photos: tuple[Picture, ...] = Field((), description="pictures for the owner's report")
    cautions: Annotated[tuple[Line, ...], OneOrMany] = Field(
        (), description="what the owner has to mind in use, beside the cautions that come by themselves"
    )
    captures: Annotated[tuple[NamedCapture, ...], OneOrMany] = Field(
        (), description="oscilloscope captures under captures/; they stay in the shop"
    )
    advice: Prose | None = Field(None, description="for the owner: care, and what will need work later")
    note: Prose | None = None
