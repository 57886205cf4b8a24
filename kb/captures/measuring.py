"""Measures one channel of a capture: states, edges, pulses, periods, each with its uncertainty.

Terms and levels as in IEEE Std 181 (IEC 60469): states by histogram mode, reference levels 10, 50 and 90 %,
pulse duration at 50 %. What the record does not hold is said and not guessed.
"""

from __future__ import annotations

import math

import numpy as np

from kb.captures import remarks
from kb.captures.capture import Capture, Channel, Samples, TimeBase
from kb.captures.doubt import of_both, of_instant, of_jitter, of_level, of_mean
from kb.captures.edges import Edges, Trace, edges_of, trace_of
from kb.captures.measurement import Bound, Estimate, Kind, Measurement
from kb.captures.pulses import Pulses, goes_up, pulses_of
from kb.captures.states import States, noise_of, states_of

FEWEST_FOR_JITTER = 3
_FASTEST = 2.0
"""Edges that take fewer sampling intervals are known by a bound alone."""


def measure(capture: Capture, number: int = 1) -> Measurement:
    """What channel `number` shows; IndexError when there is no such channel."""
    channel = capture.channel(number)
    values, over, under = within_range(channel.values)
    trace = trace_of(values, capture.time)
    if len(trace.samples) < 2:
        return Measurement(capture, channel, "flat", None, True, {}, cannot=(remarks.NO_SAMPLES,))
    with np.errstate(all="ignore"):
        states = states_of(trace.samples, over, under)
        if states is None or not states.is_clear:
            return _without_states(capture, channel, trace.samples, states)
        return _Measuring(capture, channel, trace, states).done()


def within_range(values: Samples) -> tuple[Samples, bool, bool]:
    """Samples with the ends of the range in place of infinities, and whether any were above and below."""
    if not np.isinf(values).any():
        return values, False, False
    finite = values[np.isfinite(values)]
    over, under = values == np.inf, values == -np.inf
    if not len(finite):
        return np.full(len(values), np.nan), bool(over.any()), bool(under.any())
    inside = np.where(over, finite.max(), np.where(under, finite.min(), values))
    return inside, bool(over.any()), bool(under.any())


def _without_states(
    capture: Capture, channel: Channel, samples: Samples, states: States | None
) -> Measurement:
    """A level and nothing else: no transition stands clear of the noise."""
    level, noise = float(samples.mean()), noise_of(samples)
    doubt = of_level(noise, len(samples), 0.0)
    kind: Kind = "flat" if states is None else "noise"
    over_range = remarks.OUT_OF_RANGE if channel.over_range else None
    return Measurement(
        capture, channel, kind, states, True, {"base": Estimate(level, doubt, len(samples))},
        warnings=(over_range,) if over_range else (),
        cannot=(remarks.no_transition(channel, level, noise, float(np.ptp(samples))),),
    )  # fmt: skip


