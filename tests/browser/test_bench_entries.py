"""What comes in at the bench page: readings, the unit, and what is shown of both."""

from __future__ import annotations

from playwright.sync_api import Page, expect

from tests.browser.benching import ANSWER, log, now, press, read, take

JUDGE = """(rows) => rows.map(([typed, unit]) => {
  const check = window.halfsplitBench.page.checks.get("rail-5");
  try {
    const { outcome, reading } = window.halfsplitBench.judge(typed, unit, check);
    return [outcome, reading];
  } catch (problem) {
    return ["refused", Boolean(problem.what && problem.advice)];
  }
})"""
JUDGED = [
    ("5.02", "V", "pass", "5.02 V"), ("5.02 V", "V", "pass", "5.02 V"), ("5020 mV", "V", "pass", "5020 mV"),
    (" 4.75 ", "V", "pass", "4.75 V"), ("5.25", "V", "pass", "5.25 V"), ("5020", "mV", "pass", "5020 mV"),
    ("4.9 to 5.1", "V", "pass", "4.9 to 5.1"),
    ("4.7499", "V", "fail", None), ("0", "V", "fail", None), ("-5", "V", "fail", None),
    ("5.3 V", "V", "fail", None), ("4.7 V to 5.1 V", "V", "fail", None), (">= 5 V", "V", "fail", None),
    ("", "V", "refused", True), ("about five", "V", "refused", True), ("5 ohm", "V", "refused", True),
    ("5,0", "V", "refused", True), ("5 V ±5 %", "V", "refused", True), ("10k", "V", "refused", True),
    ("<img src=x onerror=alert(1)>", "V", "refused", True),
]  # fmt: skip
"""Typed, the unit beside the field, what 4.75 V to 5.25 V makes of it, and how it is written down."""


def test_readings_are_judged_or_refused_with_a_reason(bench: Page) -> None:
    found = bench.evaluate(JUDGE, [[typed, unit] for typed, unit, *_ in JUDGED])
    for (typed, unit, outcome, written), (told, wrote) in zip(JUDGED, found, strict=True):
        assert told == outcome, (typed, unit)
        if written is not None:
            assert str(wrote).startswith(written) if isinstance(written, str) else wrote is written, typed


def test_a_reading_goes_into_the_log_with_its_verdict(bench: Page) -> None:
    take(bench, "rail-5")
    read(bench, "about five")
    expect(bench.get_by_role("alert")).to_contain_text("; ")
    assert log(bench) == []
    assert now(bench) == "rail-5"
    bench.get_by_label("Unit where none is typed").select_option("mV")
    read(bench, "5020")
    assert log(bench)[0][1:3] == ["rail-5", "5020 mV"]
    assert log(bench)[0][3].startswith("✓ good")
    take(bench, "rail-plus-15")
    read(bench, "9")
    assert log(bench)[1][2] == "9 V"
    assert log(bench)[1][3].startswith("✗ bad")
    take(bench, "lamp-walk")
    expect(bench.get_by_label("Reading", exact=True)).to_be_hidden()
    expect(bench.locator("[data-now]")).to_contain_text("one lamp at a time, 1 to 16, none dim")


def test_the_number_picks_the_revision_and_its_checks(bench: Page) -> None:
    bench.get_by_label("Serial number").fill("sx16 0123")
    expect(bench.locator("[data-said=unit]")).to_have_text("sx16 0123, revision A")
    offered = bench.locator("[data-slot=others], [data-slot=rest], #now").evaluate_all(
        "each => each.map(one => one.textContent).join()"
    )
    assert "trigger-length-early" in offered
    assert "quantiser-reference" not in offered


def test_a_number_of_two_revisions_names_the_marks(bench: Page) -> None:
    bench.get_by_label("Serial number").fill("SX16-1402")
    expect(bench.locator("[data-slot=marks]")).to_contain_text("The marks on the unit decide")
    expect(bench.locator("[data-slot=marks]")).to_contain_text("IC9 is a CD4538")
    bench.get_by_label("D last series").check()
    expect(bench.locator("[data-said=unit]")).to_have_text("SX16-1402, revision D")
    expect(bench.locator("[data-slot=marks]")).to_be_empty()
    bench.get_by_label("A first series").check()
    expect(bench.locator("[data-slot=marks]")).to_contain_text("a serial of revision C or D")


def test_a_result_that_the_revision_does_not_have_is_kept_but_not_counted(bench: Page) -> None:
    bench.get_by_label("A first series").check()
    take(bench, "trigger-length-early")
    press(bench, "✗ Bad")
    before = bench.evaluate(ANSWER)
    bench.locator("[data-fold=unit] summary").click()
    bench.get_by_label("B second series").check()
    assert "not made on this revision" in log(bench)[0][4]
    assert bench.evaluate(ANSWER)["outcomes"] == []
    bench.get_by_label("A first series").check()
    assert bench.evaluate(ANSWER) == before


def test_the_drawing_and_its_list_tell_cleared_suspect_and_next(bench: Page) -> None:
    bench.get_by_label("A first series").check()
    take(bench, "rail-5")
    press(bench, "✗ Bad")
    blocks = bench.locator("[data-slot=blocks]")
    expect(blocks).to_contain_text("Suspect")
    expect(blocks).to_contain_text("Not on this unit Semitone quantiser")
    supply = bench.locator("svg.hs-flow-wide g[data-block=power-supply]")
    expect(supply.locator(".hs-flow-when-suspect .hs-flow-tag")).to_be_visible()
    expect(supply.locator(".hs-flow-when-plain")).to_be_hidden()
    assert "suspect" in str(supply.locator("xpath=..").get_attribute("aria-label"))
    gone = bench.locator("svg.hs-flow-wide g[data-block=quantiser]")
    expect(gone.locator(".hs-flow-when-absent .hs-flow-tag")).to_be_visible()
    missing = bench.locator("svg.hs-flow-wide g[data-from=pitch-pots][data-to=quantiser]")
    expect(missing).to_be_hidden()
    here = bench.evaluate(
        "() => { const p = window.halfsplitBench.page; return p.checks.get(p.found.current).block; }"
    )
    expect(bench.locator(f"svg.hs-flow-wide g[data-block={here}] .hs-flow-when-here")).to_be_visible()


def test_a_block_with_a_bad_reading_of_its_own_is_never_shown_as_cleared(bench: Page) -> None:
    bench.get_by_label("A first series").check()
    for check, name in (("rail-5", "✗ Bad"), ("lamp-walk", "✓ Good")):
        take(bench, check)
        press(bench, name)
    states = bench.evaluate(
        "() => { const { page } = window.halfsplitBench;"
        " const states = window.halfsplitBench.blockStates(page.data, page.found);"
        " return states.map(each => [each.id, each.state]); }"
    )
    assert ["power-supply", "cleared"] not in states
    assert ["step-counter", "cleared"] in states
