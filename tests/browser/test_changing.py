"""Changing a calculation in its page: by keyboard, from disk, under the strict policy, and back again."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from kb.calculators import Calculation, calculate
from kb.pages.calculation_assets import calculation_assets
from kb.pages.calculation_view import calculation_html
from kb.records import CalculationText
from tests.browser.calculating import plan_of
from tests.browser.serving import SiteServers
from tests.browser.test_accessibility import broken_rules
from tests.browser.watching import WIDTHS, open_file, overflows, use_dark, use_print, use_width

ASSETS = Path(__file__).parents[2] / "kb" / "pages" / "assets"
POLICY = "default-src 'none'; script-src 'self'; style-src 'self' 'unsafe-inline'; form-action 'none'"
FRAME = """<!doctype html><html lang="en"><head><meta charset="utf-8"><title>Bench</title>
<meta http-equiv="Content-Security-Policy" content="{policy}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<link rel="stylesheet" href="halfsplit/site.css"><link rel="stylesheet" href="halfsplit/calculation.css">
<script defer src="halfsplit/calculation.js"></script></head>
<body><main class="hs-page">{body}</main></body></html>"""

HOSTILE = "<img src=x onerror=\"document.title='broken'\">"
ONE_SHOT = {"device": "74LS123", "resistor": "33k", "capacitor": "680n"}
DISCHARGE = {"capacitor": "4700 uF", "voltage": "63 V", "resistor": "1k"}
TEMPO = {"bpm": "120 BPM"}
PITCH = {"bits": "8", "full_scale": "10 V", "octaves": "3"}


def write_bench(folder: Path, *asked: tuple[str, dict[str, str]]) -> Path:
    """A page with these calculations, as an adapter would write it."""
    plans = [plan_of(name, inputs) for name, inputs in asked]
    blocks = [
        calculation_html(
            calculate(name, inputs), CalculationText(name=name, inputs=inputs), None, True, changing=plan
        )
        for (name, inputs), plan in zip(asked, plans, strict=True)
    ]
    (folder / "halfsplit" / "plans").mkdir(parents=True)
    for asset in calculation_assets(plans):
        (folder / asset.path).write_bytes(asset.content)
    for file in ASSETS.glob("*.*"):
        (folder / "halfsplit" / file.name).write_bytes(file.read_bytes())
    page = folder / "index.html"
    page.write_text(FRAME.format(policy=POLICY, body="".join(blocks)), "utf-8")
    return page


def begin(page: Page, number: int = 0) -> Locator:
    """Open one calculation for changes."""
    block = page.locator(".hs-calc").nth(number)
    block.get_by_role("button", name="Change the values").click()
    expect(block.locator("form")).to_be_visible()
    return block


def shown(block: Locator, label: str) -> str:
    """The value under a result's label, as somebody sees it."""
    found = block.locator(".hs-calc-results:visible > div").filter(
        has=block.page.locator("dt", has_text=label)
    )
    return found.first.locator("dd").inner_text().split("\n")[0].replace("\u00a0", " ")


def expected(name: str, key: str, **inputs: str) -> str:
    found: Calculation = calculate(name, inputs)
    return found.result(key).shown.replace("\u00a0", " ")


@pytest.fixture
def bench(watched_page: Page, tmp_path: Path) -> Iterator[Page]:
    asked = (("monostable", ONE_SHOT), ("discharge", DISCHARGE), ("tempo", TEMPO), ("dac_pitch", PITCH))
    open_file(watched_page, write_bench(tmp_path, *asked))
    yield watched_page
    assert watched_page.title() == "Bench"


@pytest.mark.parametrize("frame", ["demo", "plain_demo"])
def test_a_resistor_of_the_demo_gives_another_pulse(
    watched_page: Page, frame: str, request: pytest.FixtureRequest
) -> None:
    open_file(watched_page, request.getfixturevalue(frame) / "calculators" / "monostable.html")
    block = begin(watched_page)
    block.get_by_label("Solve for").select_option("pulse")
    field = block.get_by_role("textbox", name="Resistor", exact=True)
    field.fill("47k")
    capacitor = block.get_by_role("textbox", name="Capacitor", exact=True).input_value()
    wanted = expected("monostable", "pulse", device="74LS123", resistor="47k", capacitor=capacitor)
    assert shown(block, "Pulse") == wanted
    field.fill("4k7")
    assert shown(block, "Pulse") != wanted


