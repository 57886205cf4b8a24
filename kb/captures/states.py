"""The two states of a waveform: base and top by histogram mode, the noise, and whether they are cut off.

IEEE Std 181 (state levels by the mode of each half of the histogram). Where a state is no wider than the
noise allows a level is not told.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from kb.captures.capture import Samples

BINS = 256
# Gaussian: the median of |x| is 0.6745 sigma, its mean sqrt(2 / pi) sigma;
# a second difference has six times the variance.
_MEDIAN_TO_SIGMA = 1 / 0.67449
_SECOND_DIFFERENCE = 6**0.5
_MEAN_TO_SIGMA = (np.pi / 2) ** 0.5
CLEAR_OF_NOISE = 8.0
"""An amplitude below so many times the noise is no transition: noise alone could make it."""
_CLIP_SHARE, _FREE_SHARE = 0.25, 0.05
_FEWEST_FOR_CLIPPING, _FEWEST_OF_A_CODE = 20, 3


@dataclass(frozen=True)
class States:
    """Levels in the unit of the samples. `noise` is the standard deviation of one sample.

    `step` is the smallest step between codes in the states, 0 where samples show none. `count_…` tells how
    many samples a level rests on, `clipped_…` whether the file or the histogram shows it cut off.
    """

    base: float
    top: float
    noise: float
    step: float
    count_base: int
    count_top: int
    clipped_base: bool
    clipped_top: bool

    @property
    def amplitude(self) -> float:
        """Top less base."""
        return self.top - self.base

    @property
    def is_clear(self) -> bool:
        """Whether the two states stand apart from each other by more than noise makes."""
        return self.amplitude > 0 and self.amplitude >= CLEAR_OF_NOISE * self.noise

    def level(self, share: float) -> float:
        """The reference level at a share of the amplitude above the base, such as 0.5."""
        return self.base + share * self.amplitude


def states_of(samples: Samples, over: bool, under: bool) -> States | None:
    """The states of finite samples; None where all are alike. `over` and `under`: the file tells of more."""
    least, most = float(samples.min()), float(samples.max())
    span = most - least
    # so near to each other that no histogram can tell them apart
    if not span > 1e-12 * max(abs(least), abs(most)) or not np.isfinite(span):
        return None
    noise = noise_of(samples)
    bins, _ = np.histogram(samples, bins=BINS, range=(least, most))
    width = span / BINS
    noise = min(noise, _spread_in_halves(samples, bins, least, width)) if noise else noise
    spread = int(min(np.ceil(noise / width), BINS / 8))
    if spread:
        bins = np.convolve(bins, np.ones(2 * spread + 1, dtype=np.int64), mode="same")
    half = BINS // 2
    near = max(1.5 * width, 2.5 * noise)
    base = _level(samples, least + (float(np.argmax(bins[:half])) + 0.5) * width, near)
    base = (base[0] - _pull(samples, base[0], near, noise), base[1])
    top = _level(samples, least + (half + float(np.argmax(bins[half:])) + 0.5) * width, near)
    top = (top[0] - _pull(samples, top[0], near, -noise), top[1])
    in_base, in_top = _around(samples, base[0], near), _around(samples, top[0], near)
    step = min(_step(in_base), _step(in_top))
    return States(
        base[0], top[0], max(noise, 0.0), step, base[1], top[1],
        under or _is_cut(in_base, in_top, least, top=False), over or _is_cut(in_top, in_base, most, top=True),
    )  # fmt: skip


def noise_of(samples: Samples) -> float:
    """The noise of one sample, from second differences: slopes cancel, and few samples lie on edges.

    sigma = median(|v[i-1] - 2 v[i] + v[i+1]|) / (0.6745 * sqrt(6)), for noise that differs from sample to
    sample; hum and drift do not count.
    """
    if len(samples) < 3:
        return 0.0
    bent = np.abs(np.diff(samples, n=2))
    noise = float(np.median(bent)) * _MEDIAN_TO_SIGMA / _SECOND_DIFFERENCE
    # what is left of rounding in a file without noise
    return noise if noise > 1e-9 * float(np.ptp(samples)) else 0.0


def _spread_in_halves(samples: Samples, bins: NDArray[np.intp], least: float, width: float) -> float:
    """How far samples lie from the mode of their half: where most samples are on edges, this is less.

    A short record, or one of data with a bit a sample, would otherwise be all noise.
    """
    half = BINS // 2
    is_low = samples < least + half * width
    found: list[float] = []
    for own, first, part in ((bins[:half], 0, samples[is_low]), (bins[half:], half, samples[~is_low])):
        mode = least + (first + int(np.argmax(own)) + 0.5) * width
        near = part[np.abs(part - mode) <= 0.5 * width]
        mode = float(np.median(near)) if len(near) else mode
        found.append(float(np.abs(part - mode).mean()) * _MEAN_TO_SIGMA)
    return max(found)


def _around(samples: Samples, level: float, near: float) -> Samples:
    return samples[np.abs(samples - level) <= near]


def _level(samples: Samples, mode: float, near: float) -> tuple[float, int]:
    """The level near a mode of the histogram: what most samples there agree on, and how many there are."""
    for _ in range(2):
        close = _around(samples, mode, near)
        if not len(close):
            break
        mode = _middle(close)
    return mode, len(_around(samples, mode, near))


def _pull(samples: Samples, level: float, near: float, inwards: float) -> float:
    """How far samples on slow edges pull the mean of a noisy state towards the other one.

    Edges pass all levels about equally often, so there are as many of them within the state as between four
    and six times the noise away from it, where the state itself has none. Over the width `near` on one side
    of the level they shift the mean by density * near^2 / 2 / count. `inwards` is the noise, with the sign of
    the way to the other state; nothing is corrected without noise.
    """
    if not inwards:
        return 0.0
    away = (samples - level) / inwards
    density = float(((away > 4) & (away < 6)).sum()) / (2 * abs(inwards))
    count = len(_around(samples, level, near)) - density * near
    if count <= density * near:
        return 0.0
    return math.copysign(density * near**2 / 2 / count, inwards)


def _middle(close: Samples) -> float:
    """The value that most samples share where there is no noise, else the mean of them."""
    middle = float(np.median(close))
    same = float((close == middle).mean())
    return middle if same > 0.5 else float(close.mean())


def _step(close: Samples) -> float:
    """The smallest step between two values of a state; 0 for one value, or for more values than codes."""
    values, counts = np.unique(close[:100_000], return_counts=True)
    codes = values[counts >= _FEWEST_OF_A_CODE]
    if not 1 < len(codes) <= BINS or len(values) > 2 * len(codes):
        return 0.0
    return float(np.diff(codes).min())


def _is_cut(own: Samples, other: Samples, extreme: float, *, top: bool) -> bool:
    """Whether a state ends in a wall: many samples exactly at the extreme, where the other state is noisy.

    A quiet state of a quiet capture is no wall; so the other state has to show noise to both sides.
    """
    if len(own) < _FEWEST_FOR_CLIPPING or len(other) < _FEWEST_FOR_CLIPPING:
        return False
    far = float(other.min() if top else other.max())
    near = float(other.max() if top else other.min())
    is_noisy = max(float((other == far).mean()), float((other == near).mean())) < _FREE_SHARE
    return is_noisy and float((own == extreme).mean()) >= _CLIP_SHARE
