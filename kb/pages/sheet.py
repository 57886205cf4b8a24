"""One page while it is being made: its address, its cautions in reading order, its headings.

`Desk` is what all pages of a site share; `Sheet` is one page on it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path
from typing import Any

from markupsafe import Markup

from kb.calculators import CALCULATORS, Calculation
from kb.calculators.changing import Changeable, changeable
from kb.fits.from_shop import sockets
from kb.fits.matrix import Matrix
from kb.own_calculators import own_calculators
from kb.pages.addresses import LINK_KINDS, Target, find_target, known_ids
from kb.pages.anchors import broken_anchors
from kb.pages.calculation_view import calculation_html, problem_html, words_of_capture
from kb.pages.courses import Courses
from kb.pages.exercise_reading import exercise_in
from kb.pages.exercise_view import exercise_html, for_the_shop
from kb.pages.fence_reading import fenced
from kb.pages.pageset import Heading, Page, relative
from kb.pages.prose import Passage, ProseWriter
from kb.pages.rendering import render
from kb.pages.shop_captures import ShopCaptures
from kb.problems import Problem, Problems
from kb.reading import Located
from kb.reading.located import Step
from kb.recompute import Comparison, compute
from kb.records import CalculationText, Reservoir
from kb.safety import DEFERENCE, Caution, Cautions, StoredEnergy, stored_energy
from kb.shop import Links, ModelFacts, Shop


@dataclass
class Desk:
    """What all pages share. `draws` is False where only problems are wanted and no figure is needed."""

    shop: Shop
    figures_dir: Path | None = None
    draws: bool = True
    problems: Problems = field(default_factory=Problems)
    disagreements: Problems = field(default_factory=Problems)
    pictures: set[str] = field(default_factory=set)
    plans: dict[str, Changeable] = field(default_factory=dict)
    briefs: dict[tuple[Any, ...], Markup] = field(default_factory=dict)
    anchors: list[tuple[str, Callable[[str, str], Problem]]] = field(default_factory=list)
    exercises: dict[str, list[str]] = field(default_factory=dict)
    """By the address of a page the ids of its exercises, in their order."""

    def __post_init__(self) -> None:
        self.links = Links(self.shop)
        ours = {**CALCULATORS, "pulse": ShopCaptures(self.shop).calculator()}
        self.calculators, problems = own_calculators(self.shop.calculators, ours)
        self.problems.extend(problems)
        self.writer = ProseWriter()

    @cached_property
    def courses(self) -> Courses:
        """The courses of the handbook and of the shop."""
        return Courses(self.shop)

    @cached_property
    def matrix(self) -> Matrix:
        """Every socket of the shop, and which fits which."""
        return Matrix(tuple(sockets(self.shop)))

    def sheet(self, path: str) -> Sheet:
        """A new page at `path`."""
        return Sheet(self, path)

    def check_anchors(self, pages: Iterable[Page]) -> None:
        """Complain of links to headings that no page has; only possible once all pages are made."""
        self.problems.extend(broken_anchors(self.anchors, pages))


class Sheet:
    """One page: everything that has to know which page it is on."""

    def __init__(self, desk: Desk, path: str) -> None:
        self.desk = desk
        self.path = path
        self.cautions = Cautions()
        self.headings: list[Heading] = []
        self._reservoirs: tuple[Reservoir, ...] = ()

    # Links

    def link(self, address: str) -> str:
        """The relative link from this page to an address of the site."""
        return relative(address, self.path)

    def to(self, kind: str, identifier: str) -> Target:
        """The link to a record's page with the record's title; raises KeyError if there is none."""
        target = find_target(self.desk.shop, kind, identifier)
        if target is None:
            raise KeyError(f"{kind}:{identifier}")
        return Target(self.link(target.address), target.title)

    def revision_links(self, facts: ModelFacts) -> Callable[[str], str]:
        """For templates: the link to a revision's page by its id."""
        return lambda identifier: self.to("revision", f"{facts.id}/{identifier}").address

    def target(self, href: str) -> Target | None:
        """Where a link of prose such as `fault:clock-stops#cause` leads, as an address of the site."""
        kind, _, rest = href.partition(":")
        identifier, hash_sign, anchor = rest.partition("#")
        found = find_target(self.desk.shop, kind, identifier) if kind in LINK_KINDS else None
        return found and Target(found.address + hash_sign + anchor, found.title)

    def expect_anchor(self, address: str, problem: Callable[[str, str], Problem]) -> None:
        """Keep an address with an anchor until all pages are made and it can be looked for."""
        if "#" in address:
            self.desk.anchors.append((address, problem))

    def link_kinds(self) -> tuple[str, ...]:
        """The words that may stand before the colon of a link."""
        return LINK_KINDS

    def known_ids(self, kind: str) -> tuple[str, ...]:
        """The ids that may stand after it."""
        return known_ids(self.desk.shop, kind)

    def link_advice(self, kind: str, identifier: str) -> tuple[str, str] | None:
        """Nothing: in the shop every record has a page."""
        del kind, identifier
        return None

    def picture(self, source: str, problem: Callable[[str, str], Problem] | None = None) -> str | None:
        """The address of a picture under photos/, which then becomes part of the site; None if missing."""
        name = source if source.startswith("photos/") else f"photos/{source}"
        if name not in self.desk.shop.data_files:
            if problem is not None:
                advice = "put it under photos/ and write photos/name"
                self.problem(problem(f'there is no picture "{source[:60]}"', advice))
            return None
        self.desk.pictures.add(name)
        return name

    def capture(self, name: str, problem: Callable[[str, str], Problem]) -> str | None:
        """The address of a capture's file, which then becomes part of the site; None if missing."""
        if name not in self.desk.shop.data_files:
            what = f'there is no capture "{name[:60]}"'
            self.problem(problem(what, "put it under captures/, or correct its name"))
            return None
        self.desk.pictures.add(name)
        return name

    # What stands on the page

    def heading(self, level: int, anchor: str, text: str) -> None:
        """Add a heading to the page's table of contents."""
        self.headings.append(Heading(level, anchor, text))

    def section(self, anchor: str, text: str) -> Markup:
        """A second-level heading, which also goes to the table of contents."""
        self.heading(2, anchor, text)
        return render("heading.html", anchor=anchor, text=text)

    def prose(self, record: Located[Any], path: tuple[Step, ...], text: str | None) -> Markup:
        """The HTML of a prose field of a record; with an empty path, of a guide's body."""
        return self.desk.writer.write(Passage(text, record, path), self) if text else Markup("")

    def cautions_before(self, *texts: str | None, declared: Iterable[str] = ()) -> Markup:
        """The cautions that must stand above a step with these texts, or nothing."""
        found = self.cautions.before(*(text for text in texts if text), declared=declared)
        return self.shown(found) if found else Markup("")

    def expect_reservoirs(self, reservoirs: tuple[Reservoir, ...]) -> None:
        """Name the capacitors whose energy a caution on this page has to tell."""
        self._reservoirs = reservoirs

    def shown(self, cautions: tuple[Caution, ...]) -> Markup:
        """Cautions as they stand on this page, with the capacitors it expects."""
        return render("cautions.html", cautions=cautions, deference=DEFERENCE, stored=self._stored(cautions),
                      local_code=self.desk.shop.card.record.local_code)  # fmt: skip

    def _stored(self, cautions: tuple[Caution, ...]) -> tuple[StoredEnergy, ...]:
        if not any(caution.hazard.id == "stored-energy" for caution in cautions):
            return ()
        safe = self.desk.shop.card.record.safe_voltage
        return tuple(stored_energy(reservoir, safe) for reservoir in self._reservoirs)

    # Calculations

    def calculations(
        self, record: Located[Any], path: tuple[Step, ...], written: Iterable[CalculationText]
    ) -> list[Markup]:
        """The calculations listed under `path` of a record, each below the cautions its words call for."""
        return [
            self.cautions_before(each.about) + self._computed(record, (*path, number), each)
            for number, each in enumerate(written)
        ]

    def calculation_block(self, source: str, passage: Passage, line: int) -> Markup:
        """The calculation of a fence whose opening stands in `line` of a passage."""
        found = fenced(source, passage, line, self.desk.calculators)
        if found.calculation is None or found.written is None:
            return self._amiss(found.problems)
        cautions = self.cautions_before(*words_of_capture(found.calculation))
        return cautions + self.finished(found.calculation, found.written)

    def exercise_block(self, source: str, passage: Passage, line: int) -> Markup:
        """The exercise of a fence; only guides and the handbook have any, and customers get none."""
        refused = for_the_shop(passage, line)
        if refused is not None:
            return self._amiss((refused,))
        read = exercise_in(source, passage, line, self.desk.calculators)
        if read.exercise is None:
            return self._amiss(read.problems)
        known = self.desk.exercises.setdefault(self.path, [])
        if read.exercise.id in known:
            what = "the same exercise stands on this page already"
            return self._amiss((passage.problem(line, 0, what, "keep one of them"),))
        known.append(read.exercise.id)
        return exercise_html(read.exercise, len(known), self.desk.shop.card.record.name)

    def compact_calculation(self, written: CalculationText, comparison: Comparison) -> Markup:
        """The calculation a value was held against, without its figure and tables."""
        return self.brief(comparison.calculation, written)

    def brief(self, calculation: Calculation, written: CalculationText) -> Markup:
        """A block that is worked out already, without its figure and tables."""
        changing = self._changeable(calculation, written)
        return calculation_html(calculation, written, None, False, compact=True, changing=changing)

    def _computed(self, record: Located[Any], path: tuple[Step, ...], written: CalculationText) -> Markup:
        computed = compute(record, path, written, self.desk.calculators)
        if computed.calculation is None:
            return self._amiss(computed.problems)
        return self.finished(computed.calculation, written)

    def finished(self, calculation: Calculation, written: CalculationText) -> Markup:
        """The block of a calculation that is worked out already."""
        return calculation_html(
            calculation, written, self.desk.figures_dir, self.desk.draws,
            changing=self._changeable(calculation, written),
        )  # fmt: skip

    def _changeable(self, calculation: Calculation, written: CalculationText) -> Changeable | None:
        """What a page needs to do the calculation again; kept, so that the site carries its plan."""
        calculator = self.desk.calculators.get(calculation.calculator)
        if calculator is None or written.sweep or not self.desk.draws:
            return None
        found = changeable(calculator, calculation)
        if found is not None:
            self.desk.plans[found.name] = found
        return found

    def _amiss(self, problems: tuple[Problem, ...]) -> Markup:
        self.desk.problems.extend(problems)
        return problem_html(problems)

    def problem(self, problem: Problem) -> None:
        """Keep a problem found while making this page."""
        self.desk.problems.add(problem)
