"""Many converters of random resistors, solved node by node and all at once.

Superposition makes it cheap: a ladder is linear, so the weight of each bit says everything about all
codes. The draws are those of Python's generator in a fixed order, so that a seed gives the same ladders
everywhere.
"""

from __future__ import annotations

import random
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, TypeAlias

from kb.calculators.ladder_formulas import BINARY, R2R

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Numbers: TypeAlias = NDArray[np.float64]

MOST_DRAWS = 1 << 26
_DRAWS_AT_ONCE = 1 << 18


@dataclass(frozen=True)
class Spread:
    """How far every resistor may lie below and above its value, as fractions."""

    minus: float
    plus: float

    def factors(self, uniform: Numbers) -> Numbers:
        """1 plus the deviation for numbers drawn evenly from 0 to 1: t (2 u - 1) when both sides are `t`."""
        middle, half = (self.plus - self.minus) / 2, (self.plus + self.minus) / 2
        return 1.0 + (middle + half * (2.0 * uniform - 1.0))


@dataclass(frozen=True)
class Errors:
    """What was found: for each trial the step error at each carry (or the worst), the INL, and monotony."""

    dnl: Numbers
    inl: Numbers
    is_monotonic: NDArray[np.bool_]
    worst_curve: Numbers

    @property
    def worst_dnl(self) -> float:
        """The largest step error of all trials, with its sign."""
        flat = self.dnl.ravel()
        return float(flat[abs(flat).argmax()])

    @property
    def worst_of_each(self) -> Numbers:
        """The largest step error of each trial, without its sign."""
        found: Numbers = abs(self.dnl).max(axis=1)
        return found


def resistors(kind: str, bits: int) -> int:
    """How many resistors one converter has."""
    return {R2R: 2 * bits, BINARY: bits}.get(kind, 1 << bits)


def generator(seed: int) -> Any:
    """A generator of numpy in the very state of `random.Random(seed)`: the same numbers, many at a time."""
    import numpy as np  # noqa: PLC0415 - importing the calculators must stay cheap

    state = random.Random(seed).getstate()[1]  # noqa: S311 - resistors are drawn, not secrets
    made = np.random.RandomState()
    made.set_state(("MT19937", np.array(state[:-1], dtype=np.uint32), int(state[-1]), 0, 0.0))
    return made


def draw(kind: str, bits: int, spread: Spread, trials: int, seed: int) -> Errors:
    """Draw `trials` converters and find their errors in ideal steps."""
    made, count = generator(seed), resistors(kind, bits)
    if kind not in (R2R, BINARY):
        return _strings(made, bits, spread, trials)
    factors = spread.factors(made.random_sample((trials, count)))
    return of_weights(ladder_weights(factors) if kind == R2R else binary_weights(factors))


def ladder_weights(factors: Numbers) -> Numbers:
    """The voltage each bit adds, as a part of the reference: columns T, L0 to L(N-1), S0 to S(N-2).

    T ends the ladder at the bottom, L are the legs of 2R to the bits, S the R between them. Each node in
    turn is replaced by what is seen from the next one.
    """
    import numpy as np  # noqa: PLC0415 - as above

    bits = factors.shape[1] // 2
    ends, legs, between = 2.0 * factors[:, 0], 2.0 * factors[:, 1 : bits + 1], factors[:, bits + 1 :]
    weights = np.zeros((factors.shape[0], bits))
    source = ends
    for bit in range(bits):
        if bit:
            source = source + between[:, bit - 1]
        whole = legs[:, bit] + source
        weights[:, :bit] *= (legs[:, bit] / whole)[:, None]
        weights[:, bit] = source / whole
        source = legs[:, bit] * source / whole
    return weights


def binary_weights(factors: Numbers) -> Numbers:
    """The current of each bit as a part of the whole, lowest bit first: 2^i / 2^N over its resistor."""
    import numpy as np  # noqa: PLC0415 - as above

    bits = factors.shape[1]
    weights: Numbers = np.exp2(np.arange(bits) - bits) / factors
    return weights