class _Measuring:
    """One channel with two clear states."""

    def __init__(self, capture: Capture, channel: Channel, trace: Trace, states: States) -> None:
        self.capture, self.channel, self.trace, self.states = capture, channel, trace, states
        self.time: TimeBase = capture.time
        self.edges: Edges = edges_of(trace, states)
        self.of_base = of_level(states.noise, states.count_base, states.step)
        self.of_top = of_level(states.noise, states.count_top, states.step)
        self.of_middle = of_both(self.of_base, self.of_top) / 2
        self.found: dict[str, Estimate] = {}

    def done(self) -> Measurement:
        self._levels()
        if not len(self.edges):
            return self._made("noise", None)
        pulses = pulses_of(self.edges, self.trace, goes_up(self.edges, self.trace, self.states))
        self._edges("rise", up=True)
        self._edges("fall", up=False)
        self._aberrations()
        self._durations(pulses)
        self._opposite(pulses)
        self._periods(pulses)
        kind: Kind = "train" if len(pulses.periods_s) or len(pulses.durations_s) > 1 else "pulse"
        return self._made(kind if len(pulses.durations_s) else "step", pulses)

    def _made(self, kind: Kind, pulses: Pulses | None) -> Measurement:
        told = remarks.Told(self.capture, self.channel, self.states, kind, pulses, self.edges, self.found)
        return Measurement(
            self.capture, self.channel, kind, self.states, pulses is None or pulses.goes_up, self.found,
            len(pulses.durations_s) if pulses else 0, pulses.shortest if pulses else None, len(self.edges),
            told.notes(), told.warnings(), told.cannot(),
        )  # fmt: skip

    def _levels(self) -> None:
        states = self.states
        base: Bound = "at most" if states.clipped_base else ""
        top: Bound = "at least" if states.clipped_top else ""
        is_cut = states.clipped_base or states.clipped_top
        self.found["base"] = Estimate(states.base, self.of_base, states.count_base, bound=base)
        self.found["top"] = Estimate(states.top, self.of_top, states.count_top, bound=top)
        of_amplitude = of_both(self.of_base, self.of_top)
        self.found["amplitude"] = Estimate(states.amplitude, of_amplitude, bound="at least" if is_cut else "")

    def _edges(self, key: str, *, up: bool) -> None:
        """How long edges of one direction take from 10 to 90 %."""
        took = self.edges.took_s[self.edges.is_up == up]
        took = took[np.isfinite(took)]
        if not len(took):
            return
        mean_s = float(took.mean())
        slope = 0.8 * self.states.amplitude / mean_s
        of_end = of_instant(self.states.noise, slope, self.time.interval_s, mean_s, self.of_middle)
        doubt = of_mean(of_both(of_end, of_end), _scatter(took), len(took))
        is_fast = mean_s < _FASTEST * self.time.interval_s
        self.found[key] = Estimate(
            mean_s, doubt, len(took), float(took.min()), float(took.max()), "at most" if is_fast else ""
        )

    def _aberrations(self) -> None:
        """How far the trace goes beyond its states, as shares of the amplitude."""
        states, samples = self.states, self.trace.samples
        beyond = {
            "overshoot": (float(samples.max()) - states.top, self.of_top, states.clipped_top),
            "undershoot": (states.base - float(samples.min()), self.of_base, states.clipped_base),
        }
        for key, (far, of_state, is_cut) in beyond.items():
            if not is_cut:
                doubt = of_both(of_state, states.noise) / states.amplitude
                self.found[key] = Estimate(max(far, 0.0) / states.amplitude, doubt)

    def instant_doubt(self, *, up: bool) -> float:
        """U of the time of one edge of a direction."""
        chosen = self.edges.is_up == up
        slopes, took = self.edges.steepness[chosen], self.edges.took_s[chosen]
        took = took[np.isfinite(took)]
        took_s = float(np.median(took)) if len(took) else 0.0
        slope = float(np.median(slopes))
        return of_instant(self.states.noise, slope, self.time.interval_s, took_s, self.of_middle)

    def _durations(self, pulses: Pulses) -> None:
        lasted = pulses.durations_s
        if not len(lasted):
            return
        one = of_both(self.instant_doubt(up=True), self.instant_doubt(up=False))
        self.found["duration"] = Estimate(
            float(lasted.mean()), of_mean(one, _scatter(lasted), len(lasted)), len(lasted),
            float(lasted.min()), float(lasted.max()),
        )  # fmt: skip
        self.found["shortest"] = Estimate(float(lasted.min()), one)

    def _opposite(self, pulses: Pulses) -> None:
        """The shortest time between two pulses: an input of the other direction takes that for the pulse."""
        between = pulses_of(self.edges, self.trace, not pulses.goes_up).durations_s
        if len(between):
            one = of_both(self.instant_doubt(up=True), self.instant_doubt(up=False))
            self.found["opposite"] = Estimate(float(between.min()), one)

    def _periods(self, pulses: Pulses) -> None:
        periods, count = pulses.periods_s, len(pulses.periods_s)
        if not count:
            return
        of_edge = self.instant_doubt(up=pulses.goes_up)
        mean_s, scatter = float(periods.mean()), _scatter(periods)
        doubt = of_mean(of_both(of_edge, of_edge) / count, scatter, count)
        self.found["period"] = Estimate(mean_s, doubt, count, float(periods.min()), float(periods.max()))
        self.found["frequency"] = Estimate(1 / mean_s, doubt / mean_s**2, count)
        if count >= FEWEST_FOR_JITTER:
            self.found["jitter"] = Estimate(scatter, of_both(of_jitter(scatter, count), of_edge), count)
        if len(pulses.duty) and "duration" in self.found:
            share = float(pulses.duty.mean())
            lasts = self.found["duration"]
            relative = math.hypot(lasts.doubt / lasts.value, doubt / mean_s)
            self.found["duty"] = Estimate(share, share * relative, len(pulses.duty))


def _scatter(values: Samples) -> float:
    """The standard deviation of a sample; 0 for a single value."""
    return float(values.std(ddof=1)) if len(values) > 1 else 0.0
