"""What is said beside the values: what could not be measured and why, and what makes a value doubtful."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from kb.captures.capture import Capture, Channel
from kb.captures.edges import Edges
from kb.captures.measurement import Estimate, Kind
from kb.captures.pulses import Pulses
from kb.captures.states import States
from kb.quantities import show

NO_SAMPLES = "the channel holds no samples to measure"
OUT_OF_RANGE = "samples lie beyond the range: set a higher range and capture again"
_FEW = 10
_CLIPPED = (
    "the {what} is cut off: the amplitude is a lower bound, and durations are taken at the middle of what is "
    "left, so they are off by up to the time of an edge; set a higher range and capture again"
)


def no_transition(channel: Channel, level: float, noise: float, spread: float) -> str:
    """What is said of a trace without two states."""
    at = show(level, channel.dimension)
    if not spread:
        return f"there is no transition: every sample is {at}, so there is no pulse to measure"
    return (
        f"no transition stands clear of the noise: the level is {at}, within "
        f"{show(spread, channel.dimension)} peak to peak, "
        f"noise {show(noise, channel.dimension)} rms, so there is no pulse to measure"
    )


@dataclass(frozen=True)
class Told:
    """Everything a remark may be about."""

    capture: Capture
    channel: Channel
    states: States
    kind: Kind
    pulses: Pulses | None
    edges: Edges
    found: Mapping[str, Estimate]

    def notes(self) -> tuple[str, ...]:
        """What somebody has to know of the values."""
        said = (self._direction(), self._fast_edges(), self._aberration(), self._jitter_floor(), self._gaps())
        return tuple(each for each in said if each)

    def _direction(self) -> str | None:
        if self.pulses is None or self.kind == "step" or self.pulses.goes_up:
            return None
        return "pulses go down from a high rest: duration is the time below the middle level"

    def _fast_edges(self) -> str | None:
        if not any(self.found[key].bound for key in ("rise", "fall") if key in self.found):
            return None
        interval = show(self.capture.time.interval_s, "time")
        return f"edges are faster than the sampling ({interval} a sample): rise and fall are upper bounds"

    def _aberration(self) -> str | None:
        floor = self.states.noise * math.sqrt(2 * math.log(max(self.states.count_top, 2)))
        limit = 1.3 * floor / self.states.amplitude
        shown = [
            key for key in ("overshoot", "undershoot") if key in self.found and self.found[key].value > 0
        ]
        if not floor or not shown or any(self.found[key].value > limit for key in shown):
            return None
        return f"overshoot and undershoot are no more than noise makes (up to {show(limit, 'ratio', 2)})"

    def _jitter_floor(self) -> str | None:
        jitter = self.found.get("jitter")
        if jitter is None or self.pulses is None:
            return None
        slopes = self.edges.steepness[self.edges.is_up == self.pulses.goes_up]
        floor = math.sqrt(2) * self.states.noise / float(slopes.mean())
        if jitter.value > 2 * floor:
            return None
        return f"noise alone makes about {show(floor, 'time', 2)} of jitter here: the true one may be less"

    def _gaps(self) -> str | None:
        said = []
        if self.channel.gaps or self.capture.time.missing:
            said.append(f"{self.channel.gaps + self.capture.time.missing} samples are missing")
        if self.pulses and self.pulses.cut:
            said.append(f"pulses with an edge in a gap, {self.pulses.cut}, are left out")
        if self.pulses and self.pulses.with_gaps:
            said.append(
                f"{self.pulses.with_gaps} measured pulses have a gap inside, where something may be hidden"
            )
        return "; ".join(said) or None

    def warnings(self) -> tuple[str, ...]:
        """What spoils a value."""
        said = []
        if self.states.clipped_top or self.states.clipped_base:
            cut = [
                word
                for word, is_cut in (("top", self.states.clipped_top), ("base", self.states.clipped_base))
                if is_cut
            ]
            said.append(_CLIPPED.format(what=" and the ".join(cut)))
        few = min(self.states.count_base, self.states.count_top)
        if few < _FEW:
            said.append(
                f"a state rests on {few} {'sample' if few == 1 else 'samples'} only: capture more finely"
            )
        return tuple(said)

    def cannot(self) -> tuple[str, ...]:
        """What is not measured, and why."""
        said = []
        if self.states.clipped_top or self.states.clipped_base:
            said.append("overshoot beyond a cut level cannot be told")
        if self.kind == "step":
            said.append(self._no_pulse())
        elif "period" not in self.found and self.kind == "train":
            said.append("every period has a gap in it: period, frequency, duty and jitter are open")
        elif "period" not in self.found:
            said.append("one pulse has no period, frequency, duty or jitter: capture several")
        elif "jitter" not in self.found:
            said.append("jitter needs three periods or more")
        return tuple(said)

    def _no_pulse(self) -> str:
        if len(self.edges) == 1:
            way = "up" if self.edges.is_up[0] else "down"
            return f"a step {way} and no whole pulse: duration and period are open, capture a longer record"
        return "no pulse is whole in this record: duration and period are open, capture a longer record"
