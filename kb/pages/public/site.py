"""From the public projection to every file of the customers' site, in memory."""

from __future__ import annotations

from dataclasses import dataclass
from importlib import resources

from kb.audience.public import PublicSite
from kb.pages.anchors import broken_anchors
from kb.pages.calculation_assets import calculation_assets
from kb.pages.pageset import Asset, Page, in_order
from kb.pages.public.frame import framed
from kb.pages.public.making import public_pages
from kb.pages.public.sheet import Attachments, PublicDesk
from kb.problems import Problem

MARK = "halfsplit/customers.css"
"""What every site for customers holds, and what no site for the shop does."""

# Under names of their own: the shop's site is told by its `halfsplit/site.css`.
_STYLES = {"site.css": "halfsplit/pages.css", "customers/customers.css": MARK}
_CALCULATION = {"calculation.css": "halfsplit/calculation.css"}
_FIGURES = "halfsplit/figures.css"
_SCRIPT = "halfsplit/calculation.js"
_SCRIPTS = ("calculation.js", "quantities.js", "plans.js")


@dataclass(frozen=True)
class Published:
    """The files of a site for customers by address, with what they are in numbers."""

    files: tuple[Asset, ...]
    guides: int
    faults: int
    pictures: int


def public_site(site: PublicSite, attachments: Attachments) -> tuple[Published | None, tuple[Problem, ...]]:
    """Every file of the customers' site; None where a text of theirs has a problem."""
    desk = PublicDesk(site, attachments)
    pages = in_order(tuple(public_pages(desk)))
    desk.problems.extend(broken_anchors(desk.anchors, pages))
    if len(desk.problems):
        return None, tuple(desk.problems)
    files = [
        *(_framed(site, page) for page in pages),
        *_own_files(desk),
        *(Asset(path, content) for path, content in desk.attached.items()),
    ]
    ordered = tuple(sorted(files, key=lambda each: each.path))
    return Published(ordered, len(site.guides), len(site.faults), _pictures(desk)), ()


def inspect_public(site: PublicSite, attachments: Attachments) -> tuple[Problem, ...]:
    """The problems that making the customers' pages would show; no figure is drawn."""
    desk = PublicDesk(site, attachments, draws=False)
    pages: tuple[Page, ...] = tuple(public_pages(desk))
    desk.problems.extend(broken_anchors(desk.anchors, pages))
    return tuple(desk.problems)


def _pictures(desk: PublicDesk) -> int:
    return sum(1 for path in desk.attached if not path.endswith(".csv"))


def _framed(site: PublicSite, page: Page) -> Asset:
    """The finished file of a page, which loads what it needs and no more."""
    styles = [*_STYLES.values()]
    if "<svg" in page.body:
        styles.append(_FIGURES)
    if '"hs-calc"' in page.body:
        styles += _CALCULATION.values()
    scripts = (_SCRIPT,) if '"hs-plan"' in page.body else ()
    return Asset(page.path, framed(site, page, tuple(styles), scripts))


def _own_files(desk: PublicDesk) -> list[Asset]:
    """Styles and scripts; those for figures and calculations only where there is one."""
    found = _copied(_STYLES)
    if desk.styles.rules:
        found.append(Asset(_FIGURES, desk.styles.style_sheet()))
    if desk.calculates:
        found += _copied(_CALCULATION)
    if desk.plans:
        found += _copied({name: f"halfsplit/{name}" for name in _SCRIPTS})
        found += calculation_assets(desk.plans.values())
    return found


def _copied(addresses: dict[str, str]) -> list[Asset]:
    folder = resources.files("kb.pages").joinpath("assets")
    return [Asset(path, folder.joinpath(name).read_bytes()) for name, path in addresses.items()]
