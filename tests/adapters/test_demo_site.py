"""The demo shop's site as `mkdocs build --strict` makes it: whole, and without a word to another host."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest

from kb.pages import PageSet
from tests.adapters.making import build_with_mkdocs, warnings_of_mkdocs
from tests.markup import Markup, dead_links, from_the_root, repeated

pytestmark = pytest.mark.slow

DORMANT = {"unpkg.com", "api.github.com", "fontawesome.com", "clipboardjs.com"}
"""Hosts in files of the theme: for diagrams and for facts about a repository, and in notices of licences."""

WAKING = (("class", "mermaid"), ("data-md-component", "source"), ("data-md-source", ""))
"""What a page would have to hold for the theme's script to ask one of them."""

NAMES_ONLY = {"www.w3.org"}
"""Addresses that name a language of markup and are never fetched."""


@pytest.fixture(scope="module")
def demo(repository: Path, tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, PageSet]:
    """The repository's own mkdocs.yml over copies of the demo shop and the handbook, built strictly."""
    folder = tmp_path_factory.mktemp("demo")
    shutil.copy(repository / "mkdocs.yml", folder)
    for name in ("demo_content", "content"):
        shutil.copytree(repository / name, folder / name, ignore=shutil.ignore_patterns(".halfsplit"))
    with warnings_of_mkdocs() as warnings:
        pages = build_with_mkdocs(
            folder / "mkdocs.yml", folder / "site", handbook=folder / "content", strict=True
        )
    assert warnings == []
    return folder / "site", pages


@pytest.fixture(scope="module")
def parsed(demo: tuple[Path, PageSet]) -> dict[str, Markup]:
    site, _ = demo
    return {
        path.relative_to(site).as_posix(): Markup(path.read_text(encoding="utf-8"))
        for path in site.rglob("*.html")
    }


def test_the_site_has_the_pages_of_the_core_and_no_other(
    demo: tuple[Path, PageSet], parsed: dict[str, Markup]
) -> None:
    assert set(parsed) == {page.path for page in demo[1].pages}
    assert len(parsed) > 150


def test_every_page_holds_the_body_that_the_core_made(demo: tuple[Path, PageSet]) -> None:
    site, pages = demo
    for page in pages.pages:
        assert page.body in (site / page.path).read_text(encoding="utf-8"), page.path


def test_every_link_leads_to_a_page_a_file_or_a_heading(
    demo: tuple[Path, PageSet], parsed: dict[str, Markup]
) -> None:
    files = [path.relative_to(demo[0]).as_posix() for path in demo[0].rglob("*") if path.is_file()]
    assert dead_links(parsed, files) == []


def test_no_id_stands_twice_on_a_page(parsed: dict[str, Markup]) -> None:
    assert {path: found for path, page in parsed.items() if (found := repeated(page.ids))} == {}


def test_every_page_has_one_title_and_is_well_formed_in_its_body(
    demo: tuple[Path, PageSet], parsed: dict[str, Markup]
) -> None:
    for path, page in parsed.items():
        assert [tag for tag, _ in page.tags].count("h1") == 1, path
    assert {page.path: found for page in demo[1].pages if (found := Markup(page.body).faults)} == {}


def test_the_contents_of_every_page_are_its_headings_in_order(demo: tuple[Path, PageSet]) -> None:
    for page in demo[1].pages:
        places = [page.body.find(f'<h{each.level} id="{each.anchor}"') for each in page.headings]
        assert -1 not in places, page.path
        assert places == sorted(places), page.path


def test_nothing_is_fetched_from_another_host(parsed: dict[str, Markup]) -> None:
    for path, page in parsed.items():
        for tag, attributes in page.tags:
            for name, value in attributes.items():
                foreign = re.search(r"(?:^|[\s\"'(=])(?:[a-z]+:)?//", value)
                is_name = name.startswith("xmlns") and value.startswith("http://www.w3.org/")
                is_link = tag == "a" and name == "href" and value.startswith("https://")
                assert not foreign or is_name or is_link, (path, tag, name, value)


def test_no_address_begins_at_the_root_of_a_host_so_that_any_path_will_do(parsed: dict[str, Markup]) -> None:
    for path, page in parsed.items():
        assert from_the_root(page) == [], path


def test_links_to_other_hosts_stand_in_prose_alone(
    demo: tuple[Path, PageSet], parsed: dict[str, Markup]
) -> None:
    bodies = {page.path: Markup(page.body).links for page in demo[1].pages}
    for path, page in parsed.items():
        outside = [link for link in page.links if re.match("[a-z]+:", link)]
        assert outside == [link for link in bodies[path] if re.match("[a-z]+:", link)], path


def test_scripts_and_styles_name_no_other_host(demo: tuple[Path, PageSet]) -> None:
    for path in demo[0].rglob("*"):
        if path.suffix not in (".js", ".css", ".json", ".map", ".svg", ".xml"):
            continue
        hosts = set(
            re.findall(r"(?:https?:)?//([a-z0-9-]+(?:\.[a-z0-9-]+)+)/", path.read_text(encoding="utf-8"))
        )
        allowed = NAMES_ONLY | (DORMANT if (demo[0] / "assets") in path.parents else set())
        assert hosts <= allowed, path


def test_no_page_holds_what_would_make_the_theme_ask_another_host(parsed: dict[str, Markup]) -> None:
    for path, page in parsed.items():
        for name, value in WAKING:
            values = [attributes[name] for _, attributes in page.tags if name in attributes]
            assert not [each for each in values if value in each], (path, name)


def test_there_is_no_site_map_and_no_page_with_the_day_of_the_build(demo: tuple[Path, PageSet]) -> None:
    names = {path.name for path in demo[0].rglob("*")}
    assert not names & {"sitemap.xml", "sitemap.xml.gz", "404.html", "search_index.json"}
    assert not [name for name in names if name.endswith(".map")]


def test_nothing_tells_where_it_was_built(demo: tuple[Path, PageSet]) -> None:
    site, _ = demo
    for path in site.rglob("*"):
        if path.is_file():
            content = path.read_bytes()
            assert str(site.parent).encode() not in content, path
            assert b"halfsplit-" not in content or path.suffix in (".css", ".js"), path


def test_search_engines_are_asked_to_stay_away(parsed: dict[str, Markup]) -> None:
    for path, page in parsed.items():
        assert ("meta", {"name": "robots", "content": "noindex, nofollow"}) in page.tags, path
