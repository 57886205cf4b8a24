"""Looking at a cause once no check pays: it is this one, or it is ruled out and the next one comes."""

from __future__ import annotations

from playwright.sync_api import Page, expect

from kb.diagnosis.from_shop import bench_for
from tests.benches import demo_shop
from tests.browser.benching import is_confirming, log, now, press, rule_out


def test_a_cause_that_was_looked_at_and_is_not_it_makes_room_for_the_next(bench: Page) -> None:
    """To the last one: then it says that this is something new, and nothing breaks."""
    bench.get_by_label("A first series").check()
    bench.evaluate(
        "() => { const { page } = window.halfsplitBench; page.data.leastSaving = 1e6; page.show(); }"
    )
    gone = []
    while is_confirming(bench):
        expect(bench.locator("[data-slot=cautions] .hs-caution").first).to_be_visible()
        gone.append(rule_out(bench))
        assert gone[-1] not in bench.locator("[data-slot=causes]").inner_text()
    assert len(gone) == len(set(gone)) == len(bench_for(demo_shop(), "sixteenfold", ("a",)).suspects)
    expect(bench.locator("[data-slot=now]")).to_contain_text("Nothing on record is left to confirm")
    assert [row[1] for row in log(bench)] == gone
    assert {row[3] for row in log(bench)} == {"✗ not it"}
    bench.keyboard.press("Control+z")
    assert now(bench) == gone[-1]
    bench.reload()
    assert len(log(bench)) == len(gone) - 1


def test_the_cause_that_it_is_goes_into_the_record(bench: Page) -> None:
    bench.get_by_label("A first series").check()
    while not is_confirming(bench):
        press(bench, "✓ Good")
    rule_out(bench)
    while not is_confirming(bench):
        press(bench, "✓ Good")
    title = now(bench)
    expect(bench.locator("[data-slot=paper]")).to_contain_text("It turned out to be: not settled yet")
    press(bench, "✓ It is this")
    expect(bench.locator("[data-slot=paper]")).to_contain_text(f"It turned out to be: {title}")
    expect(bench.get_by_role("button", name="Copy as YAML")).to_be_focused()
    expect(bench.locator("#hs-bench-found option:checked")).to_have_text(title)
    bench.keyboard.press("Enter")
    copied = bench.locator("#hs-bench-yaml").input_value()
    fault = next(each for each, located in demo_shop().faults.items() if located.record.title == title)
    assert copied.startswith(f"findings:\n  - fault: {fault}\n    checks:\n      - check: ")
    assert "ruled_out" not in copied


def test_the_block_to_look_at_next_is_told_in_the_drawing(bench: Page) -> None:
    bench.get_by_label("A first series").check()
    bench.evaluate(
        "() => { const { page } = window.halfsplitBench; page.data.leastSaving = 1e6; page.show(); }"
    )
    block = bench.evaluate("window.halfsplitBench.page.confirmed().block")
    expect(bench.locator(f"svg.hs-flow-wide g[data-block={block}] .hs-flow-when-here")).to_be_visible()
