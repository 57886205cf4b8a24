"""One socket of one instrument, in the state it has on some of its revisions: what it gives or needs."""

from __future__ import annotations

from dataclasses import dataclass

from kb.quantities import Span, show

PULSES = ("gate", "trigger", "clock", "reset")
LEVELS = ("audio", "control")
KINDS = {**dict.fromkeys(PULSES, "pulses"), **dict.fromkeys(LEVELS, ""), "pitch": "pitch", "data": "data"}
DIGITS = 9


@dataclass(frozen=True)
class OneShot:
    """What sets an output's duration; resistor and capacitor as a person wrote them."""

    device: str
    where: str
    resistor: str
    capacitor: str


@dataclass(frozen=True)
class Converter:
    """The converter behind a pitch output; its full scale as a person wrote it."""

    bits: int
    full_scale: str


@dataclass(frozen=True)
class Socket:
    """A socket. Spans are in SI; a span that nobody wrote is None, and nothing is taken in its place."""

    model: str
    id: str
    direction: str
    carries: str
    model_name: str = ""
    name: str = ""
    style: str = "voltage"
    high: Span | None = None
    low: Span | None = None
    duration: Span | None = None
    standard: str | None = None
    pulses_per_quarter: int | None = None
    revisions: tuple[str, ...] = ()
    connector: str = ""
    one_shot: OneShot | None = None
    converter: Converter | None = None

    @property
    def reference(self) -> str:
        """How a command names it: `sixteenfold/trigger-out`."""
        return f"{self.model}/{self.id}"

    @property
    def kind(self) -> str:
        """Pulses go with pulses; everything else goes with its like."""
        return KINDS[self.carries] or self.carries

    @property
    def least_high_v(self) -> float | None:
        """The level that is sure when an output is on, or that is enough for an input."""
        return self.high.low if self.high else None

    @property
    def most_high_v(self) -> float | None:
        """The most an output gives, or an input bears."""
        return self.high.high if self.high else None

    @property
    def most_low_v(self) -> float | None:
        """The most that an output leaves when off, or that an input still takes for off."""
        return self.low.high if self.low else None

    @property
    def least_duration_s(self) -> float | None:
        """The duration that is sure of an output, or that is enough for an input."""
        return self.duration.low if self.duration else None


def written(value: float, dimension: str) -> str:
    """A value as somebody would type it in a terminal: with a plain space before its unit."""
    return show(value, dimension, DIGITS).replace("\u00a0", " ").replace("µ", "u").replace("Ω", "ohm")
