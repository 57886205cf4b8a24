"""An instrument: its supply, its revisions, the graph of its blocks, the checks and the ports."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, model_validator

from kb.records.fields import (
    Audience,
    Calculation,
    Capacitance,
    Date,
    Frequency,
    Identifier,
    Line,
    OneOrMany,
    Prose,
    ReadingText,
    Resistance,
    TimeSpan,
    Voltage,
    VoltageSpan,
    Whole,
    Written,
)
from kb.records.hazards import HazardId
from kb.records.trim import Calibration

Direction = Literal["in", "out"]
Carries = Literal["pitch", "gate", "trigger", "clock", "reset", "control", "audio", "data"]
Style = Literal["voltage", "switch"]
PitchStandard = Literal["volt_per_octave", "hertz_per_volt"]
RevisionIds = Annotated[tuple[Identifier, ...], OneOrMany]


class Reservoir(Written):
    """A capacitor that holds energy after the plug is out."""

    name: Line = Field(description="the part as the drawing calls it, such as C1")
    capacitor: Capacitance
    voltage: Voltage = Field(description="what it is charged to in normal use")
    bleeder: Resistance | None = Field(None, description="the resistor that empties it, if one is fitted")
    revisions: RevisionIds = Field((), description="only on these revisions; every one if left out")


class Rail(Written):
    """One output of the supply."""

    id: Identifier
    name: Line
    limits: VoltageSpan = Field(description="what is still good, such as 4.75 V to 5.25 V")
    ripple: VoltageSpan | None = Field(None, description="peak to peak, such as <= 20 mV")
    test_point: Line | None = None
    revisions: RevisionIds = ()


class Supply(Written):
    """How the instrument is fed."""

    mains: VoltageSpan | None = Field(None, description="mains voltage, such as 220 V to 240 V")
    frequency: Frequency | None = None
    fuse: Line | None = Field(None, description="rating and kind, such as T 315 mA, 5 x 20 mm")
    lead: Line | None = Field(None, description="how the mains lead enters, and whether there is an earth")
    reservoirs: tuple[Reservoir, ...] = ()
    rails: tuple[Rail, ...] = ()
    note: Prose | None = None


class Difference(Written):
    """What a revision carries in a block where another one carries something else."""

    block: Identifier
    what: Line = Field(description="the part or property, such as R14, timing resistor")
    was: Line | None = Field(None, description="on the revision before")
    now: Line = Field(description="on this revision; `is` in the shop's words")
    why: Line | None = None


class Revision(Written):
    """One state of the hardware, told by serial number and by sight."""

    id: Identifier
    name: Line | None = None
    years: Line | None = None
    serials: Annotated[tuple[Line, ...], OneOrMany] = Field(
        (), description="ranges such as SW16-0001 to SW16-0412, or SW16-0900 and up"
    )
    by_sight: tuple[Line, ...] = Field((), description="marks that tell this revision from the others")
    shares_serials_with: RevisionIds = Field(
        (), description="revisions whose serial ranges overlap this one's, told apart by sight"
    )
    differences: tuple[Difference, ...] = ()
    note: Prose | None = None


class Feed(Written):
    """One arrow of the signal flow. A plain block id stands for `to: id`."""

    to: Identifier
    carries: Line | None = Field(None, description="what travels there, such as 24 ppqn clock")
    revisions: RevisionIds = ()

    @model_validator(mode="before")
    @classmethod
    def _plain_id(cls, value: object) -> object:
        return {"to": value} if isinstance(value, str) else value


class Block(Written):
    """A part of the instrument that does one job and can be checked by itself."""

    id: Identifier
    name: Line
    role: Identifier | None = Field(
        None, description="the job in words shared by all models, such as master-clock; the id if left out"
    )
    does: Prose | None = Field(None, description="what it does, for somebody who never saw it")
    feeds: Annotated[tuple[Feed, ...], OneOrMany] = ()
    test_point: Line | None = None
    expect: ReadingText | None = Field(None, description="what a good unit shows at the test point")
    revisions: RevisionIds = Field((), description="only on these revisions; every one if left out")
    hazards: tuple[HazardId, ...] = ()
    parts: tuple[Identifier, ...] = Field((), description="part records of what sits in this block")

    @property
    def shared_role(self) -> str:
        """The job this block does, by which it is compared with blocks of other models."""
        return self.role or self.id


class Check(Written):
    """Something to measure or look at, and what is good."""

    id: Identifier
    called: Line | None = Field(
        None, description="a short name for the owner's report, such as Protective earth; `do` if left out"
    )
    block: Identifier
    do: Line = Field(description="what to do, as you would tell a colleague")
    good: ReadingText = Field(description="words, or a range with its unit such as 4.75 V to 5.25 V")
    minutes: Whole | None = Field(None, description="how long it takes with the case open")
    hazards: tuple[HazardId, ...] = ()
    revisions: RevisionIds = ()
    note: Prose | None = None


class PulseMaker(Written):
    """The one-shot that sets how long an output's pulse is."""

    device: Line = Field(description="its type number, such as 74LS123")
    where: Line = Field(description="what to change for another length, such as R14")
    resistor: Resistance = Field(description="the timing resistor that is fitted")
    capacitor: Capacitance = Field(description="the timing capacitor, with its tolerance where it is known")


class PitchConverter(Written):
    """The digital-to-analogue converter behind a pitch output."""

    bits: Whole
    full_scale: Voltage = Field(description="one step above its top code")


class Port(Written):
    """A socket to the outside: what it gives or needs.

    Where revisions differ, each state of the socket is a port of its own that names its revisions.
    """

    id: Identifier
    name: Line
    direction: Direction
    carries: Carries
    block: Identifier | None = None
    style: Style = "voltage"
    high: VoltageSpan | None = Field(None, description="level when on: delivered, or needed at an input")
    low: VoltageSpan | None = None
    duration: TimeSpan | None = Field(None, description="delivered by an output, least needed by an input")
    one_shot: PulseMaker | None = Field(None, description="what sets the duration of an output")
    standard: PitchStandard | None = None
    converter: PitchConverter | None = Field(None, description="where a pitch output comes from one")
    pulses_per_quarter: Whole | None = None
    connector: Line | None = None
    revisions: RevisionIds = ()


class Model(Written):
    """An instrument and all its revisions."""

    name: Line
    maker: Line
    kind: Line = Field(description="what it is, such as step sequencer")
    years: Line | None = None
    summary: Prose
    hazards: tuple[HazardId, ...] = ()
    supply: Supply | None = None
    revisions: tuple[Revision, ...] = Field(min_length=1)
    blocks: tuple[Block, ...] = Field(min_length=1)
    checks: tuple[Check, ...] = ()
    calibration: Calibration | None = Field(None, description="the trims, in the order they are made")
    ports: tuple[Port, ...] = ()
    calculations: tuple[Calculation, ...] = ()
    photos: tuple[Line, ...] = Field((), description="file names under photos/")
    sources: tuple[Line, ...] = ()
    recorded: Date | None = None
    audience: Audience = "shop"
    private_note: Prose | None = Field(None, description="never leaves the shop, whatever the audience")
