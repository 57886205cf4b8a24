"""One page for customers while it is made: links, cautions in their words, calculations, pictures.

It answers prose as the shop's sheet does, but it knows only what is public: a link to anything else is a
problem at its line.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any, Protocol

from markupsafe import Markup

from kb.audience.attaching import Attached, Refused
from kb.audience.naming import REMEDY, private_link
from kb.audience.public import PublicSite, PublicText
from kb.calculators import CALCULATORS, Calculation
from kb.calculators.changing import Changeable, changeable
from kb.figures import figure_svg
from kb.pages.addresses import LINK_KINDS, Target, address
from kb.pages.calculation_view import plan_data, problem_html, words_of_capture
from kb.pages.exercise_view import for_the_shop
from kb.pages.fence_reading import fenced
from kb.pages.pageset import Heading, relative
from kb.pages.prose import Passage, ProseWriter
from kb.pages.public.captures import public_pulse, without_file_name
from kb.pages.public.figure_styles import FigureStyles
from kb.pages.rendering import render
from kb.problems import Problem, Problems
from kb.reading import Located
from kb.records import CalculationText
from kb.safety import DEFERENCE, Cautions

_WORDS = {"handbook": "handbook page"}


class Attachments(Protocol):
    """Where a picture that public prose names comes from."""

    def picture(self, source: str) -> Attached | Refused:
        """The picture made anew, or why it cannot be published."""

    def capture(self, name: str) -> Attached | Refused:
        """The figures of a capture written anew, or why they cannot be published."""


@dataclass
class PublicDesk:
    """What all pages for customers share; `draws` is False where only problems are wanted."""

    site: PublicSite
    attachments: Attachments
    draws: bool = True
    calculates: bool = False
    problems: Problems = field(default_factory=Problems)
    attached: dict[str, bytes] = field(default_factory=dict)
    plans: dict[str, Changeable] = field(default_factory=dict)
    anchors: list[tuple[str, Callable[[str, str], Problem]]] = field(default_factory=list)
    styles: FigureStyles = field(default_factory=FigureStyles)
    writer: ProseWriter = field(default_factory=ProseWriter)

    def __post_init__(self) -> None:
        self.calculators = {**CALCULATORS, "pulse": public_pulse(self.attachments)}

    def sheet(self, path: str) -> PublicSheet:
        """A new page at `path`."""
        return PublicSheet(self, path)


class PublicSheet:
    """One page: everything that has to know which page it is on."""

    def __init__(self, desk: PublicDesk, path: str) -> None:
        self.desk = desk
        self.path = path
        self.headings: list[Heading] = []
        self._cautions = Cautions()

    # Links

    def link(self, address: str) -> str:
        """The relative link from this page to an address of the site."""
        return relative(address, self.path)

    def to(self, kind: str, identifier: str) -> Target:
        """The link to a public record's page; raises KeyError when it is not public."""
        title = self._titles(kind)[identifier]
        return Target(self.link(address(kind, identifier)), title)

    def target(self, href: str) -> Target | None:
        """Where a link of prose leads, as an address of the site; None when that is not public."""
        kind, _, rest = href.partition(":")
        identifier, hash_sign, anchor = rest.partition("#")
        title = self._titles(kind).get(identifier)
        return None if title is None else Target(address(kind, identifier) + hash_sign + anchor, title)

    def _titles(self, kind: str) -> Mapping[str, str]:
        site = self.desk.site
        if kind == "model":
            return {each.id: each.name for each in site.models.values()}
        if kind == "part":
            return {each.id: each.name for each in site.parts.values()}
        if kind in ("fault", "guide"):
            titled: Mapping[str, Any] = site.faults if kind == "fault" else site.guides
            return {identifier: each.title for identifier, each in titled.items()}
        return {}

    def link_kinds(self) -> tuple[str, ...]:
        """Every kind, so that a link to one without public pages is told apart from a misspelt one."""
        return LINK_KINDS

    def link_advice(self, kind: str, identifier: str) -> tuple[str, str]:
        """What is wrong with a link to what is not public."""
        has_audience = kind in ("model", "fault", "guide", "part")
        remedy = REMEDY if has_audience else "take the link out, or say it in the text"
        return private_link(_WORDS.get(kind, kind), identifier[:60]), remedy

    def known_ids(self, kind: str) -> tuple[str, ...]:
        """The ids that may stand after the colon."""
        return tuple(self._titles(kind))

    def expect_anchor(self, address: str, problem: Callable[[str, str], Problem]) -> None:
        """Keep an address with an anchor until all pages are made and it can be looked for."""
        if "#" in address:
            self.desk.anchors.append((address, problem))

    def picture(self, source: str, problem: Callable[[str, str], Problem]) -> str | None:
        """The address of a picture that is made anew for this site."""
        return self._attach(self.desk.attachments.picture(source), problem)

    def capture(self, name: str, problem: Callable[[str, str], Problem]) -> str | None:
        """The address of a capture's figures, written anew for this site."""
        return self._attach(self.desk.attachments.capture(name), problem)

    def _attach(self, found: Attached | Refused, problem: Callable[[str, str], Problem]) -> str | None:
        if isinstance(found, Refused):
            self.problem(problem(found.what, found.advice))
            return None
        self.desk.attached[found.path] = found.content
        return found.path

    # What stands on the page

    def heading(self, level: int, anchor: str, text: str) -> None:
        """Add a heading to the page's table of contents."""
        self.headings.append(Heading(level, anchor, text))

    def section(self, anchor: str, text: str) -> Markup:
        """A second-level heading."""
        self.heading(2, anchor, text)
        return render("heading.html", anchor=anchor, text=text)

    def prose(self, text: PublicText | None) -> Markup:
        """The HTML of a public text."""
        if text is None:
            return Markup("")
        spot = text.spot
        standing = Located("", spot.file, None, spot.scalar, spot.body_line)  # type: ignore[type-var]
        return self.desk.writer.write(Passage(text.text, standing, text.path), self)

    def cautions_before(self, *texts: str | None, declared: Iterable[str] = ()) -> Markup:
        """The cautions that must stand above these texts, for people who do not repair."""
        found = self._cautions.before(*(text for text in texts if text), declared=declared)
        if not found:
            return Markup("")
        site = self.desk.site
        return render(
            "public/cautions.html",
            cautions=found,
            deference=DEFERENCE,
            shop=site.name,
            local_code=site.local_code,
        )

    # Calculations

    def calculation_block(self, source: str, passage: Passage, line: int) -> Markup:
        """The calculation of a fence whose opening stands in `line` of a passage."""
        found = fenced(source, passage, line, self.desk.calculators)
        if found.calculation is None or found.written is None:
            self.desk.problems.extend(found.problems)
            return problem_html(found.problems)
        cautions = self.cautions_before(*words_of_capture(found.calculation))
        return cautions + self._finished(found.calculation, found.written)

    def exercise_block(self, source: str, passage: Passage, line: int) -> Markup:
        """Nothing but a problem: exercises are for the shop."""
        del source
        refused = for_the_shop(passage, line, everywhere=True)
        if refused is not None:
            self.problem(refused)
        return Markup("")

    def _finished(self, calculation: Calculation, written: CalculationText) -> Markup:
        self.desk.calculates = True
        changing = self._changeable(calculation, written)
        return render(
            "public/calculation.html", calculation=without_file_name(calculation), about=written.about,
            figure=self._figure(calculation), compact=False, command="",
            plan=plan_data(changing) if changing else None,
        )  # fmt: skip

    def _figure(self, calculation: Calculation) -> Markup:
        if calculation.figure is None or not self.desk.draws:
            return Markup("")
        # Drawn afresh: what a shop has kept from earlier builds has no say in what customers get.
        return Markup(self.desk.styles.moved_out(figure_svg(calculation.figure)))  # noqa: S704 - our own drawing

    def _changeable(self, calculation: Calculation, written: CalculationText) -> Changeable | None:
        calculator = CALCULATORS.get(calculation.calculator)
        if calculator is None or written.sweep or not self.desk.draws:
            return None
        found = changeable(calculator, calculation)
        if found is not None:
            self.desk.plans[found.name] = found
        return found

    def problem(self, problem: Problem) -> None:
        """Keep a problem found while making this page."""
        self.desk.problems.add(problem)
