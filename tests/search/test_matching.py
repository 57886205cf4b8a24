"""Which words answer which: other endings do, other things do not, and one slip of the finger is forgiven."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.search.matching import BEGINNING, EXACT, MISTYPED, OTHER_FORM, RELATED, Wanted, one_slip_apart


@pytest.mark.parametrize(
    ("word", "term", "fit"),
    [
        ("stops", "stops", EXACT),
        ("stops", "stopped", OTHER_FORM),
        ("stopped", "stopping", OTHER_FORM),
        ("stopping", "stop", OTHER_FORM),
        ("hums", "humming", OTHER_FORM),
        ("switch", "switches", OTHER_FORM),
        ("cap", "capacitor", BEGINNING),
        ("74ls12", "74ls123", BEGINNING),
        ("oscillating", "oscillator", RELATED),
        ("tape", "tap", 0),
        ("note", "not", 0),
        ("c", "clock", 0),
        ("clock", "block", 0),
        ("555", "55", 0),
    ],
)
def test_how_well_a_word_is_met(word: str, term: str, fit: int) -> None:
    assert Wanted.of(word).met_by(term) == fit


@pytest.mark.parametrize(
    ("word", "term"),
    [
        ("comparitor", "comparator"),
        ("comparators", "comparatr"),
        ("reservior", "reservoir"),
        ("clokc", "clock"),
        ("clok", "clock"),
        ("cloock", "clock"),
        ("oscila", "oscillator"),
    ],
)
def test_one_slip_is_forgiven(word: str, term: str) -> None:
    assert Wanted.of(word).may_mean(term) == MISTYPED


@pytest.mark.parametrize(
    ("word", "term"),
    [
        ("block", "clock"),
        ("hun", "hum"),
        ("74ls132", "74ls123"),
        ("cl", "clo"),
        ("clcko", "clock"),
        ("zeta", "z"),
    ],
)
def test_other_slips_and_part_numbers_are_taken_as_meant(word: str, term: str) -> None:
    assert Wanted.of(word).may_mean(term) == 0


def distance(first: str, second: str) -> int:
    """Edits and swaps of neighbours between two words, by the textbook's table."""
    table = [[max(row, column) for column in range(len(second) + 1)] for row in range(len(first) + 1)]
    for row in range(1, len(first) + 1):
        for column in range(1, len(second) + 1):
            costs = [table[row - 1][column] + 1, table[row][column - 1] + 1]
            costs.append(table[row - 1][column - 1] + (first[row - 1] != second[column - 1]))
            swapped = row > 1 and column > 1 and first[row - 2 : row] == second[column - 2 : column][::-1]
            if swapped:
                costs.append(table[row - 2][column - 2] + 1)
            table[row][column] = min(costs)
    return table[-1][-1]


@given(st.text("abc", max_size=6), st.text("abc", max_size=6))
def test_one_slip_is_a_distance_of_one(first: str, second: str) -> None:
    assert one_slip_apart(first, second) == (distance(first, second) == 1)
