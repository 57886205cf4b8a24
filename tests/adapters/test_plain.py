"""The plain adapter: the same pages without any site generator, which proves that it can be exchanged."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest

from halfsplit_plain.adapter import PlainAdapter, write_pages
from kb.adapters import BuildFailed, adapter_names, find_adapter
from kb.fresh_site import FreshSite
from kb.pages import PageSet
from tests.adapters.making import build_plainly, build_with_mkdocs, configured, files_of
from tests.benches import HANDBOOK, copied, edited, small_site
from tests.markup import Markup, dead_links, repeated


@pytest.fixture(scope="module")
def pages() -> PageSet:
    return small_site()


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("plain")
    build_plainly(copied(folder / "shop"), folder / "site")
    return folder / "site"


def test_every_page_holds_the_body_that_the_core_made(site: Path, pages: PageSet) -> None:
    assert {path.relative_to(site).as_posix() for path in site.rglob("*.html")} == {
        each.path for each in pages.pages
    }
    for page in pages.pages:
        assert page.body in (site / page.path).read_text(encoding="utf-8"), page.path


def test_both_adapters_make_the_same_pages_and_files(site: Path, pages: PageSet, tmp_path: Path) -> None:
    build_with_mkdocs(configured(tmp_path), tmp_path / "site", strict=True)
    other = files_of(tmp_path / "site")
    own = files_of(site)
    assert {name for name in own if name.endswith(".html")} == {
        name for name in other if name.endswith(".html")
    }
    for asset in pages.assets:
        assert own[asset.path] == other[asset.path], asset.path
    for page in pages.pages:
        assert page.body in (tmp_path / "site" / page.path).read_text(encoding="utf-8")


def test_links_ids_and_titles_hold_in_the_frame(site: Path) -> None:
    parsed = {
        path.relative_to(site).as_posix(): Markup(path.read_text(encoding="utf-8"))
        for path in site.rglob("*.html")
    }
    assert dead_links(parsed, files_of(site)) == []
    for path, page in parsed.items():
        assert page.faults == [], path
        assert repeated(page.ids) == [], path
        assert [tag for tag, _ in page.tags].count("h1") == 1, path


def test_a_page_may_fetch_nothing_from_elsewhere(site: Path) -> None:
    for path in site.rglob("*.html"):
        policy = re.search(
            r'http-equiv="Content-Security-Policy" content="([^"]*)"', path.read_text(encoding="utf-8")
        )
        assert policy
        assert policy[1].startswith("default-src 'none'; script-src 'self'; ")
        assert "http" not in policy[1]


def test_no_script_stands_in_a_page_but_the_data_of_the_serial_box(site: Path) -> None:
    for path in site.rglob("*.html"):
        for tag, attributes in Markup(path.read_text(encoding="utf-8")).tags:
            assert tag != "script" or "src" in attributes or attributes["type"] == "application/json", path
            assert not [name for name in attributes if name.startswith("on")], path


def test_titles_are_text_in_the_frame_too(tmp_path: Path) -> None:
    name = "'</title><script>alert(1)</script> & \"q\"'"
    target = tmp_path / "site"
    build_plainly(edited(tmp_path / "shop", "shop.yml", ("One Bench", name)), target)
    for path in target.rglob("*.html"):
        text = path.read_text(encoding="utf-8")
        assert "<script>alert" not in text
        assert '</title><script>alert(1)</script> & "q"' in Markup(text).text


def test_problems_and_in_a_strict_build_disagreements_stop_it(tmp_path: Path) -> None:
    change = ("    now: 33k", "    now: 47k")
    shop = edited(tmp_path / "shop", "faults/pacer-short-pulse.yml", change)
    target = tmp_path / "site"
    target.mkdir()
    with pytest.raises(BuildFailed, match=r"pacer-short-pulse\.yml:24:10"):
        build_plainly(shop, target)
    assert list(target.iterdir()) == []
    build_plainly(shop, target, strict=False)
    assert (target / "index.html").is_file()


def test_pages_are_written_where_they_are_told(tmp_path: Path, pages: PageSet) -> None:
    for _ in range(2):
        with FreshSite(tmp_path) as site:
            write_pages(pages, site)
    assert {each.path for each in pages.pages} <= set(files_of(tmp_path))


def test_the_core_and_the_plain_adapter_need_no_site_generator(tmp_path: Path) -> None:
    """In a process where MkDocs cannot be imported, the site is built all the same."""
    script = (
        "import sys; from pathlib import Path\n"
        "sys.modules.update(dict.fromkeys(('mkdocs', 'material', 'halfsplit_mkdocs')))\n"
        "from halfsplit_plain import adapter\n"
        "adapter.handbook_folder = lambda: Path(sys.argv[3])\n"
        "adapter.PlainAdapter().build(Path(sys.argv[1]), Path(sys.argv[2]), strict=True)\n"
        "assert not [name for name in sys.modules if name.startswith('mkdocs.')]\n"
    )
    target = tmp_path / "site"
    target.mkdir()
    places = [str(place) for place in (copied(tmp_path / "shop"), target, HANDBOOK)]
    subprocess.run([sys.executable, "-c", script, *places], check=True)
    assert (target / "index.html").is_file()


def test_adapters_are_found_by_name() -> None:
    assert {"mkdocs", "plain"} <= set(adapter_names())
    assert isinstance(find_adapter("plain"), PlainAdapter)
    with pytest.raises(KeyError, match="palin"):
        find_adapter("palin")
