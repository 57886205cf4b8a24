"""What is said of a pair of sockets: the word, the margins it rests on, and what is missing to tell."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from kb.fits.socket import Socket
from kb.quantities import show

Verdict = Literal["fits", "marginal", "does not fit", "not known", "not the same kind"]
FITS: Verdict = "fits"
MARGINAL: Verdict = "marginal"
FAILS: Verdict = "does not fit"
UNKNOWN: Verdict = "not known"
OTHER_KIND: Verdict = "not the same kind"


# What lies on the limit but for the rounding of the machine lies on it.
ROUNDING = 1e-9


@dataclass(frozen=True)
class Margin:
    """How much is left, in SI; below zero is what is lacking. `least` is what should be left of it."""

    label: str
    value: float
    dimension: str
    least: float = 0.0

    @property
    def shown(self) -> str:
        """The margin with its sign: +0.4 V, -3 ms."""
        sign = "" if self.value < 0 else "+"
        return sign + show(self.value, self.dimension)

    @property
    def is_small(self) -> bool:
        """Whether it holds, but with little to spare."""
        return 0 <= self.value < self.least * (1 - ROUNDING)


@dataclass(frozen=True)
class Fit:
    """One pair. `faults` make it fail, `cares` make it marginal; `calculation` repeats the numbers."""

    output: Socket
    input: Socket
    margins: tuple[Margin, ...] = ()
    faults: tuple[str, ...] = ()
    cares: tuple[str, ...] = ()
    missing: tuple[str, ...] = ()
    calculation: tuple[str, Mapping[str, str]] | None = field(default=None, hash=False)

    @property
    def verdict(self) -> Verdict:
        """A fault that is known decides, whatever else is not known."""
        if self.output.kind != self.input.kind:
            return OTHER_KIND
        if self.faults:
            return FAILS
        if self.missing:
            return UNKNOWN
        return MARGINAL if self.cares else FITS

    @property
    def works(self) -> bool:
        """Whether it can be plugged in as it is."""
        return self.verdict in (FITS, MARGINAL)
