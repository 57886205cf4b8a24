"""A reading is good or bad by what the check says, and is never guessed."""

from __future__ import annotations

import pytest

from kb.diagnosis.judging import expected_rate, is_good
from kb.records import Reading

RAIL, LONG, WORDS = "4.75 V to 5.25 V", ">= 5 ms", "one lamp at a time, none dim"


@pytest.mark.parametrize(
    ("reading", "good", "judged"),
    [
        ("5.02 V", RAIL, True),
        ("4.75 V", RAIL, True),
        ("4749 mV", RAIL, False),
        ("4.8 V to 5.2 V", RAIL, True),
        ("4.7 V to 5.2 V", RAIL, False),
        ("<= 5 V", RAIL, False),
        ("7 ms", LONG, True),
        ("4.9 ms", LONG, False),
        (">= 6 ms", LONG, True),
        ("5 ms", RAIL, None),
        ("somewhat low", RAIL, None),
        ("in order", RAIL, True),
        ("One lamp at a  time, none dim.", WORDS, True),
        ("two lamps", WORDS, None),
        ("5 V", WORDS, None),
    ],
)
def test_readings_are_judged_by_the_check(reading: str, good: str, judged: bool | None) -> None:
    assert is_good(Reading.read(reading), Reading.read(good)) is judged


@pytest.mark.parametrize(
    ("reads", "good", "rate"),
    [
        ("4.9 V to 5.1 V", RAIL, 0.05),
        ("3 V to 4 V", RAIL, 0.95),
        ("4.5 V to 5 V", RAIL, 0.5),
        ("<= 5 V", RAIL, 0.5),
        ("far below 4 V, then nothing", RAIL, 0.95),
        (WORDS, WORDS, 0.05),
        ("two lamps", WORDS, 0.95),
        ("5 V", WORDS, 0.95),
        ("5 ms", RAIL, None),
        ("<= 4 ms", LONG, 0.95),
        ("4 ms to 6 ms", LONG, 0.5),
    ],
)
def test_what_a_fault_is_recorded_to_read_says_how_surely_the_check_fails(
    reads: str, good: str, rate: float | None
) -> None:
    found = expected_rate(Reading.read(reads), Reading.read(good))
    assert found == (None if rate is None else pytest.approx(rate))
