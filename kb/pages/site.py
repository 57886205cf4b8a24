"""From a shop to a whole site: every page, every asset, every problem that shows up on the way."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from functools import partial
from importlib import resources
from pathlib import Path

from kb.pages.bench_page import bench_page
from kb.pages.calculation_assets import calculation_assets, unit_tables
from kb.pages.calculator_pages import calculator_pages
from kb.pages.changed_line import with_changes
from kb.pages.fault_pages import fault_page
from kb.pages.fits_pages import fits_pages
from kb.pages.guide_pages import guide_index, guide_page
from kb.pages.home_page import fault_index, home_page, model_index
from kb.pages.job_pages import job_pages
from kb.pages.making import Making
from kb.pages.model_pages import model_tasks
from kb.pages.page_desk import Task
from kb.pages.pageset import Asset, Page, PageSet, Section, in_order
from kb.pages.part_pages import part_index, part_page
from kb.pages.practice_page import practice_pages
from kb.pages.sheet import Desk
from kb.pages.statistics_page import statistics_page
from kb.pages.symptom_pages import symptom_pages
from kb.problems import Problem
from kb.reading.last_changed import NOTHING, Change
from kb.shop import Shop
from kb.store import Store

STYLES = ("halfsplit/site.css", "halfsplit/search.css", "halfsplit/calculation.css")
SCRIPTS = (
    # In the order they need each other: the search asks serial.js, and its face asks its core.
    "halfsplit/serial.js", "halfsplit/search-words.js", "halfsplit/search-core.js",
    "halfsplit/search-narrow.js", "halfsplit/search.js", "halfsplit/symptoms.js", "halfsplit/calculation.js",
)  # fmt: skip


def build_site(
    shop: Shop,
    figures_dir: Path | None = None,
    store: Store | None = None,
    changes: Mapping[str, Change] = NOTHING,
) -> tuple[PageSet | None, tuple[Problem, ...]]:
    """The finished pages of a shop; None when prose, a link or a calculation in a record is wrong.

    `figures_dir` keeps drawn figures, and `store` whole pages, from one build to the next. `changes` tells
    when files of the shop last changed, for the foot of their records' pages.
    """
    from kb.pages.search_files import site_search  # noqa: PLC0415 - not needed by `inspect`

    desk = Desk(shop, figures_dir)
    making = Making(desk, tuple(_tasks(shop)), store)
    # The first page is made last, because it tells what all the others found.
    pages = in_order((*making.pages, home_page(desk)))
    if desk.anchors or making.has_broken_anchors(pages):
        # To tell where such a link stands, the pages are made once more.
        return None, problems_of(Desk(shop, draws=False))
    if len(desk.problems):
        return None, tuple(desk.problems)
    making.keep()
    scripts = calculation_assets(desk.plans.values()) or (unit_tables(),)
    assets = (*_own_assets(), *scripts, *_pictures(desk), *site_search(shop, pages, store))
    page_set = PageSet(
        shop.card.record.name, with_changes(shop, pages, changes),
        tuple(sorted(assets, key=lambda each: each.path)), _sections(shop),
        STYLES, SCRIPTS, tuple(desk.disagreements),
    )  # fmt: skip
    return page_set, ()


def inspect(shop: Shop, store: Store | None = None) -> tuple[tuple[Problem, ...], tuple[Problem, ...]]:
    """The problems and the disagreements that making the pages would show; no figure is drawn.

    Pages that a build kept in `store` and that still hold have no problem, and are not made again.
    """
    desk = Desk(shop, draws=False)
    making = Making(desk, tuple(_tasks(shop)), store)
    pages = (*making.pages, home_page(desk))
    if desk.anchors or making.has_broken_anchors(pages):
        desk = Desk(shop, draws=False)
        return problems_of(desk), tuple(desk.disagreements)
    return tuple(desk.problems), tuple(desk.disagreements)


def problems_of(desk: Desk) -> tuple[Problem, ...]:
    """All problems, of links to headings too, from pages that are all made here and now."""
    desk.check_anchors(tuple(_pages(desk)))
    return tuple(desk.problems)


def _pages(desk: Desk) -> Iterator[Page]:
    """Every page, made one after the other on one desk."""
    for task in _tasks(desk.shop):
        yield from task.make(desk)
    yield home_page(desk)


def _tasks(shop: Shop) -> Iterator[Task]:
    """The making of every page but the first."""
    for model, facts in shop.facts.items():
        yield from model_tasks(facts)
        yield _one("bench", bench_page, model)
        yield Task(f"practice {model}", partial(_practice, model))
    for kind, page, identifiers in (
        ("fault", fault_page, shop.faults),
        ("part", part_page, shop.parts),
        ("guide", _guide, shop.guides),
        ("handbook", _handbook, shop.handbook),
    ):
        for identifier in identifiers:
            yield _one(kind, page, identifier)
    yield Task("symptoms", symptom_pages)
    yield Task("calculators", calculator_pages)
    yield Task("fits", fits_pages)
    yield Task("jobs", job_pages)
    yield Task("statistics", lambda desk: [statistics_page(desk)])
    yield Task("indexes", _indexes)


def _one(kind: str, page: Callable[[Desk, str], Page], identifier: str) -> Task:
    return Task(f"{kind} {identifier}", lambda desk: [page(desk, identifier)])


def _practice(model: str, desk: Desk) -> list[Page]:
    return practice_pages(desk, model)


def _guide(desk: Desk, identifier: str) -> Page:
    return guide_page(desk, "guide", identifier)


def _handbook(desk: Desk, identifier: str) -> Page:
    return guide_page(desk, "handbook", identifier)


def _indexes(desk: Desk) -> Iterator[Page]:
    yield from (model_index(desk), fault_index(desk), part_index(desk))
    yield from (guide_index(desk, "guide"), guide_index(desk, "handbook"))


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
