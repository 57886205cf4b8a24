"""Whatever is typed, the reader answers at once: with what was meant or with a plain refusal."""

from __future__ import annotations

import time
from collections.abc import Callable
from decimal import Decimal

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from kb.quantities import (
    DIMENSIONS,
    Quantity,
    QuantityError,
    Span,
    parse_any_quantity,
    parse_any_span,
    parse_quantity,
    parse_span,
    show,
)
from kb.quantities.spellings import UNITS

_DECIMALS = st.decimals(min_value="-1e6", max_value="1e6", places=6, allow_nan=False, allow_infinity=False)
_WRITTEN = st.text(
    alphabet=st.sampled_from(
        list("0123456789.,eE+-±/% ><=≥≤_'to") + list("RkKMGLpnuµmFVsHzΩhJCA°\u00a0\u2126")
    ),
    max_size=30,
)
_BENCH_VALUES = st.floats(min_value=1e-11, max_value=1e11) | st.floats(min_value=-1e11, max_value=-1e-11)


@settings(deadline=None)  # the first reading of all sets up the unit library
@given(number=_DECIMALS, unit=st.sampled_from(sorted(UNITS)), blank=st.sampled_from(["", " ", "\u00a0"]))
def test_any_number_of_any_unit_is_read_exactly(number: Decimal, unit: str, blank: str) -> None:
    dimension = UNITS[unit].dimension
    one, none = (parse_quantity(f"{count} {unit}", dimension).value for count in (1, 0))
    read = parse_quantity(f"{number:f}{blank}{unit}", dimension).value
    assert read == pytest.approx(none + (one - none) * float(number), rel=1e-9, abs=1e-18)


@settings(deadline=None)
@given(value=_BENCH_VALUES, dimension=st.sampled_from(DIMENSIONS), digits=st.integers(2, 9))
def test_what_is_shown_reads_back_within_the_rounding(value: float, dimension: str, digits: int) -> None:
    shown = show(value, dimension, digits)
    read = parse_quantity(shown, dimension).value
    zero = 273.15 if dimension == "temperature" else 0.0
    rounding = max(0.5 * 10.0 ** (1 - digits) * abs(value - zero), 0.0)
    if dimension == "time" and abs(value) >= 119:
        rounding = max(rounding, 30.0 if abs(value) >= 3569 else 0.5)
    assert abs(read - value) <= rounding * (1 + 1e-6) + 1e-9 * abs(zero), shown


@settings(deadline=None)
@given(text=st.text(max_size=150) | _WRITTEN, dimension=st.sampled_from(DIMENSIONS))
@example("1" * 119 + "%", "ratio")
@example("²", "number")
@example("5 V ±0.25 V", "resistance")
@example("4k7J to", "resistance")
@example("\ud800", "time")
@example("-", "time")
@example("+", "time")
def test_nothing_but_a_plain_refusal_is_ever_raised(text: str, dimension: str) -> None:
    readers = (
        lambda: parse_quantity(text, dimension),
        lambda: parse_span(text, dimension),
        lambda: parse_any_quantity(text),
        lambda: parse_any_span(text),
    )
    for error in filter(None, map(_refusal, readers)):
        assert error.what
        assert error.advice
        assert str(error).isprintable()
        assert len(str(error)) < 250


def _refusal(read: Callable[[], Quantity | Span]) -> QuantityError | None:
    try:
        read()
    except QuantityError as error:
        return error
    return None


@pytest.mark.parametrize(
    "text",
    [
        "1" * 5000,
        "1 " * 60,
        "9**9**9**9",
        "-" * 120,
        "1 s " * 30,
        "1 min" + " " * 112 + "2 x",
        "5 V " + "±" * 116,
        "1 to " * 24,
        "0" * 120,
        "-1+1" * 30,
        "1e" * 60,
        "a" * 120,
        "5 " + "hz" * 59,
        "5 x" + " " * 115 + "%",
    ],
)
def test_no_text_keeps_the_bench_waiting(text: str) -> None:
    parse_quantity("1 V", "voltage")
    started = time.process_time()
    for dimension in ("time", "resistance"):
        with pytest.raises(QuantityError):
            parse_span(text, dimension)
    assert time.process_time() - started < 0.25
