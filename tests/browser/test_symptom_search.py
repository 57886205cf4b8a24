"""Symptoms in a real browser: ranked and narrowed as in Python, on their page and in the field's list."""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

from kb.search import Narrowing, SymptomIndex, files_of, sharding
from kb.search.sharding import LARGEST_PART
from tests.browser.search_site import write_index, write_site
from tests.browser.watching import WIDTHS, open_file, overflows, use_print, use_width
from tests.search.bench_faults import FAULTS, NARROWINGS, QUERIES, fault, made_up_faults, symptom_assets
from tests.search.bench_pages import HOSTILE_TITLE, look_alike_queries

FIRST_SERIES = "First series sends triggers too short for older envelopes"
LAST_SERIES = "A look-alike one-shot in IC9 makes the trigger a third as long"
ASK = """questions => Promise.all(questions.map(([query, narrowing]) =>
  halfsplitSearch.findFaults(query, narrowing, 1000).then(found => found.results.map(each =>
    [each.path, each.score, each.here, each.symptom, each.on, each.block, each.seen, each.confirmed]))))"""


def by_browser(page: Page, questions: list[tuple[str, Narrowing]]) -> Any:
    return page.evaluate(ASK, [[words, asdict(narrowing)] for words, narrowing in questions])


def by_python(index: SymptomIndex, words: str, narrowing: Narrowing) -> list[Any]:
    rows = []
    for hit in index.find(words, narrowing):
        shown = index.show(hit, index.asked(words))
        rows.append(
            [shown.path, hit.score, hit.here, shown.symptom, list(shown.on), shown.block_name, shown.seen,
             shown.confirmed]
        )  # fmt: skip
    return rows


@pytest.mark.parametrize("largest_part", [LARGEST_PART, 300])
def test_python_and_the_browser_find_alike(
    watched_page: Page, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, largest_part: int
) -> None:
    monkeypatch.setattr(sharding, "LARGEST_PART", largest_part)
    assets = symptom_assets((*FAULTS, *made_up_faults(150)), (("zwirbles", "hums"),))
    index = SymptomIndex(files_of(assets))
    write_index(write_site(tmp_path), assets)
    open_file(watched_page, tmp_path / "about.html")
    questions = [(words, narrowing) for narrowing in NARROWINGS for words in QUERIES[:9]]
    questions += [(words, narrowing) for narrowing in NARROWINGS[:4] for words in QUERIES[9:]]
    questions += [(words, Narrowing(model="pacer")) for words in (*look_alike_queries(60), "zwirbled loudly")]
    answers = by_browser(watched_page, questions)
    for (words, narrowing), answer in zip(questions, answers, strict=True):
        assert answer == by_python(index, words, narrowing), (words, narrowing)
    assert sum(map(len, answers)) > 10 * len(questions)


@pytest.fixture
def symptoms(watched_page: Page, site: Path) -> Page:
    """The demo's symptom page, in both frames."""
    open_file(watched_page, site / "symptoms" / "index.html")
    return watched_page


def ask(page: Page, words: str) -> None:
    page.get_by_label("What does it do, or not do any more?").fill(words)


@pytest.mark.parametrize("words", ["no gate out", "envelope doesn't start", "misses notes", "won't trigger"])
def test_every_wording_reaches_the_same_faults(symptoms: Page, words: str) -> None:
    ask(symptoms, words)
    titles = symptoms.locator(".hs-symptom-answers .hs-fault-title")
    expect(titles.filter(has_text=FIRST_SERIES)).to_have_count(1)
    assert {FIRST_SERIES, LAST_SERIES} <= set(titles.all_inner_texts()[:4])


def test_the_list_of_all_symptoms_gives_way_and_comes_back(symptoms: Page) -> None:
    everything = symptoms.locator(".hs-all-symptoms")
    expect(everything).to_be_visible()
    ask(symptoms, "hum")
    expect(everything).to_be_hidden()
    expect(symptoms.get_by_role("status").filter(has_text="fault")).to_be_visible()
    ask(symptoms, "")
    expect(everything).to_be_visible()
    expect(symptoms.locator(".hs-symptom-answers")).to_be_empty()


def test_a_serial_number_leaves_what_its_revision_has(symptoms: Page) -> None:
    ask(symptoms, "no gate out")
    answers = symptoms.locator(".hs-symptom-answers")
    expect(answers).to_contain_text(LAST_SERIES)
    symptoms.get_by_label("Serial number").fill("SX16-0137")
    expect(answers).not_to_contain_text(LAST_SERIES)
    first = answers.locator("li").first
    expect(first).to_contain_text(FIRST_SERIES)
    expect(first).to_contain_text("Some notes do not sound, the envelope does not start")
    expect(first).to_contain_text("Sixteenfold, revision A · Trigger one-shot · seen 1×")
    symptoms.get_by_label("Serial number").fill("QQ-1")
    expect(symptoms.locator(".hs-symptom-note")).to_have_text(
        "No revision on record has the serial number “QQ-1”."
    )
    expect(answers).to_be_empty()


def test_a_model_puts_its_own_first_and_offers_its_blocks(symptoms: Page) -> None:
    blocks = symptoms.get_by_label("Block").locator("option")
    expect(blocks.filter(has_text="Mains inlet")).to_have_count(1)
    symptoms.get_by_label("Model").select_option(label="Sorrel")
    ask(symptoms, "hum")
    expect(symptoms.locator(".hs-symptom-answers > ul").first).to_contain_text("Sorrel")
    expect(symptoms.locator(".hs-symptom-answers > ul").first).not_to_contain_text("Sixteenfold")
    expect(symptoms.get_by_role("heading", name="In other models, in the same kind of block")).to_be_visible()
    expect(blocks.filter(has_text="Supply")).to_have_count(1)
    symptoms.get_by_label("Block").select_option(label="Supply")
    symptoms.get_by_label("Hazard").select_option(label="Mains voltage can kill")
    expect(symptoms.locator(".hs-symptom-answers > ul").first).to_contain_text("Supply")


