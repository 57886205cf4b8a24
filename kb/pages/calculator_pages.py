"""The calculators as pages: what each takes, and its example ready to be changed."""

from __future__ import annotations

from collections.abc import Iterator

from kb.calculators import Calculator
from kb.pages.pageset import Page, SearchText
from kb.pages.rendering import render
from kb.pages.sheet import Desk
from kb.recompute import work_out
from kb.records import CalculationText


def calculator_pages(desk: Desk) -> Iterator[Page]:
    """The list of calculators and a page for each, the shop's own among them."""
    for name in desk.calculators:
        yield _calculator_page(desk, name)
    sheet = desk.sheet("calculators/index.html")
    rows = [
        (sheet.link(address(each.name)), each, each.name in desk.shop.calculators)
        for each in sorted(desk.calculators.values(), key=lambda each: each.title.lower())
    ]
    yield Page(sheet.path, "Calculators", "index", render("calculator-index.html", rows=rows))


def address(name: str) -> str:
    """The address of a calculator's page."""
    return f"calculators/{name.replace('_', '-')}.html"


def _calculator_page(desk: Desk, name: str) -> Page:
    calculator = desk.calculators[name]
    sheet = desk.sheet(address(name))
    on_top = sheet.cautions_before(calculator.title, calculator.summary)
    written = CalculationText(name=name, inputs=dict(calculator.example))
    example = sheet.finished(work_out(written, desk.calculators), written)
    body = render(
        "calculator.html", calculator=calculator, on_top=on_top, example=example,
        own=name in desk.shop.calculators, inputs_heading=sheet.section("inputs", "What it takes"),
        about=_takes(calculator),
    )  # fmt: skip
    labels = (*(each.label for each in calculator.inputs), *(each.label for each in calculator.results))
    search = SearchText(calculator.title, (name.replace("_", " "), calculator.summary), labels)
    return Page(
        sheet.path, calculator.title, "calculator", body, calculator.summary, tuple(sheet.headings), search
    )


def _takes(calculator: Calculator) -> str:
    """Which inputs may be left out to be solved for, in words."""
    group = [calculator.input(key).label.lower() for key in calculator.solve_group]
    return f"Leave out the one to solve for: {', '.join(group[:-1])} or {group[-1]}." if group else ""
