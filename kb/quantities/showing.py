"""Values in words a bench reads at a glance: engineering notation, and minutes and hours for long times.

Rounding comes first and the prefix second, so that 999.96 mV is "1 V" and never "1000 mV". All that is
shown here can be read back by `parse_quantity`. A no-break space (U+00A0) keeps a number with its unit.
"""

from __future__ import annotations

import math
from decimal import ROUND_HALF_UP, Decimal
from functools import lru_cache

from kb.quantities.dimensions import dimension_named

COMPUTED_DIGITS = 3
WRITTEN_DIGITS = 6
_FLOAT_DIGITS = 17
NO_BREAK = "\u00a0"

_KELVIN_AT_ZERO_CELSIUS = Decimal("273.15")  # SI Brochure, 9th edition, section 2.3.1
_POWERS = {"p": -12, "n": -9, "µ": -6, "m": -3, "-": 0, "k": 3, "M": 6, "G": 9}
# Unit and prefixes per dimension. No mF: on old parts and schematics it means microfarad (common practice,
# no source).
ENGINEERING = {
    "resistance": ("Ω", "µm-kMG"),
    "capacitance": ("F", "pnµ-"),
    "inductance": ("H", "nµm-"),
    "voltage": ("V", "nµm-k"),
    "current": ("A", "pnµm-"),
    "power": ("W", "nµm-k"),
    "energy": ("J", "nµm-k"),
    "time": ("s", "pnµm-"),
    "frequency": ("Hz", "µm-kMG"),
    "charge": ("C", "pnµm-"),
    "length": ("m", "µm-"),
    "mass": ("g", "µm-k"),
}
_TEN_THOUSANDTH = Decimal("1e-4")
_TENTH_OF_A_FARAD = Decimal("0.1")
_MILLIAMPERE_HOUR_C = Decimal("3.6")
_MINUTE_S, _HOUR_S, _DAY_S, _YEAR_S = (Decimal(seconds) for seconds in (60, 3600, 86400, 31557600))


def show(value: float, dimension: str, digits: int = COMPUTED_DIGITS) -> str:
    """Return `value` (SI) as text, rounded to `digits` significant digits, trailing zeros trimmed.

    A whole plain number is never rounded. Times from 120 s up are shown in minutes and seconds, from an hour
    in hours and minutes, then in days and years; a charge from 1 mAh up in ampere hours; a ratio in % or ppm.
    Raises ValueError for an unknown dimension, a value that is not finite, or fewer than one digit.
    """
    if not math.isfinite(value) or digits < 1:
        dimension_named(dimension)
        raise ValueError(f"cannot show {value!r} to {digits} digits")
    return _shown(repr(float(value)), dimension, digits)


@lru_cache(maxsize=1 << 14)
def _shown(written: str, dimension: str, digits: int) -> str:
    # By its text, because to a memory 0.0 and -0.0 are one number.
    unit = dimension_named(dimension).unit
    exact = Decimal(written)
    if dimension in ENGINEERING:
        return _physical(exact, dimension, digits)
    if dimension == "temperature":
        return _with_unit(_rounded(exact - _KELVIN_AT_ZERO_CELSIUS, digits), "°C")
    if dimension == "ratio":
        return _ratio(exact, digits)
    if dimension == "number":
        return _plain(exact if exact == exact.to_integral_value() else _rounded(exact, digits))
    rounded = _rounded(exact, digits)
    return _with_unit(rounded, "cent" if unit == "cents" and abs(rounded) == 1 else unit)


def format_tolerance(minus: float, plus: float, digits: int = COMPUTED_DIGITS) -> str:
    """Return a relative tolerance (positive fractions) as "±5 %" or "-20/+80 %"."""
    low, high = (_plain(_rounded(Decimal(repr(float(part))) * 100, digits)) for part in (minus, plus))
    return f"±{high}{NO_BREAK}%" if low == high else f"-{low}/+{high}{NO_BREAK}%"


def _physical(exact: Decimal, dimension: str, digits: int) -> str:
    if dimension == "time" and abs(_rounded(exact, digits)) >= 2 * _MINUTE_S:
        return _long_time(exact, digits)
    if dimension == "charge" and abs(exact) >= _MILLIAMPERE_HOUR_C:
        return _engineering(_rounded(exact / _HOUR_S, digits), "Ah", "m-")
    unit, prefixes = ENGINEERING[dimension]
    rounded = _rounded(exact * 1000 if dimension == "mass" else exact, digits)
    if dimension == "capacitance":
        prefixes = prefixes.strip("-") if abs(rounded) < _TENTH_OF_A_FARAD else "-"
    return _engineering(rounded, unit, prefixes)


def _engineering(rounded: Decimal, unit: str, prefixes: str) -> str:
    """Put the prefix that leaves one to three digits before the point, as far as `prefixes` has it."""
    if not rounded:
        return f"0{NO_BREAK}{unit}"
    fitting = [letter for letter in prefixes if _POWERS[letter] <= rounded.adjusted()]
    letter = fitting[-1] if fitting else prefixes[0]
    scaled = rounded.scaleb(-_POWERS[letter])
    if _is_awkward(scaled):
        return _with_unit(rounded, unit)
    return _with_unit(scaled, letter.strip("-") + unit)


def _ratio(exact: Decimal, digits: int) -> str:
    rounded = _rounded(exact, digits)
    if rounded and abs(rounded) < _TEN_THOUSANDTH:
        return _with_unit(rounded.scaleb(6), "ppm")
    return _with_unit(rounded.scaleb(2), "%")


def _long_time(exact: Decimal, digits: int) -> str:
    sign, seconds = ("-" if exact < 0 else ""), abs(exact)
    if _whole(seconds) < _HOUR_S:
        return sign + _two_units(_whole(seconds), (_MINUTE_S, "min"), (Decimal(1), "s"))
    minutes = _whole(seconds / _MINUTE_S)
    if minutes * _MINUTE_S < 2 * _DAY_S:
        return sign + _two_units(minutes * _MINUTE_S, (_HOUR_S, "h"), (_MINUTE_S, "min"))
    if seconds < 2 * _YEAR_S:
        return sign + _with_unit(_rounded(seconds / _DAY_S, digits), "days")
    return sign + _with_unit(_rounded(seconds / _YEAR_S, digits), "years")


def _two_units(seconds: Decimal, large: tuple[Decimal, str], small: tuple[Decimal, str]) -> str:
    count, left = divmod(seconds, large[0])
    first = _with_unit(count, large[1])
    return f"{first} {_with_unit(left / small[0], small[1])}" if left else first


def _whole(number: Decimal) -> Decimal:
    return number.to_integral_value(ROUND_HALF_UP)


def _rounded(exact: Decimal, digits: int) -> Decimal:
    if not exact:
        return Decimal(0)
    kept = min(digits, _FLOAT_DIGITS)
    return exact.quantize(Decimal(1).scaleb(exact.adjusted() - kept + 1), ROUND_HALF_UP) + 0


def _is_awkward(number: Decimal) -> bool:
    return bool(number) and not -4 <= number.adjusted() < 7


def _plain(number: Decimal) -> str:
    """Return `number` without trailing zeros, with an exponent only where the zeros could not be counted."""
    short = number.normalize()
    if _is_awkward(short) and not (short == short.to_integral_value() and short.adjusted() < 15):
        return f"{short:e}".replace("e+", "e")
    return f"{short:f}"


def _with_unit(number: Decimal, unit: str) -> str:
    return f"{_plain(number)}{NO_BREAK}{unit}"
