"""Values are shown as the bench writes them, with the prefix that keeps the number short."""

from __future__ import annotations

import math

import pytest

from kb.quantities import Quantity, format_tolerance, parse_quantity, show

_SHOWN = [
    (4700.0, "resistance", "4.7 kΩ"),
    (4700.0 * 1.0000001, "resistance", "4.7 kΩ"),
    (0.47, "resistance", "470 mΩ"),
    (1e6, "resistance", "1 MΩ"),
    (1e10, "resistance", "10 GΩ"),
    (1e17, "resistance", "1e17 Ω"),
    (0.0, "resistance", "0 Ω"),
    (1e-7, "capacitance", "100 nF"),
    (2.2e-3, "capacitance", "2200 µF"),
    (0.01, "capacitance", "10000 µF"),
    (0.1, "capacitance", "0.1 F"),
    (1e-20, "capacitance", "1e-20 F"),
    (0.99996, "voltage", "1 V"),
    (0.9994, "voltage", "999 mV"),
    (-4.7e-6, "current", "-4.7 µA"),
    (999.96, "frequency", "1 kHz"),
    (0.0012, "mass", "1.2 g"),
    (1.2, "mass", "1.2 kg"),
    (0.012, "length", "12 mm"),
    (1e-5, "charge", "10 µC"),
    (360.0, "charge", "100 mAh"),
    (7200.0, "charge", "2 Ah"),
    (80.0, "time", "80 s"),
    (119.96, "time", "2 min"),
    (250.0, "time", "4 min 10 s"),
    (3599.9, "time", "1 h"),
    (7500.0, "time", "2 h 5 min"),
    (-7500.0, "time", "-2 h 5 min"),
    (3 * 86400.0, "time", "3 days"),
    (3.2 * 31557600, "time", "3.2 years"),
    (298.15, "temperature", "25 °C"),
    (253.15, "temperature", "-20 °C"),
    (0.05, "ratio", "5 %"),
    (20.0, "ratio", "2000 %"),
    (5e-5, "ratio", "50 ppm"),
    (4096.0, "number", "4096"),
    (1 / 3, "number", "0.333"),
    (1.0, "interval", "1 cent"),
    (1200.0, "interval", "1200 cents"),
    (120.4, "tempo", "120 BPM"),
]


@pytest.mark.parametrize(("value", "dimension", "shown"), _SHOWN)
def test_a_value_is_shown_to_three_digits(value: float, dimension: str, shown: str) -> None:
    assert show(value, dimension).replace("\u00a0", " ") == shown


def test_a_no_break_space_keeps_number_and_unit_on_one_line() -> None:
    assert show(0.01, "time") == "10\u00a0ms"
    assert show(250.0, "time") == "4\u00a0min 10\u00a0s"


@pytest.mark.parametrize(
    ("digits", "shown"), [(1, "1 kΩ"), (2, "1.2 kΩ"), (4, "1.235 kΩ"), (40, "1.2345678 kΩ")]
)
def test_digits_are_significant_digits(digits: int, shown: str) -> None:
    assert show(1234.5678, "resistance", digits).replace("\u00a0", " ") == shown


@pytest.mark.parametrize(
    ("minus", "plus", "shown"),
    [(0.05, 0.05, "±5 %"), (0.2, 0.8, "-20/+80 %"), (0.0025, 0.0025, "±0.25 %"), (0.0, 1.0, "-0/+100 %")],
)
def test_a_tolerance_is_shown_in_percent(minus: float, plus: float, shown: str) -> None:
    assert format_tolerance(minus, plus).replace("\u00a0", " ") == shown


@pytest.mark.parametrize(
    ("text", "dimension", "shown"),
    [
        ("4700 ohm +/-5 %", "resistance", "4.7 kΩ ±5 %"),
        (".1uF", "capacitance", "100 nF"),
        ("4.0960 V", "voltage", "4.096 V"),
        ("100 uF -20/+80 %", "capacitance", "100 µF -20/+80 %"),
    ],
)
def test_what_somebody_wrote_keeps_its_digits(text: str, dimension: str, shown: str) -> None:
    assert parse_quantity(text, dimension).shown.replace("\u00a0", " ") == shown


def test_what_was_computed_is_shown_to_three_digits() -> None:
    assert Quantity(4.0967, "voltage").shown == "4.1\u00a0V"


@pytest.mark.parametrize(
    ("value", "dimension", "digits"),
    [(math.nan, "time", 3), (math.inf, "time", 3), (1.0, "colour", 3), (1.0, "time", 0)],
)
def test_what_cannot_be_shown_is_our_own_mistake(value: float, dimension: str, digits: int) -> None:
    with pytest.raises(ValueError, match=r"cannot show|no dimension"):
        show(value, dimension, digits)


@pytest.mark.parametrize(
    ("value", "minus", "plus"),
    [(math.nan, 0.0, 0.0), (1.0, -0.1, 0.0), (1.0, 1.5, 0.0), (1.0, 0.0, math.inf)],
)
def test_a_quantity_without_sense_cannot_be_made(value: float, minus: float, plus: float) -> None:
    with pytest.raises(ValueError, match=r"finite|tolerance"):
        Quantity(value, "time", minus, plus)