AS_WRITTEN = """async () => {
  const plain = (text) => text.replaceAll("\\u00a0", " ").replace(/\\s+/g, " ").trim();
  const { plan } = window.halfsplitCalculations;
  const compared = [];
  for (const block of document.querySelectorAll(".hs-calc:has(> .hs-plan)")) {
    block.querySelector(".hs-calc-change").click();
    while (!block.querySelector("form")) await new Promise((done) => setTimeout(done, 5));
    const page = JSON.parse(block.querySelector(".hs-plan").textContent);
    const { work, wayOf } = window.halfsplitCalculations.plans;
    const found = work(plan[page.p], wayOf(plan[page.p], page.w), page.i);
    const texts = (place) => Array.from(block.querySelectorAll(place), (each) => plain(each.textContent));
    const warns = (note) => (note.level === "warning" ? "Watch out: " : "");
    compared.push({
      problems: found.problems,
      shown: texts(":scope > .hs-calc-results > div"),
      made: found.results.map((each) => plain(`${each.label}${each.shown} ${each.band}`)),
      notes: texts(":scope > :is(.hs-note-note, .hs-note-warning)"),
      said: found.notes.map((each) => plain(warns(each) + each.text)),
    });
  }
  return compared;
}"""


def test_every_calculation_of_the_demo_comes_to_what_its_page_shows(
    watched_page: Page, plain_demo: Path
) -> None:
    count = 0
    for path in sorted(plain_demo.rglob("*.html")):
        if 'class="hs-plan"' not in path.read_text("utf-8"):
            continue
        open_file(watched_page, path)
        for found in watched_page.evaluate(AS_WRITTEN):
            count += 1
            made, shown = set(found["made"]), set(found["shown"])
            assert not found["problems"], path
            assert made <= shown, path
            # What the page alone knows is a verdict in words.
            assert not [text for text in shown - made if re.search("[0-9]", text)], path
            assert sorted(found["said"]) == sorted(found["notes"]), path
    assert count > 80


def test_the_fields_break_no_rule_of_accessibility(watched_page: Page, plain_demo: Path) -> None:
    open_file(watched_page, plain_demo / "calculators" / "discharge.html")
    block = begin(watched_page)
    for text in ("35 V", "325 V", "1,5 V"):
        block.get_by_role("textbox", name="Voltage at first", exact=True).fill(text)
        use_dark(watched_page)
        assert not broken_rules(watched_page), text


def test_the_page_is_calm_until_somebody_asks(bench: Page) -> None:
    assert bench.locator("form, input, select").count() == 0
    assert bench.evaluate("Object.keys(window.halfsplitCalculations.plan).length") == 0
    begin(bench)
    assert bench.locator("form").count() == 1


def test_a_change_shows_at_once_and_goes_with_one_button(bench: Page) -> None:
    block = bench.locator(".hs-calc").first
    before = block.inner_text()
    begin(bench)
    field = block.get_by_role("textbox", name="Resistor", exact=True)
    field.fill("47k")
    assert shown(block, "Pulse") == expected("monostable", "pulse", **ONE_SHOT | {"resistor": "47k"})
    assert block.get_attribute("class") == "hs-calc hs-calc-open hs-calc-changed hs-calc-worked"
    expect(block.locator(".hs-formula-numbers").first).to_be_hidden()
    block.get_by_role("button", name="As written").click()
    assert block.inner_text().replace("The values are as written again.", "").strip() == before.strip()
    expect(block.get_by_role("button", name="Change the values")).to_be_focused()


def test_it_works_over_http_too(watched_page: Page, site_server: SiteServers, tmp_path: Path) -> None:
    write_bench(tmp_path, ("tempo", TEMPO))
    watched_page.goto(site_server(tmp_path))
    block = begin(watched_page)
    block.get_by_role("textbox", name="Tempo").fill("90")
    assert shown(block, "Pulse frequency") == "36 Hz"


