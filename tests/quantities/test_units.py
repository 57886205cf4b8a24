"""Every unit means what the SI Brochure says, checked without the unit library."""

from __future__ import annotations

import subprocess
import sys
from decimal import Decimal

import pytest
from scipy import constants

from kb.quantities import DIMENSIONS, parse_quantity, unit_of
from kb.quantities.conversion import difference_to_si, registry, to_si
from kb.quantities.dimensions import dimension_named
from kb.quantities.spellings import MISSPELLINGS, UNITS

_PREFIXES = {
    "p": constants.pico,
    "n": constants.nano,
    "u": constants.micro,
    "µ": constants.micro,
    "m": constants.milli,
    "": 1.0,
    "k": constants.kilo,
    "M": constants.mega,
    "G": constants.giga,
}
# In SI, per unit without a prefix: scipy.constants where it has the factor, plain factors for the rest.
_FACTORS = {
    "ohm": 1.0,
    "Ω": 1.0,
    "F": 1.0,
    "H": 1.0,
    "V": 1.0,
    "A": 1.0,
    "W": 1.0,
    "J": 1.0,
    "s": 1.0,
    "Hz": 1.0,
    "C": 1.0,
    "coulomb": 1.0,
    "Ah": constants.hour,
    "m": 1.0,
    "cm": constants.centi,
    "g": constants.gram,
    "min": constants.minute,
    "h": constants.hour,
    "day": constants.day,
    "days": constants.day,
    "year": constants.Julian_year,
    "years": constants.Julian_year,
    "K": 1.0,
    "%": 0.01,
    "ppm": 1e-6,
    "cent": 1.0,
    "cents": 1.0,
    "BPM": 1.0,
    "bpm": 1.0,
}


def _expected_factor(spelling: str) -> float:
    if spelling in _FACTORS:
        return _FACTORS[spelling]
    return _PREFIXES[spelling[0]] * _FACTORS[spelling[1:]]


@pytest.mark.parametrize("spelling", sorted(set(UNITS) - {"degC", "°C"}))
def test_one_of_each_unit_is_the_factor_it_should_be(spelling: str) -> None:
    assert float(to_si(Decimal(1), UNITS[spelling])) == pytest.approx(_expected_factor(spelling), rel=1e-12)


@pytest.mark.parametrize("celsius", [-40.0, 0.0, 25.0, 100.0])
def test_celsius_has_its_zero_where_scipy_has_it(celsius: float) -> None:
    kelvin = constants.convert_temperature(celsius, "Celsius", "Kelvin")
    for spelling in ("degC", "°C"):
        assert parse_quantity(f"{celsius} {spelling}", "temperature").value == pytest.approx(kelvin)


def test_two_degrees_warmer_is_two_kelvin() -> None:
    assert difference_to_si(Decimal(2), UNITS["°C"]) == 2


@pytest.mark.parametrize("spelling", sorted(UNITS))
def test_the_unit_library_agrees_on_the_dimension(spelling: str) -> None:
    unit = UNITS[spelling]
    known = registry()
    assert (
        known.Unit(unit.name).dimensionality
        == known.Unit(dimension_named(unit.dimension).base).dimensionality
    )


@pytest.mark.parametrize("word", ["k", "R", "Nm", "pcs", "mil", "inch", "kelvins_squared"])
def test_the_registry_knows_nothing_but_our_units(word: str) -> None:
    assert word not in registry()


@pytest.mark.parametrize("dimension", DIMENSIONS)
def test_the_si_unit_of_a_dimension_reads_as_one_of_it(dimension: str) -> None:
    if unit_of(dimension) != "1":
        assert parse_quantity(f"1 {unit_of(dimension)}", dimension).value == 1


@pytest.mark.parametrize("dimension", DIMENSIONS)
def test_the_example_of_a_dimension_can_be_read(dimension: str) -> None:
    named = dimension_named(dimension)
    assert parse_quantity(named.example, dimension).dimension == dimension
    assert parse_quantity(f"3 {named.example_unit}".strip(), dimension).dimension == dimension


def test_advice_on_a_misspelt_unit_names_a_unit_that_exists() -> None:
    assert {right for right in MISSPELLINGS.values() if right not in UNITS} <= {"R"}
    assert not set(MISSPELLINGS) & set(UNITS) - {"c"}


def test_the_unit_library_is_imported_at_the_first_conversion_only() -> None:
    script = (
        "import sys, kb.quantities as q; before = 'pint' in sys.modules;"
        "q.show(1.0, 'voltage'); q.parse_quantity('1 V', 'voltage'); print(before, 'pint' in sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert done.stdout.split() == ["False", "True"]
