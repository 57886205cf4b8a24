"""A desk for one page, or for a few that are made together: what is read is noted, what is left is kept.

Only what is worked out once for all pages is shared with the desk it comes from.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import MISSING, dataclass, field, fields
from typing import TYPE_CHECKING, Any

from kb.calculators.changing import Changeable
from kb.fits.matrix import Matrix
from kb.pages.pageset import Page
from kb.pages.reads import WHOLE, Read, Reads, WatchedShop, watched_links
from kb.pages.sheet import Desk
from kb.pages.shop_captures import ShopCaptures
from kb.problems import Problem

if TYPE_CHECKING:
    from kb.captures import Capture

Maker = Callable[[Desk], Iterable[Page]]


@dataclass(frozen=True)
class Task:
    """Pages that are made together, under a name that no other task of the site has."""

    name: str
    make: Maker


@dataclass(frozen=True)
class Made:
    """The pages of one task, what they read, and all they left on their desk."""

    pages: tuple[Page, ...]
    reads: Sequence[Read]
    problems: tuple[Problem, ...] = ()
    disagreements: tuple[Problem, ...] = ()
    pictures: tuple[str, ...] = ()
    plans: tuple[Changeable, ...] = ()
    anchors: tuple[str, ...] = ()
    more: Mapping[str, Mapping[str, Any]] = field(default_factory=dict)
    """What stands in any other mapping of the desk, by the mapping's name."""

    def put_on(self, desk: Desk) -> None:
        """Leave on `desk` what making the pages there would have left, links to headings apart."""
        desk.problems.extend(self.problems)
        desk.disagreements.extend(self.disagreements)
        desk.pictures.update(self.pictures)
        desk.plans.update({each.name: each for each in self.plans})
        for name, found in self.more.items():
            getattr(desk, name).update(found)


class PageDesk(Desk):
    """A desk that watches."""

    def __init__(self, desk: Desk, reads: Reads, captures: dict[str, Capture]) -> None:
        for each in fields(Desk):
            if each.default_factory is not MISSING:
                setattr(self, each.name, each.default_factory())
        self.shop = WatchedShop.of(desk.shop, reads)
        self.figures_dir, self.draws = desk.figures_dir, desk.draws
        self.links, self.writer = watched_links(desk.links, reads), desk.writer
        pulse = ShopCaptures(self.shop, captures).calculator()
        self.calculators = {**desk.calculators, pulse.name: pulse}
        self._desk, self._reads = desk, reads

    @property
    def matrix(self) -> Matrix:
        """Every socket of the shop: who asks for it depends on all models."""
        for identifier in self.shop.models:
            self._reads.note("models", identifier, WHOLE)
        return self._desk.matrix


_KNOWN = ("problems", "disagreements", "pictures", "plans", "anchors")
_FOR_SPEED = ("briefs",)
"""What a desk only keeps so that it need not be made twice."""


def made(desk: Desk, task: Task, captures: dict[str, Capture]) -> Made:
    """Do one task; `captures` keeps those that were opened from one task to the next."""
    reads = Reads()
    own = PageDesk(desk, reads, captures)
    pages = tuple(task.make(own))
    return Made(
        pages, tuple(reads.noted), tuple(own.problems), tuple(own.disagreements),
        tuple(sorted(own.pictures)), tuple(own.plans.values()),
        tuple(dict.fromkeys(address for address, _ in own.anchors)), _others(own),
    )  # fmt: skip


def _others(desk: Desk) -> dict[str, dict[str, Any]]:
    names = {each.name for each in fields(Desk) if each.default_factory is not MISSING}
    found = {name: getattr(desk, name) for name in sorted(names.difference(_KNOWN, _FOR_SPEED))}
    return {name: dict(each) for name, each in found.items() if each}
