"""A newcomer's way through the course: answering, being told how far off, progress, and a unit to find."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from playwright.sync_api import Locator, Page, expect

from tests.browser.watching import open_file

COURSE = "handbook/for-a-new-colleague.html"
LESSON = "handbook/safety-on-the-bench.html"
PRACTICE = "models/sixteenfold/practice.html"

JUDGED = """(asked) => asked.map(([value, right, within]) =>
  window.halfsplitExercise.judged(value, right, within))"""


def state_of(page: Page, path: str) -> Locator:
    """What the course's page says of a lesson."""
    return page.locator(f'[data-lesson="{path}"] [data-said=state]')


def test_an_answer_is_judged_and_the_way_off_is_told(watched_page: Page, plain_demo: Path) -> None:
    open_file(watched_page, plain_demo / LESSON)
    right: list[Any] = [0.010, "time", "10 ms"]
    asked = [
        (0.0105, True, "Right: 10 ms"), (0.0106, False, "6 % too large"),
        (10.1, False, "A thousand times too large"), (9.9e-6, False, "look at the prefix"),
        (0.1, False, "Ten times too large"), (0.0001, False, "decimal point"),
        (-0.01, False, "the sign is not"), (0.0, False, "not nought"),
        (0.05, False, "About 5 times too large"), (0.002, False, "About 5 times too small"),
    ]  # fmt: skip
    found = watched_page.evaluate(JUDGED, [[value, right, 0.05] for value, _, _ in asked])
    for (value, is_right, words), answer in zip(asked, found, strict=True):
        assert answer["isRight"] is is_right, value
        assert words in answer["text"].replace("\u00a0", " "), value


def test_a_lesson_is_done_by_its_exercises_with_the_keyboard_alone(
    watched_page: Page, plain_demo: Path
) -> None:
    page = watched_page
    open_file(page, plain_demo / COURSE)
    expect(state_of(page, LESSON)).to_have_text("not begun")
    page.get_by_role("link", name="Safety on the bench").last.press("Enter")
    exercises = page.locator("[data-hs-exercise]")
    expect(exercises).to_have_count(2)
    expect(exercises.first.get_by_label("Your answer")).to_be_visible()
    for number in range(2):
        exercise = exercises.nth(number)
        answers = exercise.evaluate(
            "each => JSON.parse(each.querySelector('.hs-exercise-data').textContent).answers"
        )
        field, said = exercise.get_by_label("Your answer"), exercise.locator("[data-said=judged]")
        field.fill("5")
        field.press("Enter")
        assert "has no unit" in said.inner_text()
        # The working is open, so these numbers do not count; others do.
        exercise.locator("summary", has_text="Answer and working").first.press("Enter")
        exercise.locator(".hs-exercise-working[open]").wait_for()
        field.fill(answers[0][2])
        field.press("Enter")
        assert "take other numbers for it to count" in said.inner_text()
        assert exercise.locator("[data-said=state]").inner_text() == ""
        exercise.get_by_role("button", name="Other numbers").press("Enter")
        assert exercise.locator("[data-variant]:visible").count() == 1
        page.keyboard.type(answers[1][2])
        page.keyboard.press("Enter")
        assert "Right" in said.inner_text()
        assert exercise.locator("[data-said=state]").inner_text() == "✓ done"
    assert page.locator("[data-said=lesson]").inner_text() == "✓ done"
    page.locator(".hs-lesson .hs-next").press("Enter")
    expect(page.get_by_role("heading", level=1)).to_have_text("Splitting a fault in half")
    page.get_by_role("link", name="For a new colleague").last.press("Enter")
    expect(state_of(page, LESSON)).to_have_text("✓ done")
    assert "1 of 15 lessons done." in page.locator("[data-said=progress]").inner_text()
    page.on("dialog", lambda dialog: dialog.accept())
    page.get_by_role("button", name="Forget my progress").press("Enter")
    expect(state_of(page, LESSON)).to_have_text("not begun")


def test_a_unit_is_played_from_its_record_and_compared_with_the_bench_page(
    watched_page: Page, plain_demo: Path
) -> None:
    page = watched_page
    open_file(page, plain_demo / PRACTICE)
    ways = page.evaluate(
        """() => { const { data, units } = document.querySelector("[data-hs-practice]").hsPractice;
        return units.map((unit) => window.halfsplitPractice.procedure(data, unit, unit.told[0]).isFound); }"""
    )
    assert ways
    assert all(ways), "the bench page must come to every fault that is on record"
    unit = page.evaluate("document.querySelector('[data-hs-practice]').hsPractice.unit")
    check = next(name for name, (_, text, _) in unit["reads"].items() if text)
    row = page.locator(f'[data-check="{check}"]')
    assert not row.locator("[data-slot=reads]").is_visible()
    row.get_by_role("button", name="Make this check").press("Enter")
    assert unit["reads"][check][1] in row.locator("[data-slot=reads]").inner_text()
    assert "1 check" in page.locator("[data-said=spent]").inner_text()
    names = page.get_by_label("It is")
    wrong = names.locator(f'option:not([value="{unit["fault"]}"]):not([value=""])').first
    names.select_option(wrong.get_attribute("value"))
    page.get_by_role("button", name="Look for it").press("Enter")
    assert "Not on this unit" in page.locator("[data-said=named]").inner_text()
    assert not page.locator("[data-answer]").is_visible()
    names.select_option(unit["fault"])
    page.get_by_role("button", name="Look for it").press("Enter")
    told = page.locator("[data-answer]").inner_text()
    assert unit["title"] in told
    assert "You: 1 check, " in told
    assert "1 fault looked for in vain" in told
    assert "The bench page with the same readings: " in told
    assert page.evaluate("document.activeElement.id") == "answer"
    open_file(page, plain_demo / COURSE)
    expect(state_of(page, PRACTICE)).to_contain_text("1 of ")
