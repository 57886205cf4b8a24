"""What a technician writes is read as it was meant, and nothing else is read at all."""

from __future__ import annotations

import pytest

from kb.quantities import QuantityError, parse_any_quantity, parse_quantity

_READ = [
    ("10 ms", "time", 0.01),
    ("10ms", "time", 0.01),
    ("  10\u00a0ms ", "time", 0.01),
    ("1.5 h", "time", 5400.0),
    ("4 min 10 s", "time", 250.0),
    ("-4 min 10 s", "time", -250.0),
    ("2 days 3 h", "time", 183600.0),
    ("10 ohm", "resistance", 10.0),
    ("10 R", "resistance", 10.0),
    ("10R", "resistance", 10.0),
    ("33k", "resistance", 33e3),
    ("4.7 k", "resistance", 4700.0),
    ("4.7 kΩ", "resistance", 4700.0),
    ("4.7 k\u2126", "resistance", 4700.0),
    ("1M", "resistance", 1e6),
    ("0 ohm", "resistance", 0.0),
    ("0R", "resistance", 0.0),
    ("0.1 uF", "capacitance", 1e-7),
    (".1uF", "capacitance", 1e-7),
    ("2.2 µF", "capacitance", 2.2e-6),
    ("2.2 \u03bcF", "capacitance", 2.2e-6),
    ("100n", "capacitance", 1e-7),
    ("47p", "capacitance", 47e-12),
    ("1m", "capacitance", 1e-3),
    ("100 uH", "inductance", 1e-4),
    ("-12 V", "voltage", -12.0),
    ("\u221212 V", "voltage", -12.0),
    ("+5 V", "voltage", 5.0),
    ("3V3", "voltage", 3.3),
    ("1.5e-3 V", "voltage", 1.5e-3),
    ("10 kHz", "frequency", 1e4),
    ("100 mAh", "charge", 360.0),
    ("50 %", "ratio", 0.5),
    ("0.5", "ratio", 0.5),
    ("100 ppm", "ratio", 1e-4),
    ("25 degC", "temperature", 298.15),
    ("300 K", "temperature", 300.0),
    ("19 mm", "length", 0.019),
    ("850 g", "mass", 0.85),
    ("3 cents", "interval", 3.0),
    ("120 BPM", "tempo", 120.0),
    ("120 bpm", "tempo", 120.0),
    ("5", "number", 5.0),
    ("0", "number", 0.0),
]


@pytest.mark.parametrize(("text", "dimension", "value"), _READ)
def test_it_is_read_in_si(text: str, dimension: str, value: float) -> None:
    quantity = parse_quantity(text, dimension)
    assert (quantity.value, quantity.dimension, quantity.text) == (value, dimension, text.strip())
    assert not quantity.has_tolerance


_TOLERANCES = [
    ("2.2 µF ±20 %", "capacitance", 2.2e-6, 0.2, 0.2),
    ("4.7 kohm +/-5 %", "resistance", 4700.0, 0.05, 0.05),
    ("4k7 +-5%", "resistance", 4700.0, 0.05, 0.05),
    ("100 uF -20/+80 %", "capacitance", 1e-4, 0.2, 0.8),
    ("100 uF -20 %/+80 %", "capacitance", 1e-4, 0.2, 0.8),
    ("100 uF +80/-20%", "capacitance", 1e-4, 0.2, 0.8),
    ("100uF -20+80%", "capacitance", 1e-4, 0.2, 0.8),
    ("1 MHz ±50 ppm", "frequency", 1e6, 5e-5, 5e-5),
    ("10 nF -100/+200 %", "capacitance", 1e-8, 1.0, 2.0),
]


@pytest.mark.parametrize(("text", "dimension", "value", "minus", "plus"), _TOLERANCES)
def test_a_tolerance_is_read_with_its_value(
    text: str, dimension: str, value: float, minus: float, plus: float
) -> None:
    quantity = parse_quantity(text, dimension)
    assert (quantity.value, quantity.minus, quantity.plus) == (value, minus, plus)
    assert quantity.has_tolerance
    assert quantity.low == pytest.approx(value * (1 - minus))
    assert quantity.high == pytest.approx(value * (1 + plus))


def test_the_limits_of_a_negative_value_are_in_order() -> None:
    rail = parse_quantity("-12 V ±5 %", "voltage")
    assert (rail.low, rail.high) == pytest.approx((-12.6, -11.4))


@pytest.mark.parametrize(
    ("text", "dimension"),
    [
        ("5 V", "voltage"),
        ("4k7", "resistance"),
        ("47K", "resistance"),
        ("1M", "resistance"),
        ("2n2", "capacitance"),
        ("1 m", "length"),
        ("100nJ", "energy"),
        ("50 %", "ratio"),
        ("5", "number"),
        ("120 BPM", "tempo"),
        ("25 coulomb", "charge"),
    ],
)
def test_the_unit_tells_the_dimension(text: str, dimension: str) -> None:
    assert parse_any_quantity(text).dimension == dimension


def test_an_unknown_dimension_is_our_own_mistake() -> None:
    with pytest.raises(ValueError, match="no dimension is called 'colour'") as caught:
        parse_quantity("5 V", "colour")
    assert not isinstance(caught.value, QuantityError)
