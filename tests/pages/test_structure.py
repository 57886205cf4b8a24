"""What holds for every page of the small shop; the built demo site is held to the same in tests/adapters."""

from __future__ import annotations

import re
from functools import cache
from itertools import pairwise

import pytest

from tests.benches import small_site
from tests.markup import Markup, dead_links, repeated

PAGES = {page.path: page for page in small_site().pages}


@cache
def parsed(path: str) -> Markup:
    return Markup(PAGES[path].body)


def test_the_small_shop_has_a_page_of_every_kind() -> None:
    assert {page.kind for page in PAGES.values()} >= {
        "model", "revision", "block", "fault", "part", "guide", "handbook", "job", "symptoms", "index",
        "bench", "statistics", "calculator",
    }  # fmt: skip


@pytest.mark.parametrize("path", PAGES)
def test_a_page_is_well_formed(path: str) -> None:
    assert parsed(path).faults == []


@pytest.mark.parametrize("path", PAGES)
def test_a_page_has_one_title(path: str) -> None:
    assert [tag for tag, _ in parsed(path).tags].count("h1") == 1


@pytest.mark.parametrize("path", PAGES)
def test_no_id_stands_twice_on_a_page(path: str) -> None:
    assert repeated(parsed(path).ids) == []


@pytest.mark.parametrize("path", PAGES)
def test_what_points_to_an_id_finds_it(path: str) -> None:
    page = parsed(path)
    assert set(page.id_references) <= set(page.ids)


@pytest.mark.parametrize("path", PAGES)
def test_the_contents_are_the_headings_of_the_page_in_order(path: str) -> None:
    page = PAGES[path]
    anchors = [heading.anchor for heading in page.headings]
    positions = [page.body.find(f'id="{anchor}"') for anchor in anchors]
    assert -1 not in positions
    assert positions == sorted(positions)
    for heading in page.headings:
        found = re.search(rf'<h{heading.level} id="{re.escape(heading.anchor)}">(.*?)</h', page.body)
        assert found, heading
        assert Markup(found[1]).text == heading.text


@pytest.mark.parametrize("path", PAGES)
def test_levels_of_headings_are_not_skipped(path: str) -> None:
    levels = [int(tag[1]) for tag, _ in parsed(path).tags if re.fullmatch("h[1-6]", tag)]
    assert levels[0] == 1
    assert all(after - before <= 1 for before, after in pairwise(levels))


def test_every_link_leads_to_a_page_a_file_or_a_heading() -> None:
    files = [asset.path for asset in small_site().assets]
    assert dead_links({path: parsed(path) for path in PAGES}, files) == []


def test_every_page_is_reached_from_the_first_one() -> None:
    """A page that only the search finds is lost to somebody who does not know its words."""
    reached = {section.path for section in small_site().sections}
    waiting = list(reached)
    while waiting:
        path = waiting.pop()
        for link in parsed(path).links:
            target = _resolved(path, link)
            if target in PAGES and target not in reached:
                reached.add(target)
                waiting.append(target)
    assert set(PAGES) - reached == set()


def test_a_dead_link_would_be_found() -> None:
    pages = {"a/b.html": Markup('<a href="../c.html">x</a><a href="#no">y</a><a href="c.html#z">z</a>'),
             "a/c.html": Markup('<p id="y"></p>')}  # fmt: skip
    assert dead_links(pages, ()) == ["a/b.html: ../c.html", "a/b.html: #no (no such id)",
                                     "a/b.html: c.html#z (no such id)"]  # fmt: skip


@pytest.mark.parametrize("path", PAGES)
def test_pictures_have_words(path: str) -> None:
    assert all(attributes.get("alt") for tag, attributes in parsed(path).tags if tag == "img")


def test_pages_and_files_are_in_order_and_none_is_twice() -> None:
    site = small_site()
    for paths in ([page.path for page in site.pages], [asset.path for asset in site.assets]):
        assert paths == sorted(set(paths))


def test_the_site_carries_the_pictures_its_pages_show_and_no_other() -> None:
    shown = {_resolved(path, link) for path in PAGES for link in parsed(path).links if link.endswith(".png")}
    assert {asset.path for asset in small_site().assets if asset.path.startswith("photos/")} == shown


def _resolved(path: str, link: str) -> str:
    parts = path.split("/")[:-1]
    for part in link.partition("#")[0].split("/"):
        parts = parts[:-1] if part == ".." else [*parts, part]
    return "/".join(parts)
