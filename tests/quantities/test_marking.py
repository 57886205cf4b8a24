"""Codes printed on parts are read as IEC 60062 has them."""

from __future__ import annotations

import pytest

from kb.quantities import QuantityError, parse_any_quantity, parse_quantity

# code, dimension, value in SI, tolerance as a fraction; the published source beside each
_CODES = [
    ("470R", "resistance", 470.0, 0.0),  # IEC 60062, as quoted in public articles on the code
    ("4K7", "resistance", 4700.0, 0.0),  # IEC 60062, as quoted in public articles on the code
    ("47K", "resistance", 47000.0, 0.0),  # IEC 60062, as quoted in public articles on the code
    ("470K", "resistance", 470000.0, 0.0),  # IEC 60062, as quoted in public articles on the code
    ("4M7J", "resistance", 4.7e6, 0.05),  # IEC 60062, letter J; secondary tables
    ("R33M", "resistance", 0.33, 0.2),  # IEC 60062, the last M is a tolerance; rule from memory
    ("4K7M", "resistance", 4700.0, 0.2),  # IEC 60062, the last M is a tolerance; rule from memory
    ("2n2", "capacitance", 2.2e-9, 0.0),  # IEC 60062, capacitance letters; from memory
    ("100n", "capacitance", 1e-7, 0.0),  # IEC 60062, capacitance letters; from memory
    ("0R47", "resistance", 0.47, 0.0),  # public examples of marked chip resistors
    ("12R0", "resistance", 12.0, 0.0),  # public examples of marked chip resistors
    ("1R2", "resistance", 1.2, 0.0),  # public examples of marked chip resistors
    ("1M5", "resistance", 1.5e6, 0.0),  # IEC 60062; one public table reads 1.5 milliohm and is not followed
    ("R47", "resistance", 0.47, 0.0),  # same rule as R33M
    ("4R7", "resistance", 4.7, 0.0),  # same rule as 1R2
    ("4k7", "resistance", 4700.0, 0.0),  # small k: common practice, no source
    ("4u7", "capacitance", 4.7e-6, 0.0),  # same rule as 2n2
    ("4\u00b57", "capacitance", 4.7e-6, 0.0),  # same rule as 2n2
    ("p68", "capacitance", 0.68e-12, 0.0),  # same rule as R47
    ("47KK", "resistance", 47000.0, 0.1),  # tolerance letter tables (several agree): K 10 %
    ("10RF", "resistance", 10.0, 0.01),  # tolerance letter tables (several agree): F 1 %
    ("1K0G", "resistance", 1000.0, 0.02),  # tolerance letter tables (several agree): G 2 %
    ("1K0B", "resistance", 1000.0, 0.001),  # tolerance letter tables (several agree): B 0.1 %
    ("1K0C", "resistance", 1000.0, 0.0025),  # tolerance letter tables (several agree): C 0.25 %
    ("1K0D", "resistance", 1000.0, 0.005),  # tolerance letter tables (several agree): D 0.5 %
    ("100nK", "capacitance", 1e-7, 0.1),  # tolerance letter tables (several agree): K 10 %
    ("4p7C", "capacitance", 4.7e-12, 0.25 / 4.7),  # same tables: C is 0.25 pF below 10 pF
    ("8p2B", "capacitance", 8.2e-12, 0.1 / 8.2),  # same tables: B is 0.1 pF below 10 pF
]


@pytest.mark.parametrize(("code", "dimension", "value", "tolerance"), _CODES)
def test_a_code_gives_value_and_tolerance(code: str, dimension: str, value: float, tolerance: float) -> None:
    quantity = parse_quantity(code, dimension)
    assert quantity.value == pytest.approx(value, rel=1e-15)
    assert (quantity.minus, quantity.plus) == pytest.approx((tolerance, tolerance), rel=1e-12)
    assert parse_any_quantity(code) == quantity


@pytest.mark.parametrize(
    ("code", "dimension", "what"),
    [
        ("2n2F", "capacitance", "may mean farad or ±1 %"),
        ("4p7F", "capacitance", "may mean farad or ±1 %"),
        ("4K7Z", "resistance", "goes on after the code"),
        ("4K7E", "resistance", "goes on after the code"),
        ("3V3C", "voltage", "ends in C, which is no tolerance of a voltage"),
        ("0p1D", "capacitance", "goes below -100 %"),
        ("4K7JJ", "resistance", "goes on after the code"),
    ],
)
def test_a_letter_that_may_mean_two_things_is_not_guessed(code: str, dimension: str, what: str) -> None:
    with pytest.raises(QuantityError, match=what):
        parse_quantity(code, dimension)


@pytest.mark.parametrize(
    ("text", "dimension"), [("100nF", "capacitance"), ("100nJ", "energy"), ("10pC", "charge")]
)
def test_letters_that_spell_a_unit_are_the_unit(text: str, dimension: str) -> None:
    quantity = parse_any_quantity(text)
    assert (quantity.dimension, quantity.has_tolerance) == (dimension, False)
