"""A reading is a range that a meter can be held against, or words; what is neither is refused."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic_core import PydanticCustomError

from kb.records import Reading
from kb.records.fields import is_identifier, suggested_identifier


@pytest.mark.parametrize(
    ("text", "low", "high"),
    [
        ("4.75 V to 5.25 V", 4.75, 5.25),
        ("4.75 to 5.25 V", 4.75, 5.25),
        (">= 5 ms", 0.005, None),
        ("<= 20 mV", None, 0.02),
        ("-12 V +/-5 %", -12.6, -11.4),
        ("2k2", 2200.0, 2200.0),
        ("50 %", 0.5, 0.5),
    ],
)
def test_a_quantity_is_held_against_a_meter(text: str, low: float | None, high: float | None) -> None:
    span = Reading.read(text).span
    assert span is not None
    assert (span.low, span.high) == (pytest.approx(low), pytest.approx(high))


@pytest.mark.parametrize(
    "text",
    ["one pulse for every step", "0 V or 5 V", "5 V, stable", "12 V DC", "4 Vpp", "24 pulses", "3 steps",
     "NO", "between 3 V and 4 V", "1.15 times the rated voltage", "0.37 x R x C", "no pulse", "1:30",
     "about 5 V",
     "0.996 V for some octaves and 1.006 V for others", "IC4 pin 7 to ground", "to ground"],
)  # fmt: skip
def test_words_stay_words(text: str) -> None:
    reading = Reading.read(text)
    assert reading.text == text
    assert reading.span is None


@pytest.mark.parametrize(
    "text",
    ["5", "0100", "1.20", "1e3", ">= 5", "4.75 to 5.25", "-12", "4,75 V", "4,75 V to 5,25 V", "5 V ± 0,25 V",
     "1_000 V", "5 mv", "5 volts", "5 Ohms to 7 Ohms", "5.25 V to 4.75 V", "5 V to 6 ms", "4.75 V to 5.25",
     "4.75 V - 5.25 V", "4.75-5.25 V", "", "  ", "a\nb", "x" * 301],
)  # fmt: skip
def test_what_looks_like_a_quantity_and_is_none_is_refused(text: str) -> None:
    with pytest.raises(PydanticCustomError) as caught:
        Reading.read(text)
    assert caught.value.context is not None
    assert caught.value.context["advice"]


@given(st.text(max_size=60))
def test_any_text_is_a_reading_or_refused(text: str) -> None:
    try:
        reading = Reading.read(text)
    except PydanticCustomError:
        return
    assert reading.text == text.strip()


@given(st.text(max_size=200))
def test_what_is_suggested_as_an_id_is_one(text: str) -> None:
    assert is_identifier(suggested_identifier(text))


@given(st.from_regex(r"[a-z0-9]{1,20}(-[a-z0-9]{1,20}){0,2}", fullmatch=True))
def test_an_id_is_its_own_suggestion(text: str) -> None:
    assert is_identifier(text)
    assert suggested_identifier(text) == text