def test_the_keyboard_is_enough(bench: Page) -> None:
    for _ in range(20):
        bench.keyboard.press("Tab")
        if bench.evaluate("document.activeElement.textContent") == "Change the values":
            break
    bench.keyboard.press("Enter")
    expect(bench.get_by_label("Solve for")).to_be_focused()
    bench.keyboard.press("Tab")
    bench.keyboard.press("Control+a")
    bench.keyboard.type("22k")
    block = bench.locator(".hs-calc").first
    expect(block.get_by_role("textbox", name="Resistor", exact=True)).to_have_value("22k")
    assert shown(block, "Pulse") == expected("monostable", "pulse", **ONE_SHOT | {"resistor": "22k"})
    bench.keyboard.press("Enter")
    assert bench.url.endswith("index.html")


def test_what_to_solve_for_can_be_chosen(bench: Page) -> None:
    block = begin(bench)
    block.get_by_label("Solve for").select_option("capacitor")
    block.get_by_role("textbox", name="Pulse", exact=True).fill("5 ms")
    inputs = {"device": "74LS123", "resistor": "33k", "pulse": "5 ms"}
    assert shown(block, "Capacitor") == expected("monostable", "capacitor", **inputs)
    expect(block.locator(".hs-formula-text:visible").first).to_have_text("C = t / (K · R)")
    expect(block.locator("math:visible")).to_have_count(0)
    expect(block.locator(".hs-calc-title")).to_contain_text("solved for capacitor")


def test_the_value_solved_for_goes_in_with_more_digits_than_are_shown(bench: Page) -> None:
    block = begin(bench)
    before = shown(block, "Pulse")
    block.get_by_label("Solve for").select_option("resistor")
    block.get_by_label("Solve for").select_option("pulse")
    assert shown(block, "Pulse") == before


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("1,5k", 'write "1.5k"'),
        ("33 uF", "expected a resistance"),
        ("-5k", "must be above zero"),
        ("0", "has no unit"),
        (HOSTILE, "has no number"),
    ],
)
def test_a_text_that_is_no_resistor_is_refused_with_advice(bench: Page, text: str, said: str) -> None:
    block = begin(bench)
    field = block.get_by_role("textbox", name="Resistor", exact=True)
    field.fill(text)
    expect(field).to_have_attribute("aria-invalid", "true")
    expect(field).to_have_accessible_description(re.compile(re.escape(said)))
    expect(block.locator(".hs-calc-results:visible")).to_have_count(0)
    assert block.locator("img").count() == 0
    field.fill("33k")
    expect(field).not_to_have_attribute("aria-invalid", "true")
    expect(block.locator(".hs-calc-results:visible")).to_have_count(1)


def test_numbers_without_an_answer_are_told_as_python_tells_them(bench: Page) -> None:
    block = begin(bench, 1)
    block.get_by_role("textbox", name="Voltage at first", exact=True).fill("1e30 V")
    block.get_by_role("textbox", name="Capacitor", exact=True).fill("1e300 F")
    expect(block.locator(".hs-calc-refused:visible").first).to_contain_text("the exponent")
    block.get_by_role("textbox", name="Capacitor", exact=True).fill("1e30 F")
    block.get_by_role("textbox", name="Discharge resistor", exact=True).fill("1e-30 ohm")
    assert shown(block, "Time to the limit")


def test_a_caution_follows_the_values_and_never_goes(bench: Page) -> None:
    block = begin(bench, 1)
    warnings = block.locator(".hs-note-warning:visible")
    block.get_by_role("textbox", name="Voltage at first", exact=True).fill("325 V")
    expect(warnings.first).to_contain_text("measure across the capacitor before you touch anything")
    wait = calculate("discharge", DISCHARGE | {"voltage": "325 V"}).notes[0].text
    expect(warnings.first).to_have_text(f"Watch out: {wait}")
    block.get_by_role("textbox", name="Voltage at first", exact=True).fill("12 V")
    expect(warnings.first).to_contain_text("measure across the capacitor before you touch anything")
    block.get_by_role("textbox", name="Voltage at first", exact=True).fill("?")
    assert "measure across the capacitor before you touch anything" in warnings.all_inner_texts()[0]


