"""The index as files: whole numbers packed small, the same bytes for the same pages, nothing else inside."""

from __future__ import annotations

import json
import math
import random
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.pages.pageset import Page
from kb.pages.search_files import LONGEST_CONTEXT, search_assets
from kb.search.postings import decode, encode
from kb.search.sharding import file_name
from kb.search.weighing import FIELDS, as_weight, field_scores, rarity, rarity_steps
from tests.search.bench_pages import BENCH, HOSTILE_TITLE, QUERIES, made_up_pages, page


@given(st.dictionaries(st.integers(0, 200_000), st.integers(1, 31)))
def test_postings_come_back_as_they_were(weights: dict[int, int]) -> None:
    postings = sorted(weights.items())
    assert list(decode(encode(postings))) == postings


def test_the_same_pages_give_the_same_bytes_in_any_order() -> None:
    pages = made_up_pages(60, " ".join(QUERIES)) + list(BENCH)
    shuffled = random.Random(2).sample(pages, len(pages))
    assert search_assets(pages) == search_assets(shuffled)


def test_a_changed_page_gives_another_edition_to_every_file() -> None:
    editions = [
        {asset.content.split(b",", 1)[0] for asset in search_assets(pages)} for pages in (BENCH, BENCH[1:])
    ]
    assert [len(edition) for edition in editions] == [1, 1]
    assert editions[0] != editions[1]


def test_only_pages_with_search_text_are_in_it() -> None:
    everything = b"".join(asset.content for asset in search_assets(BENCH))
    assert b"faults/clock-stops.html" in everything
    assert b"about.html" not in everything


def test_every_file_is_one_call_in_ascii_and_holds_no_tag() -> None:
    assets = search_assets(BENCH)
    for asset in assets:
        text = asset.content.decode("ascii")
        found = re.fullmatch(r'halfsplitSearch\.add\(("\w{12}"),("[^"]+"),(.*)\);\n', text)
        assert found
        assert json.loads(found[2]) == asset.path
        json.loads(found[3])
        assert "<" not in text
    titles = [row[1] for asset in assets if asset.path == "search/pages-0.js" for row in rows(asset.content)]
    assert HOSTILE_TITLE in titles


def rows(content: bytes) -> list[list[str]]:
    return json.loads(content.decode("ascii").split(",", 2)[2].removesuffix(");\n"))


@pytest.mark.parametrize("pages", [(), BENCH[-1:], (page("a.html", "", (), ()),)])
def test_a_site_with_nothing_to_find_still_has_an_index(pages: tuple[Page, ...]) -> None:
    assert "search/index.js" in {asset.path for asset in search_assets(pages)}


def test_the_context_is_a_symptom_that_the_title_does_not_say_and_is_not_long() -> None:
    pages = (
        page("a.html", "Clock stops", ("Clock stops", "dies  when\nwarm"), ("text",)),
        page("b.html", "Hum", ("loud " * 60,)),
        page("c.html", "Lamp"),
    )
    (asset,) = [asset for asset in search_assets(pages) if asset.path == "search/pages-0.js"]
    first, second, third = (row[3] for row in rows(asset.content))
    assert first == "dies when warm"
    assert second.endswith("loud …")
    assert len(second) <= LONGEST_CONTEXT + 2
    assert third == ""


@pytest.mark.parametrize(
    ("start", "name"),
    [("cl", "words-cl.js"), ("4.", "words-4_2e_.js"), ("語", "words-_8a9e_.js"), ("con", "words-con.js")],
)
def test_a_file_name_is_plain_whatever_the_words_are(start: str, name: str) -> None:
    assert file_name(start) == name


def test_a_title_outweighs_any_repetition_in_the_text() -> None:
    title, strong, words = FIELDS
    once = [field_scores(field, 5, 5, 1)[1] for field in (title, strong)]
    often = field_scores(words, 10_000, 100, 10_000)[-1]
    assert as_weight(once[0]) > as_weight(once[1]) > as_weight(often)


@pytest.mark.parametrize("pages", [1, 2, 10, 5000])
def test_rarity_is_the_logarithm_in_eighths_and_always_positive(pages: int) -> None:
    steps = rarity_steps(pages)
    for count in {1, 2, pages // 3, pages - 1, pages} - {0}:
        exact = 8 * math.log1p((pages - count + 0.5) / (count + 0.5))
        assert rarity(steps, count) == max(1, math.floor(exact + 1e-9))
