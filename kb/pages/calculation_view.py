"""A finished calculation as HTML: result first, then what it stands on."""

from __future__ import annotations

import shlex
from pathlib import Path

from markupsafe import Markup

from kb.calculators import Calculation
from kb.calculators.changing import Changeable
from kb.figures import figure_svg
from kb.pages.rendering import render
from kb.problems import Problem
from kb.records import CalculationText


def calculation_html(
    calculation: Calculation,
    written: CalculationText,
    figures_dir: Path | None,
    draws: bool,
    *,
    compact: bool = False,
    changing: Changeable | None = None,
) -> Markup:
    """The block that shows one calculation; `compact` leaves the figure and the tables out.

    With `changing` its values can be changed in the page.
    """
    figure = Markup("")
    if calculation.figure is not None and draws and not compact:
        figure = Markup(figure_svg(calculation.figure, figures_dir))  # noqa: S704 - our own drawing
    return render(
        "calculation.html", calculation=calculation, about=written.about, figure=figure, compact=compact,
        command=command(written), plan=plan_data(changing) if changing else None,
    )  # fmt: skip


def plan_data(changing: Changeable) -> dict[str, object]:
    """What the page itself carries: c calculator, i inputs as written, p name of the plan, w its way."""
    return {
        "c": changing.calculator, "i": dict(changing.inputs), "p": changing.name, "w": changing.way
    }  # fmt: skip


def problem_html(problems: tuple[Problem, ...]) -> Markup:
    """What stands in place of a calculation that could not be done."""
    return render("calculation-problem.html", problems=problems)


def words_of_capture(calculation: Calculation) -> tuple[str, ...]:
    """What the block of a capture says in words that nobody wrote beside it: of the socket, and of the file.

    They may name a hazard, so whoever shows the block asks for the cautions before them.
    """
    if calculation.calculator != "pulse":
        return ()
    said = [each.shown for each in calculation.results if each.dimension == "text"]
    said += [note.text for note in calculation.notes]
    return (*said, calculation.figure.description if calculation.figure else "")


def command(written: CalculationText) -> str:
    """The terminal command that repeats a calculation."""
    words = [f"{key}={value}" for key, value in written.inputs.items()]
    swept = [part for key, value in (written.sweep or {}).items() for part in ("--sweep", f"{key}={value}")]
    return shlex.join(["halfsplit", "calc", written.name, *words, *swept])
