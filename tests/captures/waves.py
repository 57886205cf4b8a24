"""Waveforms with known answers, and captures made of them."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from kb.captures import Capture, Measurement, measure, read_capture
from kb.captures.capture import Channel, Samples, TimeBase, Understood

INTERVAL_S = 10e-6


def capture_of(
    values: Samples, interval_s: float = INTERVAL_S, times_s: Samples | None = None, missing: int = 0
) -> Capture:
    """A capture of one channel in volts, without a file."""
    start_s = 0.0 if times_s is None else float(times_s[0])
    time = TimeBase(start_s, interval_s, "the test", len(values), times_s, missing)
    channel = Channel(1, "ch1", "V", "voltage", True, np.asarray(values, dtype=np.float64))
    return Capture("wave.csv", time, (channel,), Understood("ASCII", ",", ".", 0, (), len(values)))


def measured(values: Samples, interval_s: float = INTERVAL_S) -> Measurement:
    return measure(capture_of(values, interval_s))


def times(count: int, interval_s: float = INTERVAL_S) -> Samples:
    return np.arange(count) * interval_s


def trapezoid(
    at_s: Samples,
    start_s: float,
    rise_s: float,
    flat_s: float,
    fall_s: float,
    base: float = 0.0,
    top: float = 5.0,
) -> Samples:
    """One pulse with straight edges; its duration at 50 % is flat + (rise + fall) / 2."""
    corners = np.cumsum([start_s, rise_s, flat_s, fall_s])
    return np.interp(at_s, corners, [base, top, top, base])


def train(at_s: Samples, starts_s: Samples, lasts_s: float, edge_s: float, top: float = 5.0) -> Samples:
    """Trapezoids whose middles of the rising edge lie at `starts_s`; they do not meet."""
    found = np.zeros(len(at_s))
    for start_s in starts_s:
        found += trapezoid(at_s, float(start_s) - edge_s / 2, edge_s, lasts_s - edge_s, edge_s, top=top)
    return found


def noise(count: int, sigma: float, seed: int = 1) -> NDArray[np.float64]:
    return np.random.default_rng(seed).normal(0.0, sigma, count)


def understood(text: str | bytes, file: str = "scope.csv") -> Capture:
    """The capture in a text that has to be understood."""
    found = read_capture(text.encode() if isinstance(text, str) else text, file)
    assert isinstance(found, Capture), str(found)
    return found


def refused(text: str | bytes, file: str = "scope.csv") -> str:
    """The line that a text is refused with."""
    found = read_capture(text.encode() if isinstance(text, str) else text, file)
    assert not isinstance(found, Capture), found
    return str(found)
