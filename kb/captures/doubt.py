"""How far a measured value may be off: from the sampling and the noise alone, each by a written formula.

Standard uncertainties u, combined as the root of the sum of squares (JCGM 100, GUM). What the instrument adds
by its time base, its gain and its probe is not in the file and not in here.
"""

from __future__ import annotations

from kb.formulas import Expression

COVERAGE = 2.0
"""Results are shown as value ± 2 u, about 95 % for errors that are evenly random."""

LEVEL = Expression("sqrt(s**2 / N + q**2 / 12)")
"""u of a state level: noise s averaged over N samples, and half a code step q either way, which no averaging
takes away."""

INSTANT = Expression("sqrt((s / m)**2 + (d / sqrt(12) * k)**2 + (u_V / m)**2)")
"""u of a crossing: noise s over the slope m; the sample interval d, evenly spread where the edge is faster
than the sampling (k = 1), less by k = d / t for an edge that takes t; the doubt u_V about the level."""

BOTH = Expression("sqrt(u_1**2 + u_2**2)")
"""u of a difference of two values: amplitude, duration, period."""

MEAN = Expression("sqrt(u**2 + S**2 / n)")
"""u of a mean of n: the doubt u of one (not averaged: levels err alike in all), and the scatter S."""

JITTER = Expression("J / sqrt(2 * (n - 1))")
"""u of a standard deviation J of n periods (for Gaussian jitter)."""


def of_level(noise: float, count: int, step: float) -> float:
    """U of a state level."""
    return LEVEL.evaluate({"s": noise, "N": max(count, 1), "q": step})


def of_instant(noise: float, slope: float, interval_s: float, took_s: float, of_middle: float) -> float:
    """U of the time at which an edge crosses the middle; `took_s` is 0 where the edge is faster than told."""
    share = min(1.0, interval_s / took_s) if took_s > 0 else 1.0
    return INSTANT.evaluate({"s": noise, "m": slope, "d": interval_s, "k": share, "u_V": of_middle})


def of_both(first: float, second: float) -> float:
    """U of a difference."""
    return BOTH.evaluate({"u_1": first, "u_2": second})


def of_mean(one: float, scatter: float, count: int) -> float:
    """U of a mean."""
    return MEAN.evaluate({"u": one, "S": scatter, "n": count})


def of_jitter(jitter: float, count: int) -> float:
    """U of a standard deviation of `count` values."""
    return JITTER.evaluate({"J": jitter, "n": count})
