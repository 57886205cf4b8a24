"""Whole pulses and periods among the edges of a trace: which are there, how long they last."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from kb.captures.capture import Samples
from kb.captures.edges import Edges, Positions, Trace
from kb.captures.measurement import Pulse
from kb.captures.states import States


@dataclass(frozen=True)
class Pulses:
    """The whole pulses of one direction, and the periods from start to start.

    `duty` has one share for each period that begins with a whole pulse. `cut` counts pulses with an edge in a
    gap, `with_gaps` whole ones with a gap somewhere inside, in which something may have been missed.
    """

    goes_up: bool
    starts_s: Samples
    durations_s: Samples
    periods_s: Samples
    duty: Samples
    cut: int
    with_gaps: int

    @property
    def shortest(self) -> Pulse | None:
        """The shortest pulse, the first of several; None where none is whole."""
        if not len(self.durations_s):
            return None
        at = int(np.argmin(self.durations_s))
        start_s = float(self.starts_s[at])
        return Pulse(start_s, start_s + float(self.durations_s[at]))


def goes_up(edges: Edges, trace: Trace, states: States) -> bool:
    """Whether pulses rise from a low rest: the state a record begins and ends in, or else the longer one."""
    begins_low, ends_low = bool(edges.is_up[0]), not edges.is_up[-1]
    if begins_low == ends_low:
        return begins_low
    return float((trace.samples >= states.level(0.5)).mean()) <= 0.5


def pulses_of(edges: Edges, trace: Trace, up: bool) -> Pulses:
    """The pulses in the direction `up`, with their periods."""
    leading = np.flatnonzero(edges.is_up == up)
    paired = leading[leading + 1 < len(edges)]
    durations_s = edges.at_s[paired + 1] - edges.at_s[paired]
    is_whole = np.isfinite(durations_s)
    inside = ~trace.is_whole(edges.last[paired], edges.first[paired + 1])
    periods_s = np.diff(edges.at_s[leading])
    is_period = np.isfinite(periods_s) & _unbroken(edges, trace, leading)
    duty = durations_s[: len(periods_s)] / periods_s
    return Pulses(
        up, edges.at_s[paired][is_whole], durations_s[is_whole], periods_s[is_period],
        duty[is_period & np.isfinite(duty)], int((~is_whole).sum()), int((inside & is_whole).sum()),
    )  # fmt: skip


def _unbroken(edges: Edges, trace: Trace, leading: Positions) -> NDArray[np.bool_]:
    return trace.is_whole(edges.last[leading[:-1]], edges.first[leading[1:]])