def test_a_tolerance_of_the_part_goes_before_the_usual_one(bench: Page) -> None:
    block = begin(bench)
    field = block.get_by_role("textbox", name="Resistor", exact=True)
    field.fill("33k ±1 %")
    row = block.locator("form tr").filter(has_text="Resistor tolerance")
    expect(row).to_have_class("hs-calc-unused")
    block.get_by_role("textbox", name="Resistor tolerance").fill("2 %")
    expect(block.locator(".hs-calc-refused:visible").first).to_contain_text("carries its own tolerance")


def test_tables_are_worked_out_again(bench: Page) -> None:
    block = begin(bench, 2)
    block.get_by_role("textbox", name="Tempo").fill("60")
    cells = block.locator("table.hs-table:visible tbody tr").filter(has_text="quarter").nth(1).locator("td")
    expect(cells.nth(1)).to_have_text("1\u00a0s")
    pitch = begin(bench, 3)
    pitch.get_by_role("textbox", name="Octaves").fill("1")
    expect(pitch.locator("table.hs-table:visible tbody tr")).to_have_count(13)
    pitch.get_by_label("Pitch standard").select_option("hertz_per_volt")
    wanted = calculate("dac_pitch", PITCH | {"octaves": "1", "standard": "hertz_per_volt"})
    cells = pitch.locator("table.hs-table:visible tbody td").all_inner_texts()
    assert cells == [cell.shown for row in wanted.tables[0].rows for cell in row]


def test_a_figure_says_what_it_belongs_to(bench: Page) -> None:
    block = begin(bench)
    expect(block.locator(".hs-calc-remark")).to_have_count(0)
    block.get_by_role("textbox", name="Supply").fill("4.9 V")
    expect(block.locator(".hs-calc-remark")).to_contain_text("drawn for the values as written")


def test_the_command_repeats_what_was_changed(bench: Page) -> None:
    block = begin(bench)
    block.get_by_role("textbox", name="Capacitor", exact=True).fill("1 uF")
    block.locator("summary").click()
    expect(block.locator("details code:visible")).to_have_text(
        "halfsplit calc monostable device=74LS123 resistor=33k 'capacitor=1 uF'"
    )


def test_paper_shows_what_was_written(bench: Page) -> None:
    use_print(bench)
    block = bench.locator(".hs-calc").first
    before = block.inner_text()
    bench.emulate_media(media="screen")
    begin(bench)
    block.get_by_role("textbox", name="Resistor", exact=True).fill("47k")
    block.get_by_label("Solve for").select_option("capacitor")
    use_print(bench)
    assert block.inner_text() == before
    bench.emulate_media(media="screen")


def test_what_came_out_is_said_when_typing_pauses(bench: Page) -> None:
    block = begin(bench)
    block.get_by_role("textbox", name="Resistor", exact=True).fill("47k")
    expect(block.get_by_role("status")).to_contain_text("Pulse 14.4\u00a0ms")


def test_scripts_that_are_not_there_are_reported(browser: Browser, tmp_path: Path) -> None:
    # Outside the watch: the browser itself complains of a file that is missing.
    page_file = write_bench(tmp_path, ("tempo", TEMPO))
    units = tmp_path / "halfsplit" / "units.js"
    aside = units.rename(tmp_path / "aside.js")
    with browser.new_context() as context:
        page = context.new_page()
        open_file(page, page_file)
        button = page.get_by_role("button", name="Change the values")
        button.click()
        expect(page.get_by_role("status")).to_have_text(
            "The scripts for changing values could not be loaded."
        )
        aside.rename(units)
        begin(page)


@pytest.mark.parametrize("width", WIDTHS)
def test_the_fields_fit_any_window(bench: Page, width: int) -> None:
    use_width(bench, width)
    for number in range(4):
        block = begin(bench, number)
        field = block.get_by_role("textbox").first
        field.fill("1,5 nonsense that goes on and on")
        box = field.bounding_box()
        assert box
        assert box["height"] >= 44
    assert not overflows(bench)
