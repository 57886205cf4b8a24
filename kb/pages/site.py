"""From a shop to a whole site: every page, every asset, every problem that shows up on the way."""

from __future__ import annotations

import re
from collections.abc import Iterator
from importlib import resources
from pathlib import Path

from kb.pages.bench_page import bench_page
from kb.pages.calculation_assets import calculation_assets, unit_tables
from kb.pages.calculator_pages import calculator_pages
from kb.pages.fault_pages import fault_page
from kb.pages.fits_pages import fits_pages
from kb.pages.guide_pages import guide_index, guide_page
from kb.pages.home_page import fault_index, home_page, model_index
from kb.pages.job_pages import job_pages
from kb.pages.model_pages import model_pages
from kb.pages.pageset import Asset, Page, PageSet, Section, in_order
from kb.pages.part_pages import part_index, part_page
from kb.pages.sheet import Desk
from kb.pages.statistics_page import statistics_page
from kb.pages.symptom_pages import symptom_pages
from kb.problems import Problem
from kb.shop import Shop

STYLES = ("halfsplit/site.css", "halfsplit/search.css", "halfsplit/calculation.css")
SCRIPTS = (
    # In the order they need each other: the search asks serial.js, and its face asks its core.
    "halfsplit/serial.js", "halfsplit/search-words.js", "halfsplit/search-core.js",
    "halfsplit/search-narrow.js", "halfsplit/search.js", "halfsplit/symptoms.js", "halfsplit/calculation.js",
)  # fmt: skip


def build_site(shop: Shop, figures_dir: Path | None = None) -> tuple[PageSet | None, tuple[Problem, ...]]:
    """The finished pages of a shop; None when prose, a link or a calculation in a record is wrong.

    `figures_dir` keeps drawn figures from one build to the next.
    """
    from kb.pages.search_files import site_search  # noqa: PLC0415 - not needed by `inspect`

    desk = Desk(shop, figures_dir)
    pages = in_order(tuple(_pages(desk)))
    desk.check_anchors(pages)
    if len(desk.problems):
        return None, tuple(desk.problems)
    scripts = calculation_assets(desk.plans.values()) or (unit_tables(),)
    assets = (*_own_assets(), *scripts, *_pictures(desk), *site_search(shop, pages))
    page_set = PageSet(
        shop.card.record.name, pages, tuple(sorted(assets, key=lambda each: each.path)), _sections(shop),
        STYLES, SCRIPTS, tuple(desk.disagreements),
    )  # fmt: skip
    return page_set, ()


def inspect(shop: Shop) -> tuple[tuple[Problem, ...], tuple[Problem, ...]]:
    """The problems and the disagreements that making the pages would show; no figure is drawn."""
    desk = Desk(shop, draws=False)
    desk.check_anchors(tuple(_pages(desk)))
    return tuple(desk.problems), tuple(desk.disagreements)


def _pages(desk: Desk) -> Iterator[Page]:
    shop = desk.shop
    for model in shop.models:
        yield from model_pages(desk, model)
        yield bench_page(desk, model)
    for fault in shop.faults:
        yield fault_page(desk, fault)
    for part in shop.parts:
        yield part_page(desk, part)
    for guide in shop.guides:
        yield guide_page(desk, "guide", guide)
    for page in shop.handbook:
        yield guide_page(desk, "handbook", page)
    yield from symptom_pages(desk)
    yield from calculator_pages(desk)
    yield from fits_pages(desk)
    yield from job_pages(desk)
    yield statistics_page(desk)
    yield from (model_index(desk), fault_index(desk), part_index(desk))
    yield from (guide_index(desk, "guide"), guide_index(desk, "handbook"))
    # Last, because it tells what all the others found.
    yield home_page(desk)


def _sections(shop: Shop) -> tuple[Section, ...]:
    jobs = (Section("Jobs", "jobs/index.html"),) if shop.jobs else ()
    return (
        Section("Bench", "index.html"),
        Section("Symptoms", "symptoms/index.html"),
        Section("Faults", "faults/index.html"),
        Section("Models", "models/index.html"),
        Section("Parts", "parts/index.html"),
        Section("Guides", "guides/index.html"),
        Section("Handbook", "handbook/index.html"),
        Section("Calculators", "calculators/index.html"),
        *jobs,
    )


def _own_assets() -> Iterator[Asset]:
    folder = resources.files("kb.pages").joinpath("assets")
    for file in sorted(folder.iterdir(), key=lambda each: each.name):
        if re.search(r"\.(css|js|svg)\Z", file.name):
            yield Asset(f"halfsplit/{file.name}", file.read_bytes())


def _pictures(desk: Desk) -> Iterator[Asset]:
    for name in sorted(desk.pictures):
        yield Asset(name, (desk.shop.root / name).read_bytes())