def of_weights(weights: Numbers) -> Errors:
    """The errors of converters whose bits add up, in ideal steps.

    The step onto code k turns on its lowest set bit and turns off all bits below, so there are only as many
    different steps as bits; the largest distance from the end-point line collects every bit of one sign.
    """
    import numpy as np  # noqa: PLC0415 - as above

    bits = weights.shape[1]
    in_steps = weights * 2.0**bits
    below = np.cumsum(in_steps, axis=1) - in_steps
    steps = in_steps - below
    line = in_steps.sum(axis=1, keepdims=True) * np.exp2(np.arange(bits)) / (2.0**bits - 1.0)
    off_line = in_steps - line
    dnl = steps - 1.0
    worst = int(abs(dnl).max(axis=1).argmax())
    inl = np.maximum(off_line, 0.0).sum(axis=1)
    return Errors(dnl, inl, (steps >= 0.0).all(axis=1), dnl[worst])


def differential(voltages: Numbers, step: float) -> Numbers:
    """Each step less one ideal step, in ideal steps, along the last axis."""
    import numpy as np  # noqa: PLC0415 - as above

    found: Numbers = np.diff(voltages, axis=-1) / step - 1.0
    return found


def integral(voltages: Numbers, step: float) -> Numbers:
    """Each voltage less the straight line through the first and the last, in ideal steps."""
    import numpy as np  # noqa: PLC0415 - as above

    along = np.linspace(0.0, 1.0, voltages.shape[-1])
    first, last = voltages[..., :1], voltages[..., -1:]
    found: Numbers = (voltages - (first + (last - first) * along)) / step
    return found


def _strings(made: Any, bits: int, spread: Spread, trials: int) -> Errors:
    """Strings of 2^N resistors, some at a time: the top resistor lies above the highest tap."""
    import numpy as np  # noqa: PLC0415 - as above

    count, step = 1 << bits, 2.0**-bits
    worst_dnl, worst_inl, curve, largest = [], [], np.zeros(count), -1.0
    for start in range(0, trials, at_once := max(1, _DRAWS_AT_ONCE // count)):
        rows = min(at_once, trials - start)
        parts = spread.factors(made.random_sample((rows, count)))
        taps = np.cumsum(parts, axis=1)
        whole = taps[:, -1:].copy()
        taps = np.concatenate((np.zeros((rows, 1)), taps[:, :-1]), axis=1) / whole
        dnl = parts[:, :-1] / whole / step - 1.0
        inl = integral(taps, step)
        worst_dnl.append(np.take_along_axis(dnl, abs(dnl).argmax(axis=1)[:, None], axis=1))
        worst_inl.append(abs(inl).max(axis=1))
        if worst_inl[-1].max() > largest:
            largest = float(worst_inl[-1].max())
            curve = inl[int(worst_inl[-1].argmax())]
    found = np.concatenate(worst_dnl)
    return Errors(found, np.concatenate(worst_inl), found[:, 0] >= -1.0, curve)


def worst_corner(bits: int, spread: Spread) -> tuple[float, Numbers]:
    """R-2R: the smallest middle step with every resistor at an end of its tolerance, and that ladder's DNL.

    Found by turning over the resistor that helps most until none does; up to 8 bits it was compared with
    every corner.
    """
    import numpy as np  # noqa: PLC0415 - as above

    count = 2 * bits
    low, high = 1.0 - spread.minus, 1.0 + spread.plus
    at = np.full(count, low)
    at[bits] = high
    best = float(of_weights(ladder_weights(at[None, :])).dnl[0, -1])
    for _ in range(4 * count):
        tries = np.repeat(at[None, :], count, axis=0)
        places = np.arange(count)
        tries[places, places] = np.where(at == low, high, low)
        found = of_weights(ladder_weights(tries)).dnl[:, -1]
        if found.min() >= best:
            break
        best, at = float(found.min()), tries[int(found.argmin())]
    return best, of_weights(ladder_weights(at[None, :])).dnl[0]
