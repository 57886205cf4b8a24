"""Going back and going on at the bench page: undo, reload, the clock, storage that fails or lies."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

from playwright.sync_api import Page, expect

from tests.browser.benching import ANSWER, BENCH, COMPLAINT, log, now, press, take
from tests.browser.watching import open_file


def test_undo_and_redo_by_button_and_by_keyboard(bench: Page) -> None:
    start = bench.evaluate(ANSWER)
    press(bench, "✗ Bad")
    one = bench.evaluate(ANSWER)
    press(bench, "✓ Good")
    bench.keyboard.press("Control+z")
    assert bench.evaluate(ANSWER) == one
    bench.get_by_role("button", name="Undo").click()
    assert bench.evaluate(ANSWER) == start
    expect(bench.locator(".hs-bench-status")).to_contain_text("Taken back")
    bench.keyboard.press("Control+Shift+z")
    assert bench.evaluate(ANSWER) == one
    bench.keyboard.press("Control+y")
    assert len(log(bench)) == 2
    expect(bench.get_by_role("button", name="Redo")).to_have_attribute("aria-disabled", "true")
    bench.keyboard.press("Control+y")
    expect(bench.locator(".hs-bench-status")).to_have_text("Nothing to do again.")


def test_letters_of_the_number_are_one_step(bench: Page) -> None:
    bench.get_by_label("Serial number").press_sequentially("SX16-0123")
    bench.locator("#now").focus()
    bench.keyboard.press("Control+z")
    expect(bench.get_by_label("Serial number")).to_have_value("")


def test_a_second_press_in_haste_does_not_answer_the_next_check(bench: Page) -> None:
    bench.get_by_role("button", name="✓ Good").dblclick()
    assert len(log(bench)) == 1


def test_a_reload_keeps_everything(bench: Page) -> None:
    bench.get_by_label("Serial number").fill("SX16-0123")
    bench.get_by_label("Words to look for").fill("envelope start")
    bench.get_by_label(COMPLAINT).check()
    press(bench, "✗ Bad")
    take(bench, "rail-plus-15")
    before, rows = bench.evaluate(ANSWER), log(bench)
    bench.reload()
    assert bench.evaluate(ANSWER) == before
    assert log(bench) == rows
    assert now(bench) == "rail-plus-15"
    expect(bench.get_by_role("button", name="Pause")).to_be_visible()
    bench.keyboard.press("Control+z")
    bench.keyboard.press("Control+z")
    assert log(bench) == []


def test_the_stopwatch_starts_with_the_first_entry_and_can_be_paused(bench: Page) -> None:
    said = bench.locator("[data-said=time]")
    expect(said).to_have_text("0:00:00")
    expect(bench.get_by_role("button", name="Start")).to_be_visible()
    press(bench, "✓ Good")
    bench.evaluate("""() => { const { page } = window.halfsplitBench;
      page.keeper.stamps = [[Date.now() - 3723000, null]]; page.showTime(); }""")
    expect(said).to_contain_text("1:02:0")
    press(bench, "Pause")
    still = said.inner_text()
    bench.wait_for_timeout(1200)
    assert said.inner_text() == still
    expect(bench.get_by_role("button", name="Go on")).to_be_visible()


def test_a_new_unit_clears_only_after_asking(bench: Page) -> None:
    press(bench, "✓ Good")
    bench.once("dialog", lambda dialog: dialog.dismiss())
    press(bench, "New unit")
    assert len(log(bench)) == 1
    bench.once("dialog", lambda dialog: dialog.accept())
    press(bench, "New unit")
    assert log(bench) == []
    expect(bench.locator("[data-said=time]")).to_have_text("0:00:00")
    bench.reload()
    assert log(bench) == []


KEPT = (
    "no JSON", '{"now": 1}', '{"now":null,"past":[],"future":[],"stamps":[]}', "[]",
    ('{"now":{"serial":"","revision":"","symptoms":[],"entries":[{"outcome":"ruled_out","at":1}],'
     '"taken":null,"found":null},"past":[],"future":[],"stamps":[]}'),
)  # fmt: skip


def test_what_is_not_ours_in_the_storage_is_left_aside(bench: Page) -> None:
    for kept in KEPT:
        bench.evaluate("kept => localStorage.setItem(window.halfsplitBench.page.keeper.key, kept)", kept)
        bench.reload()
        press(bench, "✓ Good")
        assert len(log(bench)) == 1, kept


def test_without_storage_it_says_so_once_and_goes_on(watched_page: Page, plain_demo: Path) -> None:
    watched_page.add_init_script(
        "Object.defineProperty(window, 'localStorage',"
        " { get() { throw new DOMException('no', 'SecurityError'); } })"
    )
    open_file(watched_page, plain_demo / BENCH)
    status = watched_page.locator(".hs-bench-status")
    expect(status).to_contain_text("a reload would lose the entries")
    press(watched_page, "✓ Good")
    expect(status).not_to_contain_text("a reload would lose")
    assert len(log(watched_page)) == 1


def test_hostile_texts_stay_text(watched_page: Page, plain_demo: Path, tmp_path: Path) -> None:
    folder = tmp_path / "site" / "models" / "sixteenfold"
    shutil.copytree(plain_demo / "halfsplit", tmp_path / "site" / "halfsplit")
    folder.mkdir(parents=True)
    hostile = "<img src=x onerror=document.title='broken'></script>&quot;"
    body = (plain_demo / BENCH).read_text("utf-8")
    opening = '<script type="application/json" class="hs-bench-data">'
    start = body.index(opening) + len(opening)
    end = body.index("</script>", start)
    data = json.loads(body[start:end])
    for each in (*data["causes"], *data["blocks"]):
        each["title" if "title" in each else "name"] = hostile
    for each in data["revisions"]:
        each["sight"] = [hostile]
    data["symptoms"][0][0] = hostile
    safe = json.dumps(data).replace("<", "\\u003c")
    (folder / "bench.html").write_text(body[:start] + safe + body[end:], "utf-8")
    open_file(watched_page, folder / "bench.html")
    watched_page.get_by_label("Serial number").fill(hostile + "1402")
    watched_page.locator("[data-symptom='0']").check()
    press(watched_page, "✗ Bad")
    press(watched_page, "Copy as YAML")
    expect(watched_page.locator("[data-slot=causes]")).to_contain_text(hostile)
    assert watched_page.locator(".hs-bench img").count() == 0
    assert watched_page.title() != "broken"
