"""What leaves the bench page: the log onto paper, the findings into a job record."""

from __future__ import annotations

import shutil
from pathlib import Path

from playwright.sync_api import Page, expect

from tests.benches import DEMO, found_in, loaded
from tests.browser.benching import log, press, read, take
from tests.browser.measuring import cut_off
from tests.browser.watching import use_print


def test_the_log_is_printed_with_causes_and_cautions(bench: Page) -> None:
    bench.get_by_label("Serial number").fill("SX16-0123")
    take(bench, "rail-5")
    read(bench, "4.4")
    screen = log(bench)[0]
    use_print(bench)
    bench.set_viewport_size({"width": 718, "height": 1123})
    paper = bench.locator(".hs-bench-log")
    for text in (
        "Sixteenfold",
        "SX16-0123, revision A",
        "rail-5",
        "4.4 V",
        "bad",
        "Causes at the end",
        screen[4],
    ):
        expect(paper).to_contain_text(text)
    expect(paper.locator(".hs-caution").first).to_be_visible()
    assert paper.locator(".hs-caution").count() == 2
    expect(bench.locator(".hs-bench button").locator("visible=true")).to_have_count(0)
    expect(bench.locator(".hs-bench input, .hs-bench select").locator("visible=true")).to_have_count(0)
    assert not cut_off(bench)


def test_the_copied_findings_are_accepted_in_a_job_record(bench: Page, tmp_path: Path) -> None:
    bench.get_by_label("Serial number").fill("SX16-0123")
    take(bench, "rail-5")
    read(bench, "5.02")
    take(bench, "lamp-walk")
    press(bench, "✓ Good")
    take(bench, "trigger-length-early")
    read(bench, "4.4 ms")
    take(bench, "ripple-5")
    press(bench, "Not done")
    bench.evaluate("window.halfsplitBench.page.keeper.stamps = [[Date.now() - 25 * 60000, null]]")
    bench.get_by_label("It turned out to be").select_option("trigger-too-short-first-series")
    bench.context.grant_permissions(["clipboard-read", "clipboard-write"])
    press(bench, "Copy as YAML")
    expect(bench.locator("[data-said=copied]")).not_to_be_empty()
    copied = bench.locator("#hs-bench-yaml").input_value()
    folder = tmp_path / "shop"
    shutil.copytree(DEMO, folder, ignore=shutil.ignore_patterns(".halfsplit"))
    head = "model: sixteenfold\nserial: SX16-0123\nreceived: 2026-05-02\ncomplaint: some notes stay silent\n"
    (folder / "jobs" / "2026" / "2026-pasted.yml").write_text(head + copied, "utf-8")
    assert [line for line in found_in(folder) if "pasted" in line] == []
    (finding,) = loaded(folder).jobs["2026-pasted"].record.findings
    assert finding.fault == "trigger-too-short-first-series"
    assert finding.minutes == 25
    assert [(each.check, each.outcome, each.reading and each.reading.text) for each in finding.checks] == [
        ("rail-5", "good", "5.02 V"), ("lamp-walk", "good", None), ("trigger-length-early", "good", "4.4 ms"),
        ("ripple-5", "not_done", None),
    ]  # fmt: skip


def test_a_fault_that_is_not_on_record_is_said_so(bench: Page) -> None:
    press(bench, "✓ Good")
    bench.get_by_label("It turned out to be").select_option("")
    press(bench, "Copy as YAML")
    expect(bench.locator("#hs-bench-yaml")).to_have_value(
        "findings:\n  # Not on record yet: write the fault down first, then put its id here.\n"
        "  - fault: the-id-of-the-fault\n    checks:\n      - check: "
        + log(bench)[0][1]
        + "\n        outcome: good\n"
    )
