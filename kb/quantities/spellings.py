"""How a unit may be spelled, letter for letter, and which unit and dimension each spelling means.

Capital and small letters differ (mHz and MHz). A prefix nobody uses at the bench is left out, so that
"5 MV" is a mistake to report and not five million volts.
"""

from __future__ import annotations

from dataclasses import dataclass

_PREFIXES = {"p": "pico", "n": "nano", "u": "micro", "µ": "micro", "m": "milli", "-": ""}
_PREFIXES |= {"k": "kilo", "M": "mega", "G": "giga"}


@dataclass(frozen=True)
class Unit:
    """One spelling of a unit; `name` is the unit's name in `units.txt`."""

    spelling: str
    dimension: str
    name: str


# spelling of the unit, its name in units.txt, dimension, and the prefixes taken ("-" stands for none)
_PREFIXED = (
    ("ohm", "ohm", "resistance", "uµm-kMG"),
    ("Ω", "ohm", "resistance", "uµm-kMG"),
    ("F", "farad", "capacitance", "pnuµm-"),
    ("H", "henry", "inductance", "nuµm-"),
    ("V", "volt", "voltage", "nuµm-k"),
    ("A", "ampere", "current", "pnuµm-"),
    ("W", "watt", "power", "nuµm-k"),
    ("J", "joule", "energy", "nuµm-k"),
    ("s", "second", "time", "pnuµm-"),
    ("Hz", "hertz", "frequency", "uµm-kMG"),
    ("C", "coulomb", "charge", "pnuµm-"),
    ("Ah", "ampere_hour", "charge", "uµm-"),
    ("m", "meter", "length", "uµm-"),
    ("g", "gram", "mass", "uµm-k"),
)
_SINGLE = (
    Unit("min", "time", "minute"),
    Unit("h", "time", "hour"),
    Unit("day", "time", "day"),
    Unit("days", "time", "day"),
    Unit("year", "time", "year"),
    Unit("years", "time", "year"),
    Unit("coulomb", "charge", "coulomb"),
    Unit("cm", "length", "centimeter"),
    Unit("degC", "temperature", "degree_celsius"),
    Unit("°C", "temperature", "degree_celsius"),
    Unit("K", "temperature", "kelvin"),
    Unit("%", "ratio", "percent"),
    Unit("ppm", "ratio", "part_per_million"),
    Unit("cent", "interval", "cent"),
    Unit("cents", "interval", "cent"),
    Unit("BPM", "tempo", "beat_per_minute"),
    Unit("bpm", "tempo", "beat_per_minute"),
)


def _prefixed() -> list[Unit]:
    return [
        Unit(letter.strip("-") + spelling, dimension, _PREFIXES[letter] + name)
        for spelling, name, dimension, letters in _PREFIXED
        for letter in letters
    ]


UNITS: dict[str, Unit] = {unit.spelling: unit for unit in (*_prefixed(), *_SINGLE)}

# Powers of ten of the letters IEC 60062 puts in place of the decimal point. A small k, V ("3V3") and the
# letter alone after a number ("4.7 k") are common practice, no source. L (milliohm) stands inside codes only.
BARE_LETTERS: dict[str, dict[str, int]] = {
    "resistance": {"R": 0, "k": 3, "K": 3, "M": 6, "G": 9},
    "capacitance": {"p": -12, "n": -9, "u": -6, "µ": -6, "m": -3},
}
CODE_LETTERS: dict[str, dict[str, int]] = {
    "resistance": {**BARE_LETTERS["resistance"], "L": -3},
    "capacitance": {**BARE_LETTERS["capacitance"], "F": 0},
    "voltage": {"V": 0},
}

# What people write for a unit that is not spelled so here; the old capacitor words are from memory.
MISSPELLINGS: dict[str, str] = {
    "sec": "s", "secs": "s", "second": "s", "seconds": "s", "msec": "ms", "usec": "us", "nsec": "ns",
    "mins": "min", "minute": "min", "minutes": "min", "hr": "h", "hrs": "h", "hour": "h", "hours": "h",
    "d": "day", "y": "year", "yr": "year", "yrs": "year",
    "volt": "V", "volts": "V", "vdc": "V", "vac": "V", "amp": "A", "amps": "A", "ampere": "A", "amperes": "A",
    "ohms": "ohm", "r": "R", "kohms": "kohm", "kr": "kohm", "kilohm": "kohm", "megohm": "Mohm", "meg": "Mohm",
    "mfd": "uF", "uuf": "pF", "mmf": "pF", "mmfd": "pF", "farad": "F", "farads": "F", "henry": "H",
    "hertz": "Hz", "cps": "Hz", "watt": "W", "watts": "W", "joule": "J", "joules": "J", "ws": "J",
    "c": "°C", "°": "°C", "deg": "°C", "deg c": "°C", "celsius": "°C", "kelvin": "K",
    "percent": "%", "pct": "%", "metre": "m", "meter": "m", "ct": "cents", "coulombs": "coulomb",
}  # fmt: skip
