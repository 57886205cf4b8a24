"""The dimensions a quantity may have: their SI unit, their name in a message, and an example.

A dimension is what a field asks for ("a time"), so a ratio, a count, a tempo and a musical interval are
kept apart although physics calls all of them numbers or rates.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Dimension:
    """One dimension; `unit` is ASCII for data files, `base` the unit's name in `units.txt`."""

    name: str
    phrase: str
    unit: str
    base: str
    example_unit: str
    example: str


_ALL = (
    Dimension("resistance", "a resistance", "ohm", "ohm", "kohm", "4.7 kohm"),
    Dimension("capacitance", "a capacitance", "F", "farad", "nF", "100 nF"),
    Dimension("inductance", "an inductance", "H", "henry", "uH", "100 uH"),
    Dimension("voltage", "a voltage", "V", "volt", "V", "5 V"),
    Dimension("current", "a current", "A", "ampere", "mA", "20 mA"),
    Dimension("power", "a power", "W", "watt", "W", "0.25 W"),
    Dimension("energy", "an energy", "J", "joule", "J", "1.5 J"),
    Dimension("time", "a time", "s", "second", "ms", "10 ms"),
    Dimension("frequency", "a frequency", "Hz", "hertz", "Hz", "50 Hz"),
    Dimension("charge", "a charge", "C", "coulomb", "mAh", "100 mAh"),
    Dimension("ratio", "a ratio", "1", "fraction", "%", "50 %"),
    Dimension("temperature", "a temperature", "K", "kelvin", "°C", "25 °C"),
    Dimension("length", "a length", "m", "meter", "mm", "12 mm"),
    Dimension("mass", "a mass", "kg", "kilogram", "kg", "1.2 kg"),
    Dimension("interval", "an interval", "cents", "cent", "cents", "3 cents"),
    Dimension("tempo", "a tempo", "BPM", "beat_per_minute", "BPM", "120 BPM"),
    Dimension("number", "a plain number", "1", "fraction", "", "4"),
)
_BY_NAME = {dimension.name: dimension for dimension in _ALL}

DIMENSIONS: tuple[str, ...] = tuple(_BY_NAME)


def dimension_named(name: str) -> Dimension:
    """Return the dimension called `name`; ValueError when there is none, which is a mistake in our code."""
    try:
        return _BY_NAME[name]
    except KeyError:
        raise ValueError(f"no dimension is called {name!r}; known are {', '.join(DIMENSIONS)}") from None


def unit_of(dimension: str) -> str:
    """Return the ASCII unit in which values of `dimension` are kept, for data files: "ohm", "F", "s", "1"."""
    return dimension_named(dimension).unit
