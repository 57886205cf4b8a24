"""A report on paper, A4 and US Letter: no row in two, nothing cut at the side, heads on every sheet."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
from playwright.sync_api import Page

from kb.audience.handing_over import hand_over
from kb.audience.handover import (
    Adjustment,
    ChangedPart,
    EarlierRepair,
    FinalCheck,
    FittedPart,
    Handover,
    Measured,
)
from kb.cli.pdf_marks import is_ours
from kb.pages.handover import report_html
from kb.pages.handover.document import Paper
from tests.benches import demo_shop
from tests.browser.measuring import clipped, cut_off, faint_text
from tests.browser.printed import Printed
from tests.browser.test_accessibility import broken_rules
from tests.browser.watching import open_file, overflows, use_print, use_width
from tests.cli.shops import run

JOB = "2026-sixteenfold-0655"
PAPERS: dict[Paper, tuple[int, int]] = {"A4": (595, 842), "Letter": (612, 792)}
MARGIN_MM = 15
NO_BREAKS = "tr { break-inside: avoid; }"
LONG = "A reading that takes several lines to tell, since nothing about this unit was ever simple or short. "


@cache
def report() -> Handover:
    found, problems = hand_over(demo_shop(), JOB)
    assert found is not None, problems
    return found


@cache
def long_report() -> Handover:
    """A report whose tables run over several sheets, with rows of many lines and words without an end."""
    words = [LONG * (1 + number % 3) + f"Row {number}." for number in range(24)]
    held, endless = Measured("5.03 V", "holds"), "SX16" * 40
    return replace(
        report(), earlier=tuple(EarlierRepair(each, "redo", each) for each in words[:9]),
        readings=tuple(replace(report().readings[0], what=each, good=each[:90]) for each in words),
        changed=tuple(ChangedPart(each, endless, each[:90]) for each in words[:9]),
        adjustments=tuple(Adjustment(each, endless, each[:90], held, None) for each in words[:9]),
        parts=tuple(FittedPart(each, endless, endless, 2) for each in words[:9]),
        final_checks=tuple(FinalCheck(each, "4.75 V to 5.25 V", held) for each in words),
        cautions=(endless,),
    )  # fmt: skip


def written(folder: Path, report: Handover, paper: Paper | None = None, *, careless: bool = False) -> Path:
    """The report as a file; `careless` without the rule that keeps rows whole."""
    made, problems = report_html(report, paper)
    assert made is not None, problems
    text = made.decode()
    if careless:
        assert NO_BREAKS in text
        text = text.replace(NO_BREAKS, "").replace("Content-Security-Policy", "x-nothing")
    (folder / "report.html").write_text(text, encoding="utf-8")
    return folder / "report.html"


def printed(page: Page, path: Path) -> Printed:
    open_file(page, path)
    return Printed(page.pdf(prefer_css_page_size=True, tagged=True))


@pytest.mark.parametrize("paper", PAPERS)
def test_no_row_is_cut_in_two(watched_page: Page, tmp_path: Path, paper: Paper) -> None:
    made = printed(watched_page, written(tmp_path, long_report(), paper))
    assert made.sizes_pt == {PAPERS[paper]}
    assert [len(rows) for rows in made.tables] == [1 + 9, 1 + 24, 1 + 9, 1 + 9, 1 + 9, 1 + 24]
    for head, *rows in made.tables:
        assert list(map(len, rows)) == [1] * len(rows)
        assert head == set().union(*rows), "the head stands on each sheet of its table"
    assert max(len(rows[0]) for rows in made.tables) > 2


def test_a_row_that_is_cut_would_be_found(watched_page: Page, tmp_path: Path) -> None:
    made = printed(watched_page, written(tmp_path, long_report(), "A4", careless=True))
    assert any(len(sheets) > 1 for _, *rows in made.tables for sheets in rows)


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("made", [report, long_report])
def test_nothing_is_cut_off_at_the_side(
    watched_page: Page, tmp_path: Path, paper: Paper, made: object
) -> None:
    path = written(tmp_path, made())  # type: ignore[operator]
    use_width(watched_page, round(PAPERS[paper][0] / 72 * 96 - 2 * MARGIN_MM / 25.4 * 96))
    open_file(watched_page, path)
    use_print(watched_page)
    assert not overflows(watched_page)
    assert not cut_off(watched_page)
    assert not clipped(watched_page)
    heads = watched_page.locator("thead").evaluate_all("all => all.map(e => getComputedStyle(e).display)")
    assert set(heads) == {"table-header-group"}, "what a browser repeats on each sheet"
    faint, judged = faint_text(watched_page, background="#fff")
    assert not faint
    assert len(judged) > 10


def test_the_report_breaks_no_rule_of_accessibility(watched_page: Page, tmp_path: Path) -> None:
    open_file(watched_page, written(tmp_path, long_report()))
    assert not broken_rules(watched_page)


@pytest.mark.parametrize("width", [390, 1400])
def test_it_fits_a_phone_and_a_desk(watched_page: Page, tmp_path: Path, width: int) -> None:
    use_width(watched_page, width)
    open_file(watched_page, written(tmp_path, long_report()))
    assert not overflows(watched_page)
    spilt = watched_page.locator("td span").evaluate_all(
        "all => all.filter(e => e.getBoundingClientRect().right"
        " > e.closest('td').getBoundingClientRect().right + 1).length"
    )
    assert spilt == 0, "a verdict runs into the next column"
    loaded = watched_page.locator("img").evaluate_all("all => all.map(e => e.naturalWidth > 0)")
    assert loaded == [True] * len(report().photographs)
    assert loaded, "its policy lets its own pictures in"


def test_the_command_prints_the_same_file_twice(tmp_path: Path, demo_content: Path) -> None:
    files = [tmp_path / f"{number}.pdf" for number in range(2)]
    for file in files:
        done = run("handover", JOB, "--shop", str(demo_content), "--to", str(file), "--paper", "Letter")
        assert done.exit_code == 0, done.output
    first, second = (file.read_bytes() for file in files)
    assert first == second
    assert is_ours(first)
    assert Printed(first).sizes_pt == {PAPERS["Letter"]}
    assert 1 < len(Printed(first).sheets) < 6
