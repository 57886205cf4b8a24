"""A span is read with both its limits, and holds a reading that lies on one of them."""

from __future__ import annotations

import math

import pytest

from kb.quantities import QuantityError, Span, parse_any_span, parse_span

_READ = [
    ("4.75 V to 5.25 V", "voltage", 4.75, 5.25),
    ("4.75 to 5.25 V", "voltage", 4.75, 5.25),
    ("-5 V to +5 V", "voltage", -5.0, 5.0),
    ("100 to 220 nF", "capacitance", 1e-7, 2.2e-7),
    ("900 mV to 1.1 V", "voltage", 0.9, 1.1),
    ("0 to 10k", "resistance", 0.0, 10e3),
    ("4k7 to 10k", "resistance", 4700.0, 10e3),
    ("20 to 30 °C", "temperature", 293.15, 303.15),
    ("40 to 60 %", "ratio", 0.4, 0.6),
    ("3 to 5", "number", 3.0, 5.0),
    ("1 min 20 s to 2 min", "time", 80.0, 120.0),
    (">= 5 ms", "time", 0.005, None),
    ("≥5 ms", "time", 0.005, None),
    ("> 5 ms", "time", 0.005, None),
    ("<= 50 mV", "voltage", None, 0.05),
    ("≤ 50 mV", "voltage", None, 0.05),
    ("< 50 mV", "voltage", None, 0.05),
    ("5 V ±5 %", "voltage", 4.75, 5.25),
    ("-12 V ±5 %", "voltage", -12.6, -11.4),
    ("5 V +/- 0.25 V", "voltage", 4.75, 5.25),
    ("5 V ± 250 mV", "voltage", 4.75, 5.25),
    ("5 ± 0.25 V", "voltage", 4.75, 5.25),
    ("0 V ±5 mV", "voltage", -0.005, 0.005),
    ("25 °C ± 2 °C", "temperature", 296.15, 300.15),
    ("298.15 K ± 2 °C", "temperature", 296.15, 300.15),
    ("100 uF -20/+80 %", "capacitance", 8e-5, 1.8e-4),
    ("4K7J", "resistance", 4465.0, 4935.0),
    ("5 V", "voltage", 5.0, 5.0),
]


@pytest.mark.parametrize(("text", "dimension", "low", "high"), _READ)
def test_it_is_read_with_its_limits(text: str, dimension: str, low: float | None, high: float | None) -> None:
    assert parse_span(text, dimension) == Span(low, high, dimension, text)


@pytest.mark.parametrize(("text", "dimension"), [(text, dimension) for text, dimension, *_ in _READ])
def test_what_is_shown_of_a_span_reads_back_as_the_same_limits(text: str, dimension: str) -> None:
    span = parse_span(text, dimension)
    again = parse_span(span.shown, dimension)
    assert (again.low, again.high) == (span.low, span.high)


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("4.75 to 5.25 V", "4.75\u00a0V to 5.25\u00a0V"),
        ("> 5 ms", "≥ 5\u00a0ms"),
        ("< 50 mV", "≤ 50\u00a0mV"),
        ("5 V ±5 %", "4.75\u00a0V to 5.25\u00a0V"),
        ("0.0047 Mohm", "4.7\u00a0kΩ"),
    ],
)
def test_a_span_is_shown_by_its_limits(text: str, shown: str) -> None:
    assert parse_any_span(text).shown == shown


_REFUSED = [
    ("5.25 V to 4.75 V", "voltage", 'the low end of "5.25 V to 4.75 V" is above its high end',
     'write "4.75 V to 5.25 V"'),
    ("4.75 V to 5.25", "voltage", '"5.25" has no unit', 'write for example "5.25 V"'),
    ("1 to 10k", "resistance", '"1" has no unit', 'write for example "1 kohm"'),
    ("4 V to 5 V to 6 V", "voltage", '"4 V to 5 V to 6 V" has more than two ends',
     'write for example "4.75 V to 5.25 V"'),
    ("4.75 V - 5.25 V", "voltage", '"4.75 V - 5.25 V" has a dash between its ends',
     'write "4.75 V to 5.25 V"'),
    ("4.75–5.25 V", "voltage", '"4.75–5.25 V" has a dash between its ends', 'write "4.75 to 5.25 V"'),
    (">= 5 V ±5 %", "voltage", 'the limit "5 V ±5 %" has a tolerance', 'write "5 V"'),
    ("4k7J to 10k", "resistance", 'the limit "4k7J" has a tolerance', 'write "4k7"'),
    (">= 5 V", "time", '"5 V" is a voltage, expected a time', 'write for example "10 ms"'),
    ("5 V ±0.25", "voltage", 'the tolerance in "5 V ±0.25" has no unit', 'write "5 V ±0.25 %"'),
    ("5 V ±10 ms", "voltage", '"10 ms" is a time, expected a voltage', 'write for example "5 V"'),
    ("50 % ±5 %", "ratio", '"50 % ±5 %" puts a relative tolerance on a ratio',
     'give both limits where a range is asked for, for example "45 % to 55 %"'),
    ("", "time", "the text is empty", 'write for example "10 ms"'),
    (">=", "time", '">=" has no number', 'write for example "10 ms"'),
]  # fmt: skip


@pytest.mark.parametrize(("text", "dimension", "what", "advice"), _REFUSED)
def test_it_is_refused_with_advice(text: str, dimension: str, what: str, advice: str) -> None:
    with pytest.raises(QuantityError) as caught:
        parse_span(text, dimension)
    assert (caught.value.what, caught.value.advice) == (what, advice)


@pytest.mark.parametrize("text", ["4 V to 5 s", "5 V ±10 ms"])
def test_both_ends_have_one_dimension(text: str) -> None:
    with pytest.raises(QuantityError):
        parse_any_span(text)


def test_a_reading_on_the_limit_is_inside_and_one_beside_it_is_not() -> None:
    rail = parse_span("4.75 V to 5.25 V", "voltage")
    assert all(rail.holds(volts) for volts in (4.75, 5.0, 5.25, 4.75 * (1 - 0.9e-9), 5.25 * (1 + 0.9e-9)))
    assert not any(rail.holds(volts) for volts in (4.7499, 5.2501, math.nan, math.inf, -5.0))


def test_an_open_limit_holds_everything_beyond() -> None:
    assert parse_span(">= 5 ms", "time").holds(math.inf)
    assert parse_span("<= 5 ms", "time").holds(-1.0)
    assert not parse_span(">= 5 ms", "time").holds(0.0049)
    assert not parse_span("<= 5 ms", "time").holds(math.nan)


@pytest.mark.parametrize(
    ("low", "high", "dimension"),
    [
        (None, None, "time"),
        (2.0, 1.0, "time"),
        (math.nan, 1.0, "time"),
        (0.0, math.inf, "time"),
        (0.0, 1.0, "colour"),
    ],
)
def test_a_span_without_sense_cannot_be_made(low: float | None, high: float | None, dimension: str) -> None:
    with pytest.raises(ValueError, match=r"span|limit|dimension"):
        Span(low, high, dimension)
