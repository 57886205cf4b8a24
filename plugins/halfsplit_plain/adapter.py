"""Writes the pages of a shop as a folder of HTML files."""

from __future__ import annotations

from pathlib import Path

from jinja2 import Environment, PackageLoader, StrictUndefined

from kb.adapters import BuildFailed
from kb.handbook import handbook_folder
from kb.pages import Page, PageSet, build_site, relative
from kb.pages.store import Store
from kb.problems import Problem
from kb.reading.last_changed import last_changes
from kb.shop import load_shop


class PlainAdapter:
    """The site in a frame of its own."""

    def build(self, shop: Path, target: Path, *, strict: bool) -> None:
        """Write the site into `target`; raises BuildFailed."""
        write_pages(_page_set(shop, strict), target)


def write_pages(page_set: PageSet, target: Path) -> None:
    """Every page in the frame, and every asset, under `target`."""
    environment = Environment(
        loader=PackageLoader("halfsplit_plain", "templates"), autoescape=True, undefined=StrictUndefined
    )
    frame = environment.get_template("frame.html")
    for page in page_set.pages:
        _write(target / page.path, frame.render(_values(page_set, page)).encode())
    for asset in page_set.assets:
        _write(target / asset.path, asset.content)
    _write(target / "halfsplit/plain.css", (Path(__file__).parent / "plain.css").read_bytes())


def _values(page_set: PageSet, page: Page) -> dict[str, object]:
    return {
        "page": page,
        "site_name": page_set.name,
        "root": relative("index.html", page.path).removesuffix("index.html") or "./",
        "styles": [relative(each, page.path) for each in (*page_set.styles, "halfsplit/plain.css")],
        "scripts": [relative(each, page.path) for each in page_set.scripts],
        "sections": [
            (each.title, relative(each.path, page.path), each.path == page.path) for each in page_set.sections
        ],
    }


def _page_set(folder: Path, strict: bool) -> PageSet:
    shop, problems = load_shop(folder, handbook_folder())
    page_set = None
    if shop is not None:
        page_set, problems = build_site(
            shop, folder / ".halfsplit" / "figures", Store(folder), last_changes(folder)
        )
    if page_set is None:
        raise BuildFailed(_lines(problems))
    if strict and page_set.disagreements:
        raise BuildFailed(_lines(page_set.disagreements))
    return page_set


def _lines(problems: tuple[Problem, ...]) -> str:
    return "\n".join(str(problem) for problem in problems)


def _write(path: Path, content: bytes) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(content)
