"""Writes the pages of a shop as a folder of HTML files."""

from __future__ import annotations

from pathlib import Path

from jinja2 import Environment, PackageLoader, StrictUndefined

from kb.adapters import BuildFailed
from kb.fresh_site import FreshSite
from kb.pages import Page, PageSet, relative
from kb.problems import Problem
from kb.shop_site import pages_of_shop


class PlainAdapter:
    """The site in a frame of its own."""

    def build(self, shop: Path, target: Path, *, strict: bool, earlier: Path | None = None) -> None:
        """Write the site into `target`; raises BuildFailed."""
        page_set = _page_set(shop, strict)
        with FreshSite(target, earlier) as site:
            write_pages(page_set, site)


def write_pages(page_set: PageSet, site: FreshSite) -> None:
    """Every page in the frame, and every asset."""
    environment = Environment(
        loader=PackageLoader("halfsplit_plain", "templates"), autoescape=True, undefined=StrictUndefined
    )
    frame = environment.get_template("frame.html")
    for page in page_set.pages:
        site.write(page.path, frame.render(_values(page_set, page)).encode())
    for asset in page_set.assets:
        site.write(asset.path, asset.content)
    site.write("halfsplit/plain.css", (Path(__file__).parent / "plain.css").read_bytes())


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
    page_set, problems = pages_of_shop(folder)
    if page_set is None:
        raise BuildFailed(_lines(problems))
    if strict and page_set.disagreements:
        raise BuildFailed(_lines(page_set.disagreements))
    return page_set


def _lines(problems: tuple[Problem, ...]) -> str:
    return "\n".join(str(problem) for problem in problems)
