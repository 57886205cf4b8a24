"""The small shop of `tests/shops/one_bench`, read once for each test process, and shops that differ from it.

Nothing here writes into the repository. A test that needs another record asks for a copy of the folder.
"""

from __future__ import annotations

import shutil
from collections.abc import Mapping
from functools import cache
from pathlib import Path

from kb.handbook import handbook_folder
from kb.pages import Page, PageSet, build_site, inspect
from kb.pages.sheet import Desk, Sheet
from kb.pages.site import _pages as pages_of_desk
from kb.problems import Problem
from kb.reading import Located, read_record
from kb.records import Guide
from kb.shop import Shop, load_shop

HERE = Path(__file__).parent
ONE_BENCH = HERE / "shops" / "one_bench"
HANDBOOK = HERE / "shops" / "handbook"
DEMO = HERE.parent / "demo_content"


@cache
def small_shop() -> Shop:
    """The small shop with its two handbook pages."""
    return loaded(ONE_BENCH)


@cache
def small_site() -> PageSet:
    """Every page of the small shop."""
    return built(small_shop())


@cache
def demo_shop() -> Shop:
    """The demo shop with the handbook that is shipped."""
    return loaded(DEMO, handbook_folder())


def loaded(folder: Path, handbook: Path | None = HANDBOOK) -> Shop:
    """The shop in a folder, which must have no problem."""
    shop, problems = load_shop(folder, handbook)
    assert shop is not None, "\n".join(map(str, problems))
    return shop


def built(shop: Shop) -> PageSet:
    """The pages of a shop, which must have no problem."""
    site, problems = build_site(shop)
    assert site is not None, "\n".join(map(str, problems))
    return site


def body_of(shop: Shop, path: str) -> str:
    """The body of one page by its address, without drawings."""
    desk = Desk(shop, draws=False)
    found = {each.path: each.body for each in pages_of_desk(desk)}
    assert list(desk.problems) == []
    return found[path]


def page(site: PageSet, path: str) -> Page:
    """One page by its address."""
    return next(each for each in site.pages if each.path == path)


def small_page(path: str) -> Page:
    """One page of the small shop."""
    return page(small_site(), path)


def copied(target: Path, files: Mapping[str, str] | None = None) -> Path:
    """A copy of the small shop at `target`, with some of its files written anew or added."""
    shutil.copytree(ONE_BENCH, target, ignore=shutil.ignore_patterns(".halfsplit"))
    for name, text in (files or {}).items():
        (target / name).parent.mkdir(parents=True, exist_ok=True)
        (target / name).write_text(text, encoding="utf-8")
    return target


def edited(target: Path, file: str, *changes: tuple[str, str]) -> Path:
    """A copy of the small shop in which each `old` in one file became `new`; each must be there once."""
    text = (ONE_BENCH / file).read_text(encoding="utf-8")
    for old, new in changes:
        assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times in {file}"
        text = text.replace(old, new)
    return copied(target, {file: text})


def found_in(folder: Path) -> list[str]:
    """What `halfsplit check` would tell of a shop folder, line by line."""
    shop, problems = load_shop(folder, HANDBOOK)
    disagreements: tuple[Problem, ...] = ()
    if shop is not None:
        problems, disagreements = inspect(shop)
    return [str(each) for each in (*problems, *disagreements)]


GUIDE_HEAD = "---\ntitle: A guide\nsummary: What it says.\n---\n"
BODY_LINE = GUIDE_HEAD.count("\n") + 1
"""The line of the file in which the text of `guide_text` begins."""


def guide_text(body: str, shop: Shop | None = None) -> tuple[str, list[str], Sheet]:
    """The HTML of a guide's text, the problems found in it, and its sheet; no figure is drawn."""
    located, problems = read_record((GUIDE_HEAD + body).encode(), "guides/g.md", "g", Guide)
    assert located is not None, "\n".join(map(str, problems))
    return written(located, (), located.record.body, shop)


def written(
    located: Located[Guide], path: tuple[str | int, ...], text: str, shop: Shop | None = None
) -> tuple[str, list[str], Sheet]:
    """The HTML of one prose field of a record, the problems found in it, and its sheet."""
    desk = Desk(shop or small_shop(), draws=False)
    sheet = desk.sheet("guides/g.html")
    html = str(sheet.prose(located, path, text))
    return html, [str(each) for each in desk.problems], sheet
