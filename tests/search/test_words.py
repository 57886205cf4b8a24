"""What a page is found by, and what a query is read as."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.search.words import LONGEST_WORD, MOST_QUERY_WORDS, query_words, terms_of
from kb.wording.folding import compounds_of


def found_by(text: str) -> set[str]:
    return {term for compound in compounds_of(text) for term in terms_of(compound)}


@pytest.mark.parametrize(
    ("text", "terms"),
    [
        ("74LS123", {"74ls123", "ls123", "123"}),
        ("SN74LS123N", {"sn74ls123n", "74ls123n", "ls123n", "123n"}),
        ("CD4538", {"cd4538", "4538"}),
        ("R7", {"r7"}),
        ("SW16-0123", {"sw16", "16", "0123", "sw160123", "160123"}),
        ("half-split", {"half", "split", "halfsplit"}),
        ("Café", {"cafe"}),
        ("10 ms", {"10", "ms", "10ms"}),
        ("10 milk", {"10", "milk"}),
        ("4.7 kΩ", {"4.7", "kohm", "4.7kohm"}),
        ("4k7", {"4k7", "4.7kohm", "k7"}),
        ("0.1 µF", {"0.1", "uf", "0.1uf"}),
        ("doesn't", {"not"}),
        ("the unit’s lamp", {"units", "lamp"}),
        ("+5 V/-12 V", {"5", "v", "5v", "12", "12v"}),
        ("_ *** --", set()),
    ],
)
def test_a_page_is_found_by_what_somebody_may_type_for_it(text: str, terms: set[str]) -> None:
    assert found_by(text) - {"doesnt", "does"} == terms


@pytest.mark.parametrize(
    ("query", "words"),
    [
        ("Clock stops", [("clock", "clockstops"), ("stops", "clockstops")]),
        ("half-split", [("half", "halfsplit"), ("split", "halfsplit")]),
        ("10 ms", [("10", "10ms"), ("ms", "10ms")]),
        ("4k7", [("4k7", "4.7kohm")]),
        ("the clock is", [("clock",)]),
        ("the", [("the",)]),
        ("clock clock", [("clock",)]),
        ("", []),
        ("?!", []),
    ],
)
def test_a_query_is_read_as_words_with_their_spellings(query: str, words: list[tuple[str, ...]]) -> None:
    assert [each.spellings for each in query_words(query)] == words


@given(st.text(max_size=300))
def test_any_text_gives_short_words_that_are_found_again(text: str) -> None:
    words = query_words(text)
    assert len(words) <= MOST_QUERY_WORDS
    assert all(0 < len(term) <= LONGEST_WORD for term in found_by(text))
    assert all(len(spelling) <= LONGEST_WORD for word in words for spelling in word.spellings)
