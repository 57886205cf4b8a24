"""What the owner of a unit gets to read about it, in types that have room for nothing else.

The report is made from these types alone: no note of the shop, no price, no minutes, no other unit and no
other owner has a place here.
"""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from typing import Literal

from kb.audience.public import PublicText

Verdict = Literal["holds", "fails", "not_done", "not_judged"]
Decision = Literal["keep", "redo", "undo"]


@dataclass(frozen=True)
class ShopLines:
    """The shop as a letter head names it, and the rules it defers to."""

    name: str
    place: str | None
    local_code: str


@dataclass(frozen=True)
class Instrument:
    """What the unit is."""

    maker: str
    name: str
    kind: str
    serial: str


@dataclass(frozen=True)
class EarlierRepair:
    """What somebody did to the unit before, and what was decided about it."""

    found: str
    decision: Decision
    why: str


@dataclass(frozen=True)
class Repair:
    """One thing that was wrong, what was done about it, and what told the difference."""

    title: str
    done: PublicText | None
    before: str | None
    after: str | None


@dataclass(frozen=True)
class Measured:
    """What a check gave, and whether that is within its limits."""

    reading: str | None
    verdict: Verdict


@dataclass(frozen=True)
class BeforeAndAfter:
    """A check that was made while the fault was looked for; `after` is None if it was not made again."""

    what: str
    good: str
    before: Measured
    after: Measured | None


@dataclass(frozen=True)
class ChangedPart:
    """A value that is another one now than when the unit came in."""

    what: str
    was: str | None
    now: str


@dataclass(frozen=True)
class Adjustment:
    """A trimmer and what it read; `after` is None if it was not turned."""

    name: str
    where: str
    good: str
    before: Measured | None
    after: Measured | None


@dataclass(frozen=True)
class FinalCheck:
    """A check made before the unit went home."""

    what: str
    good: str
    result: Measured


@dataclass(frozen=True)
class FittedPart:
    """A part that went into the unit."""

    name: str
    value: str | None
    where: str | None
    quantity: int


@dataclass(frozen=True)
class Photograph:
    """A picture made anew, as the bytes that go into the report."""

    media_type: str
    content: bytes
    shows: str


@dataclass(frozen=True)
class Handover:
    """One report: everything that goes home with the unit."""

    job: str
    shop: ShopLines
    instrument: Instrument
    reference: str | None
    received: datetime.date
    returned: datetime.date | None
    complaint: tuple[str, ...]
    arrival: PublicText | None
    earlier: tuple[EarlierRepair, ...]
    repairs: tuple[Repair, ...]
    readings: tuple[BeforeAndAfter, ...]
    changed: tuple[ChangedPart, ...]
    adjustments: tuple[Adjustment, ...]
    parts: tuple[FittedPart, ...]
    final_checks: tuple[FinalCheck, ...]
    photographs: tuple[Photograph, ...]
    hazards: tuple[str, ...]
    cautions: tuple[str, ...]
    advice: PublicText | None