def test_without_words_a_unit_shows_all_its_faults(symptoms: Page) -> None:
    symptoms.get_by_label("Model").select_option(label="Longshore")
    expect(symptoms.locator(".hs-symptom-note")).to_contain_text("faults")
    expect(symptoms.locator(".hs-symptom-answers > ul").first.locator("li")).not_to_have_count(0)


def test_an_answer_is_followed_to_its_fault(symptoms: Page) -> None:
    ask(symptoms, "no gate out")
    symptoms.get_by_label("Serial number").fill("SX16-0137")
    symptoms.locator(".hs-symptom-answers").get_by_role("link", name=FIRST_SERIES).click()
    expect(symptoms.get_by_role("heading", level=1)).to_contain_text(FIRST_SERIES)


def test_without_scripts_the_list_is_what_there_is(browser: Browser, demo: Path) -> None:
    with browser.new_context(java_script_enabled=False) as context:
        page = context.new_page()
        open_file(page, demo / "symptoms" / "index.html")
        expect(page.locator(".hs-all-symptoms")).to_contain_text("envelope does not start")
        expect(page.locator(".hs-symptom-search")).to_be_hidden()


def test_more_are_shown_when_asked_for(watched_page: Page, demo: Path) -> None:
    open_file(watched_page, demo / "symptoms" / "index.html")
    ask(watched_page, "the note is not in tune, and some of the lamps stay dark after an hour")
    rows = watched_page.locator(".hs-symptom-answers li")
    expect(rows).to_have_count(20)
    watched_page.get_by_role("button", name="Show more").click()
    expect(rows).not_to_have_count(20)


@pytest.mark.parametrize("width", WIDTHS)
def test_the_controls_fit_and_are_easy_to_touch(symptoms: Page, width: int) -> None:
    use_width(symptoms, width)
    ask(symptoms, "hum in the output of the supply when warm")
    expect(symptoms.locator(".hs-symptom-answers li").first).to_be_visible()
    assert not overflows(symptoms)
    for control in symptoms.locator(".hs-symptom-search :is(input, select)").all():
        box = control.bounding_box()
        assert box
        assert box["height"] >= 44


def test_paper_has_no_controls(symptoms: Page) -> None:
    use_print(symptoms)
    expect(symptoms.locator(".hs-symptom-search")).to_be_hidden()


def test_the_list_of_the_field_is_narrowed_without_a_mouse(watched_page: Page, demo: Path) -> None:
    open_file(watched_page, demo / "index.html")
    field = watched_page.get_by_role("combobox", name="Search")
    field.fill("no gate out")
    expect(watched_page.get_by_role("option")).not_to_have_count(0)
    watched_page.keyboard.press("Tab")
    expect(watched_page.locator(".hs-narrow summary")).to_be_focused()
    watched_page.keyboard.press("Enter")
    serial = watched_page.locator(".hs-narrow").get_by_label("Serial number")
    expect(serial).to_be_visible()
    serial.focus()
    watched_page.keyboard.type("SX16-0137")
    results = watched_page.locator(".hs-search-result")
    expect(results.first.locator(".hs-search-title")).to_have_text(FIRST_SERIES)
    expect(results.filter(has_text=LAST_SERIES)).to_have_count(0)
    expect(results.first.locator(".hs-search-context")).to_contain_text("Sixteenfold, revision A")
    assert set(results.locator(".hs-search-kind").all_inner_texts()) <= {"Fault", "Other model"}
    watched_page.keyboard.press("Escape")
    expect(field).to_be_focused()
    watched_page.keyboard.press("Enter")
    expect(watched_page.get_by_role("heading", level=1)).to_contain_text(FIRST_SERIES)


def test_a_hostile_fault_is_shown_as_text(watched_page: Page, demo: Path, tmp_path: Path) -> None:
    hostile = fault("hostile", "pacer", "clock", "<img src=x onerror=alert(1)> hums", title=HOSTILE_TITLE)
    folder = write_site(tmp_path)
    write_index(folder, symptom_assets((hostile,)))
    page = (folder / "about.html").read_text("utf-8")
    body = (demo / "symptoms" / "index.html").read_text("utf-8")
    form = body[body.index('<form class="hs-symptom-search"') : body.index('<div class="hs-all-symptoms">')]
    form = form.replace('data-hs-root="../"', 'data-hs-root=""') + '<div class="hs-all-symptoms"></div>'
    (folder / "symptoms.js").write_bytes((demo / "halfsplit" / "symptoms.js").read_bytes())
    page = page.replace("<main>", f'<main>{form}<script defer src="symptoms.js"></script>')
    (folder / "about.html").write_text(page, encoding="utf-8")
    open_file(watched_page, folder / "about.html")
    ask(watched_page, "humming")
    title = watched_page.locator(".hs-symptom-answers .hs-fault-title")
    expect(title).to_be_visible()
    assert title.evaluate("element => element.textContent") == HOSTILE_TITLE
    assert watched_page.locator(".hs-symptom-answers :is(script, img)").count() == 0
    assert watched_page.title() != "broken"
