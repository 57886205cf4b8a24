"""A repair at the bench page by keyboard alone."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Page, expect

from tests.browser.benching import is_confirming, log, now, settle


def test_a_repair_is_done_by_keyboard_alone(bench: Page) -> None:
    def tab_to(selector: str) -> None:
        for _ in range(120):
            if bench.evaluate("selector => document.activeElement.matches(selector)", selector):
                return
            bench.keyboard.press("Tab")
        pytest.fail(f"Tab does not come to {selector}")

    def tab_to_other(wanted: str) -> None:
        """The checks that save no time lie behind a fold, which a key opens."""
        if not bench.locator(f"[data-slot=others] {wanted}").count():
            if bench.locator("[data-rest][open]").count() == 0:
                tab_to("[data-rest] > summary")
                bench.keyboard.press("Enter")
            tab_to(f"[data-slot=rest] {wanted}")
        else:
            tab_to(f"[data-slot=others] {wanted}")

    tab_to("#hs-bench-serial")
    bench.keyboard.type("SX16-0123")
    tab_to("#hs-bench-filter")
    bench.keyboard.type("trigger too short")
    tab_to("[data-symptom]")
    bench.keyboard.press("Space")
    expect(bench.locator("[data-said=symptoms]")).to_have_text("Trigger too short for the envelope")
    bench.keyboard.press("Space")
    expect(bench.locator("[data-said=symptoms]")).to_have_text("none ticked")
    tab_to("[data-outcome=pass]")
    bench.keyboard.press("Enter")
    expect(bench.locator("#now")).to_be_focused()
    for key in "gbn":
        if is_confirming(bench):
            tab_to_other("[data-take]:not([data-take=ripple-5])")
            bench.keyboard.press("Space")
            expect(bench.locator("#now")).to_be_focused()
        settle(bench)
        bench.keyboard.press(key)
    assert [row[3].split("\n")[0].removesuffix(" Again") for row in log(bench)] == [
        "✓ good",
        "✓ good",
        "✗ bad",
        "not done",
    ]
    bench.keyboard.press("Control+z")
    assert len(log(bench)) == 3
    tab_to_other("[data-take=ripple-5]")
    bench.keyboard.press("Space")
    assert now(bench) == "ripple-5"
    settle(bench)
    bench.keyboard.press("r")
    expect(bench.get_by_label("Reading", exact=True)).to_be_focused()
    bench.keyboard.type("12")
    bench.keyboard.press("Enter")
    assert log(bench)[-1][2] == "12 mV"
    expect(bench.locator("#now")).to_be_focused()
    bench.keyboard.press("Shift+Tab")
    tab_to("[data-do=yaml]")
    bench.keyboard.press("Enter")
    expect(bench.locator("#hs-bench-yaml")).to_have_value(
        re.compile(r"^findings:\n  - fault: .*12 mV", re.DOTALL)
    )


def test_letters_typed_elsewhere_answer_nothing(bench: Page) -> None:
    bench.get_by_label("Serial number").press_sequentially("gbn")
    bench.locator("#causes").evaluate("heading => { heading.tabIndex = -1; heading.focus(); }")
    bench.keyboard.press("g")
    assert log(bench) == []
