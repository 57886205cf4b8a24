"""Shares of few cases are said as cases."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.diagnosis.rates import rate_text, wilson


@given(st.integers(1, 500).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n))))
def test_a_share_lies_in_its_interval_and_says_how_many_cases_it_rests_on(share: tuple[int, int]) -> None:
    held, cases = share
    low, high = wilson(held, cases)
    assert 0 <= low <= held / cases <= high <= 1
    text = rate_text(held, cases)
    assert f"{held} of {cases}" in text
    assert cases >= 10 or not text.split("(")[0].count("%")


@pytest.mark.parametrize(
    ("held", "cases", "said"),
    [
        (0, 0, "no case yet"),
        (1, 1, "1 of 1 so far"),
        (4, 4, "4 of 4 so far"),
        (5, 5, "5 of 5 (56 % to 100 %)"),
        (3, 5, "3 of 5 (23 % to 89 %)"),
        (8, 10, "80 % (49 % to 95 %, 8 of 10)"),
        (0, 20, "0 % (0 % to 17 %, 0 of 20)"),
    ],
)
def test_few_cases_are_said_as_cases(held: int, cases: int, said: str) -> None:
    assert rate_text(held, cases) == said


def test_no_share_of_nothing() -> None:
    with pytest.raises(ValueError, match="1 of 0"):
        wilson(1, 0)
