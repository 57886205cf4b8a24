"""How the bench page looks: cautions above what they are for, sizes, widths, colours, and without scripts."""

from __future__ import annotations

import json
from pathlib import Path

from click.testing import CliRunner
from playwright.sync_api import Browser, Page, expect

from kb.cli.rank import rank
from tests.benches import DEMO, demo_shop
from tests.browser.benching import BENCH, press, read, take
from tests.browser.measuring import LEAST_TARGET_PX, cut_off, faint_text
from tests.browser.watching import WIDTHS, open_file, overflows, use_width


def test_the_cautions_of_the_next_check_stand_above_its_buttons(bench: Page) -> None:
    mains, stored = "Mains voltage can kill", "Capacitors stay charged after the plug is out"
    for check, titles in (("rail-5", [mains, stored]), ("lamp-walk", [mains])):
        take(bench, check)
        cautions = bench.locator("[data-slot=cautions] .hs-caution")
        expect(cautions).to_have_count(len(titles))
        for place, title in enumerate(titles):
            expect(cautions.nth(place)).to_be_visible()
            expect(cautions.nth(place)).to_have_attribute("aria-label", f"Caution: {title}")
            assert cautions.nth(place).locator("xpath=ancestor::details").count() == 0
        lowest = cautions.last.bounding_box()
        bench.evaluate("window.scrollTo(0, document.body.scrollHeight)")
        assert lowest
        order = (
            "([one, other]) => Boolean(one.compareDocumentPosition(other) & Node.DOCUMENT_POSITION_FOLLOWING)"
        )
        handles = [
            cautions.last.element_handle(),
            bench.get_by_role("button", name="✓ Good").element_handle(),
        ]
        assert bench.evaluate(order, handles)
        expect(bench.locator(".hs-bench-mind")).to_contain_text(titles[-1])


def test_every_check_and_cause_brings_the_cautions_the_command_prints(bench: Page) -> None:
    every = bench.evaluate("""() => {
      const { data, form } = window.halfsplitBench.page;
      return Object.fromEntries([...data.checks, ...data.causes].map(each => [each.id,
        window.halfsplitBench.cautionsOf(form, each.hazards)
          .map(made => made.querySelector("li").textContent)]));
    }""")
    told = CliRunner().invoke(rank, ["sixteenfold", "--shop", str(DEMO), "--json"])
    found = json.loads(told.output)
    assert [each["text"] for each in found["cautions"]] == every[found["next"]]
    assert all(len(each["hazards"]) == len(every[each["check"]]) for each in found["checks"])


def test_in_the_middle_of_a_repair_it_fits_and_can_be_read_and_hit(bench: Page) -> None:
    bench.get_by_label("Serial number").fill("SX16-1402")
    bench.locator("[data-symptom]").first.check()
    take(bench, "rail-5")
    read(bench, "4.4")
    take(bench, "pitch-octave")
    press(bench, "Copy as YAML")
    for dark in (False, True):
        bench.emulate_media(color_scheme="dark" if dark else "light")
        for width in WIDTHS:
            use_width(bench, width)
            assert not overflows(bench), width
            assert not cut_off(bench), width
            if width == WIDTHS[0]:
                faint, judged = faint_text(bench)
                assert not faint
                assert {"button.", "p.hs-bench-mind"} <= judged
            assert small_targets(bench) == [], width


def small_targets(page: Page) -> list[str]:
    """The buttons and folds smaller than a finger, and anything else smaller than the standard asks for."""
    found: list[str] = page.evaluate(
        """(least) => Array.from(document.querySelectorAll(".hs-bench :is(button, summary, input, select)"))
          .filter(each => each.checkVisibility() && each.getClientRects().length)
          .filter(each => {
            const { width, height } = each.getBoundingClientRect();
            const wanted = each.matches("button, .hs-bench-fold > summary") ? 44 : least;
            return Math.min(width, height) < wanted;
          }).map(each => each.outerHTML.slice(0, 90))""",
        LEAST_TARGET_PX,
    )
    return found


def test_the_buttons_never_cover_the_beginning_of_the_cautions(bench: Page) -> None:
    use_width(bench, WIDTHS[0])
    press(bench, "✓ Good")
    for top in range(0, 2400, 150):
        bench.evaluate("top => window.scrollTo(0, top)", top)
        bench.wait_for_timeout(60)
        entry = bench.locator(".hs-bench-entry").bounding_box()
        title = bench.locator("[data-slot=cautions] .hs-caution-title").first.bounding_box()
        assert entry
        assert title
        assert title["y"] + title["height"] <= entry["y"] or entry["y"] >= 900, top


def test_an_update_takes_no_time_that_is_felt(bench: Page) -> None:
    bench.locator("[data-symptom]").first.check()
    press(bench, "✗ Bad")
    took = bench.evaluate("""() => {
      const { page } = window.halfsplitBench, times = [];
      for (let i = 0; i < 10; i += 1) {
        const start = performance.now();
        page.show();
        times.push(performance.now() - start);
      }
      return times.sort((a, b) => a - b)[5];
    }""")
    assert took < 100, took


def test_without_scripts_the_checks_stand_with_what_is_good(browser: Browser, plain_demo: Path) -> None:
    with browser.new_context(java_script_enabled=False) as context:
        page = context.new_page()
        open_file(page, plain_demo / BENCH)
        assert "With scripts off this page cannot reckon" in page.locator(".hs-bench").inner_text()
        assert page.locator("[data-static] .hs-check").count() == len(
            demo_shop().facts["sixteenfold"].model.checks
        )
        expect(page.locator("[data-static]").get_by_text("4.75 V to 5.25 V")).to_be_visible()
        expect(page.locator("[data-static] .hs-caution").first).to_be_visible()
        expect(page.get_by_role("button")).to_have_count(0)
