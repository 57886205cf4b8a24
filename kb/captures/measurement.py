"""What was measured on one channel, and what could not be: plain data for pages, terminal and verdict."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from kb.captures.capture import Capture, Channel
from kb.captures.doubt import COVERAGE
from kb.captures.states import States

Kind = Literal["flat", "noise", "step", "pulse", "train"]
Bound = Literal["", "at least", "at most"]


@dataclass(frozen=True)
class Estimate:
    """One parameter: its value in SI, the standard uncertainty `doubt`, and how many were averaged.

    `least` and `most` are the smallest and the greatest single one. With a `bound` the true value is known to
    one side only.
    """

    value: float
    doubt: float
    count: int = 1
    least: float | None = None
    most: float | None = None
    bound: Bound = ""

    @property
    def low(self) -> float:
        """The value less about 95 % of its doubt."""
        return self.value - COVERAGE * self.doubt

    @property
    def high(self) -> float:
        """The value and about 95 % of its doubt."""
        return self.value + COVERAGE * self.doubt


@dataclass(frozen=True)
class Pulse:
    """One whole pulse: when it begins and ends at the middle level."""

    start_s: float
    end_s: float

    @property
    def duration_s(self) -> float:
        """How long it lasts."""
        return self.end_s - self.start_s


@dataclass(frozen=True)
class Measurement:
    """One channel measured. `goes_up` is False for pulses below a high rest; `pulses` counts the whole ones.

    `notes` say what somebody has to know of these values, `cannot` what is not measured and why.
    """

    capture: Capture
    channel: Channel
    kind: Kind
    states: States | None
    goes_up: bool
    estimates: Mapping[str, Estimate]
    pulses: int = 0
    shortest: Pulse | None = None
    edges: int = 0
    notes: tuple[str, ...] = ()
    warnings: tuple[str, ...] = ()
    cannot: tuple[str, ...] = ()
