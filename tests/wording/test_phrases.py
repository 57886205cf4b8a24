"""Phrases that mean the same: met by their stems, not where they are denied, the longest first."""

from __future__ import annotations

import itertools
import random
import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.search.synonyms import phrases_for, trade_groups
from kb.wording.phrases import LONGEST_PHRASE, MOST_GROUPS, SIGN, Phrases, phrase_key, phrases_of

TRADE = phrases_for()
PAIRS = [(group[0], phrase) for group in trade_groups() for phrase in group[1:]]


def signs(text: str) -> list[str]:
    return TRADE.signs_in(text)


def test_the_trade_has_many_groups_and_no_phrase_in_two() -> None:
    assert len(trade_groups()) >= 40
    keys = [{phrase_key(phrase) for phrase in group} for group in trade_groups()]
    assert all(one.isdisjoint(other) for one, other in itertools.combinations(keys, 2))
    assert all(1 <= len(key) <= LONGEST_PHRASE for group in keys for key in group)
    assert all(len(group) > 1 for group in keys)


@pytest.mark.parametrize(("first", "other"), PAIRS)
def test_each_phrase_of_a_group_means_the_first(first: str, other: str) -> None:
    assert signs(other) == signs(first)
    assert len(signs(first)) == 1


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("won't trigger", "the envelope doesn't start"),
        ("no gate out", "misses notes"),
        ("it missed some notes", "some notes do not sound"),
        ("the clock stalls", "clock froze, clock frozen"),
        ("goes flat", "drifts"),
        ("hums", "a loud buzz"),
        ("dead", "it does not power up"),
        ("crackling", "scratchy"),
        ("forgets all patterns", "lost its memory"),
        ("jammed", "the slider is stuck"),
        ("ENVELOPE DOESN\u2019T START", "envelope does not start"),
    ],
)
def test_wordings_of_one_thing(one: str, other: str) -> None:
    assert set(signs(one)) & set(signs(other))


@pytest.mark.parametrize(
    "text", ["no hum", "it does not hum", "never crackles", "isn't jammed", "without hum"]
)
def test_what_is_denied_is_not_meant(text: str) -> None:
    assert signs(text) == []


@pytest.mark.parametrize(
    ("text", "alike", "other"),
    [
        ("dead battery", "battery empty", "no power"),
        ("dead key", "key does not work", "no power"),
        ("tape runs slow", "tape drags", "runs slow"),
        ("noisy pot", "crackles", "hiss"),
        ("does not turn on", "dead", "does not turn"),
    ],
)
def test_the_longest_phrase_wins(text: str, alike: str, other: str) -> None:
    assert signs(text) == signs(alike)
    assert signs(text) != signs(other)


@pytest.mark.parametrize(
    "text", ["It hums. Battery dead.", "no sound, gate out is fine", "notes (miss every one)"]
)
def test_no_phrase_runs_on_into_the_next_clause(text: str) -> None:
    assert set(signs(text)).isdisjoint(signs("no gate out") + signs("misses notes"))


def test_phrases_do_not_lie_over_each_other() -> None:
    phrases = phrases_of([["a1 b1", "x1"], ["b1 c1 d1", "y1"], ["d1", "z1"]])
    met = phrases.met_in(["a1", "b1", "c1", "d1", "a1", "b1"])
    assert [(each.first, each.last) for each in met] == [(1, 3), (4, 5)]


def test_groups_that_share_a_phrase_are_one_in_any_order() -> None:
    groups = [["hum", "buzz"], ["rattle", "clatter"], ["buzz", "rattle"], ["dim", "dark"]]
    tables = {tuple(sorted(phrases_of(order).signs.items())) for order in itertools.permutations(groups)}
    assert len(tables) == 1
    assert len(set(phrases_of(groups).signs.values())) == 2


def test_a_shop_adds_to_a_group_of_the_trade() -> None:
    own = phrases_for([["hums", "sings along"], ["zwirbles", "frumps"]])
    assert own.signs_in("it sings along") == own.signs_in("a buzz")
    assert own.signs_in("zwirbling") == own.signs_in("it frumped")
    assert TRADE.signs_in("it sings along") == []


def test_more_groups_than_there_are_signs_do_no_harm() -> None:
    many = phrases_of([f"left{number}", f"right{number}"] for number in range(MOST_GROUPS + 50))
    assert len(set(many.signs.values())) == MOST_GROUPS


@given(st.text(max_size=200))
def test_any_text_is_read(text: str) -> None:
    assert all(sign.startswith(SIGN) for sign in TRADE.signs_in(text))
    # One character may stand for several: a quarter sign is 1, a stroke and 4.
    assert len(phrase_key(text)) <= len(unicodedata.normalize("NFKD", text))


@given(
    st.lists(
        st.sampled_from(
            [
                "no",
                "not",
                "hum",
                "clock",
                "stops",
                "battery",
                "dead",
                "on",
                "the",
                "key",
                "gate",
                "out",
                "stuck",
                "4k7",
            ]
        ),
        max_size=12,
    )
)
def test_what_is_met_lies_in_order_and_apart(words: list[str]) -> None:
    met = TRADE.met_in(words)
    assert all(one.last < other.first for one, other in itertools.pairwise(met))
    assert all(0 <= each.first <= each.last < len(words) for each in met)


def test_the_table_is_the_same_however_it_was_written() -> None:
    groups = [list(group) for group in trade_groups()]
    draw = random.Random(3)
    for group in groups:
        draw.shuffle(group)
    draw.shuffle(groups)
    assert phrases_of(groups).as_json() == TRADE.as_json()
    assert isinstance(TRADE, Phrases)
