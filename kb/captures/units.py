"""Units as they stand in the head of a capture: `s`, `(mV)`, `[us]`, `Second`, `MS/s`."""

from __future__ import annotations

import re
from dataclasses import dataclass

_PREFIXES = {
    "": 1.0, "p": 1e-12, "n": 1e-9, "u": 1e-6, "µ": 1e-6, "μ": 1e-6, "m": 1e-3, "k": 1e3, "M": 1e6, "G": 1e9,
}  # fmt: skip
_LONG_PREFIXES = {
    "": 1.0, "pico": 1e-12, "nano": 1e-9, "micro": 1e-6, "milli": 1e-3, "kilo": 1e3, "mega": 1e6, "giga": 1e9,
}  # fmt: skip
_SYMBOLS = {"s": "time", "V": "voltage", "A": "current", "Hz": "frequency"}
_SYMBOLS |= dict.fromkeys(("S/s", "Sa/s", "Sps", "SPS", "sps"), "frequency")
_NAMES = {
    "second": "time", "sec": "time", "volt": "voltage", "ampere": "current", "amp": "current",
    "hertz": "frequency",
}  # fmt: skip
_LONG = re.compile(
    rf"({'|'.join(filter(None, _LONG_PREFIXES))}|)[ -]?({'|'.join(_NAMES)})e?s?\Z", re.IGNORECASE
)
_IN_NAME = re.compile(
    r"(.*?)\s*(?:[(\[{]\s*([^()\[\]{}]{1,14})\s*[)\]}]|/\s*([^/\s]{1,6})|\bin\s+(\S{1,14}))\s*\Z"
)
_DIMENSIONLESS = ("%", "none", "count", "counts", "adc", "code", "codes")


@dataclass(frozen=True)
class Unit:
    """A unit that was recognised: its text, its dimension and how many SI units it is."""

    text: str
    dimension: str
    factor: float


def unit_named(text: str) -> Unit | None:
    """The unit that `text` is, with or without brackets; None when it is none that is known here."""
    bare = text.strip().strip("()[]{}\"'").strip()
    for symbol, dimension in _SYMBOLS.items():
        prefix = bare.removesuffix(symbol)
        if prefix != bare and prefix in _PREFIXES:
            return Unit(bare, dimension, _PREFIXES[prefix])
    match = _LONG.match(bare)
    if match:
        return Unit(bare, _NAMES[match[2].lower()], _LONG_PREFIXES[match[1].lower()])
    return Unit(bare, "number", 1.0) if bare.lower() in _DIMENSIONLESS else None


def split_name(text: str) -> tuple[str, Unit | None]:
    """A column's name without its unit, and the unit: "CH1 (mV)" is CH1 in mV."""
    alone = unit_named(text)
    # a channel may be called A
    if alone is not None and text.strip() != "A":
        return "", alone
    match = _IN_NAME.match(text.strip())
    if match:
        unit = unit_named(match[2] or match[3] or match[4] or "")
        if unit is not None:
            return match[1].strip(), unit
    return text.strip(), None
