"""The serial-number box: what is typed off a unit names its revision, by the same rule as in Python."""

from __future__ import annotations

import json
import random
from collections.abc import Sequence
from dataclasses import asdict
from pathlib import Path
from string import ascii_letters, digits, punctuation

import pytest
from playwright.sync_api import Locator, Page, expect

from kb.handbook import handbook_folder
from kb.shop import Shop, load_shop, parse_serials
from kb.shop.serials import SerialRange
from tests.browser.demo_pages import MODEL
from tests.browser.watching import open_file

MODELS = ("longshore", "sixteenfold", "sorrel", "tallyman", "weighbridge")
TRIES = 500
NAMED = """serials => {
  const form = document.querySelector("[data-hs-serial]"), input = form.querySelector("input");
  return serials.map(serial => {
    input.value = serial;
    input.dispatchEvent(new Event("input"));
    return Array.from(form.querySelectorAll(".hs-serial-answer h3"),
      heading => heading.textContent.match(/^Revision ([^ ,]+)/)[1].toLowerCase());
  });
}"""
AWKWARD = (
    *(
        "",
        " ",
        "-",
        "ß",
        "ſx16-0500",
        "ﬁ",
        "é",
        "٣",
        "𝟘𝟙",
        "🎹",
        "<b>",
        '"',
        "0x10",
        "1e3",
        "-5",
        "+7",
        "\u00a0",
    ),
)


@pytest.fixture(scope="session")
def shop(demo_content: Path) -> Shop:
    read, problems = load_shop(demo_content, handbook_folder())
    assert read, problems
    return read


@pytest.fixture
def box(watched_page: Page, demo: Path) -> Page:
    open_file(watched_page, demo / MODEL)
    return watched_page


def answer(page: Page, serial: str) -> Locator:
    page.get_by_label("Serial number of the unit").fill(serial)
    return page.locator(".hs-serial-answer")


@pytest.mark.parametrize(
    "typed",
    ["SX16-0123", "sx16 0123", "0123", "123", "sx160123", "  Sx16 - 01 23 ", "SX16/0123", "№ SX16-0123"],
)
def test_a_serial_may_be_typed_as_it_is_read_off_the_plate(box: Page, typed: str) -> None:
    shown = answer(box, typed)
    expect(shown.get_by_role("heading")).to_have_text(["Revision A, first series"])


def test_the_answer_lists_what_differs_and_which_faults_apply(box: Page) -> None:
    shown = answer(box, "SX16-0500")
    expect(shown.get_by_role("heading")).to_have_text(["Revision B, second series"])
    expect(shown).to_contain_text(
        "Trigger one-shot, R14, timing resistor of the one-shot: 33k (elsewhere: 10k)"
    )
    expect(shown).to_contain_text("Faults that apply")
    links = shown.get_by_role("link")
    assert links.count() > 3
    for place in links.evaluate_all("links => links.map(link => new URL(link.href).pathname)"):
        assert Path(place).is_file(), place
    fault = shown.get_by_role("link", name="Leaky electrolytic in the trigger's timing")
    fault.click()
    expect(box.get_by_role("heading", level=1)).to_contain_text("Leaky electrolytic")


def test_the_answer_leads_to_the_page_of_the_revision(box: Page) -> None:
    answer(box, "sx16 0901").get_by_role("link", name="Open the page of this revision").click()
    expect(box.get_by_role("heading", level=1)).to_contain_text("Sixteenfold, revision C")


@pytest.mark.parametrize("typed", ["SX16-0415", "415", "0", "QX16-0500", "SX16-0500A"])
def test_an_unknown_serial_is_told_which_ranges_there_are(box: Page, typed: str) -> None:
    shown = answer(box, typed)
    expect(shown.get_by_role("heading")).to_have_count(0)
    expect(shown).to_contain_text("No revision of the Sixteenfold on record has this number")
    expect(shown.get_by_role("listitem")).to_have_text(
        [
            "Revision A: SX16-0001 to SX16-0412",
            "Revision B: SX16-0420 to SX16-0899",
            "Revision C: SX16-0900 to SX16-1450",
            "Revision D: SX16-1380 and up",
        ]
    )


def test_who_is_still_typing_the_letters_is_not_told_that_it_is_wrong(box: Page) -> None:
    shown = answer(box, "sx")
    expect(shown).to_contain_text("On record are:")
    expect(shown).not_to_contain_text("No revision")


def test_a_number_two_revisions_share_names_both_and_the_marks_that_decide(box: Page) -> None:
    shown = answer(box, "SX16-1402")
    expect(shown.get_by_role("heading")).to_have_text(
        ["Revision C, with quantiser", "Revision D, last series"]
    )
    expect(shown).to_contain_text("used by more than one revision. The marks on the unit decide.")
    expect(shown.get_by_text("It is this one if you see:")).to_have_count(2)
    expect(shown).to_contain_text("toggle switch named Semitones beside the pitch socket")
    expect(shown).to_contain_text("IC9 is a CD4538, sixteen pins, no converter board VQ-6")


def test_an_emptied_field_says_nothing(box: Page) -> None:
    answer(box, "SX16-0500")
    expect(answer(box, "")).to_be_empty()


def test_enter_keeps_the_page_and_the_answer(box: Page) -> None:
    address = box.url
    shown = answer(box, "0500")
    box.keyboard.press("Enter")
    expect(shown.get_by_role("heading")).to_have_count(1)
    assert box.url == address


def test_what_is_typed_is_never_read_as_markup(box: Page) -> None:
    shown = answer(box, "<img src=x onerror=alert(1)>")
    expect(shown.locator("img")).to_have_count(0)


@pytest.mark.parametrize("model", MODELS)
def test_browser_and_python_name_the_same_revisions(
    watched_page: Page, demo: Path, shop: Shop, model: str
) -> None:
    facts = shop.facts[model]
    ranges = [each for of_revision in facts.ranges.values() for each in of_revision]
    serials = made_up_serials(ranges, random.Random(f"serials of the {model}"))
    open_file(watched_page, demo / "models" / f"{model}.html")
    named = watched_page.evaluate(NAMED, serials)
    assert dict(zip(serials, named, strict=True)) == {
        serial: list(facts.revisions_for_serial(serial)) for serial in serials
    }
    assert sum(map(bool, named)) > TRIES / 5, "hardly any of the serials is one"


ODD_RANGES = {
    "digits-first": "16-0001 to 16-0400",
    "number-alone": "0500 to 0900",
    "single": "ABC-77",
    "open-end": "16-0401 and up",
    "open-start": "up to LK 30",
    "long": "Z-100000000000 to Z-999999999999",
}


def test_they_agree_on_ranges_that_no_demo_model_has(watched_page: Page, demo: Path, tmp_path: Path) -> None:
    ranges = {name: parse_serials(text) for name, text in ODD_RANGES.items()}
    write_box(tmp_path / "box.html", ranges, demo / "halfsplit" / "serial.js")
    serials = made_up_serials(list(ranges.values()), random.Random(16))
    serials += ["16", "1600", "016", "16-16", "1616"]
    open_file(watched_page, tmp_path / "box.html")
    named = watched_page.evaluate(NAMED, serials)
    assert dict(zip(serials, named, strict=True)) == {
        serial: [name for name, each in ranges.items() if each.holds(serial)] for serial in serials
    }


def made_up_serials(ranges: Sequence[SerialRange], chance: random.Random) -> list[str]:
    """Numbers at and around each end, spelled in many ways, and whatever else may be typed into a field."""
    made = list(AWKWARD)
    while len(made) < TRIES:
        if chance.random() < 0.15:
            alphabet = ascii_letters + digits + punctuation + "  ßſİ٣🎹"
            made.append("".join(chance.choices(alphabet, k=chance.randint(1, 70))))
        else:
            made.append(spelled(chance.choice(ranges), chance))
    return made


def spelled(serials: SerialRange, chance: random.Random) -> str:
    ends = [end for end in (serials.low, serials.high) if end is not None]
    number = max(0, chance.choice(ends) + chance.choice([-400, -2, -1, 0, 0, 1, 2, 55, 400]))
    written = str(number).zfill(chance.choice([1, 4, 4, 6]))
    prefix = chance.choice([serials.prefix, serials.prefix, serials.prefix.lower(), "", serials.prefix[:-1]])
    between = chance.choice(["-", "", " ", " - ", "/", ".", "#", "no ", "🎹"])
    around = chance.choice(["", "", "", " ", "-", "(", "A"])
    return f"{around}{prefix}{between}{written}{around}"


def write_box(page: Path, ranges: dict[str, SerialRange], script: Path) -> None:
    """A page with nothing but the box, for ranges of our own choice."""
    parts = {"name": "", "href": "", "sight": [], "differences": [], "faults": [], "fault_count": 0}
    revisions = [{"id": name, "ranges": [asdict(each)], **parts} for name, each in ranges.items()]
    data = json.dumps({"model": "Odd", "revisions": revisions})
    page.write_text(
        '<!doctype html><html lang="en"><meta charset="utf-8"><title>Box</title>'
        f'<script src="{script.resolve().as_uri()}" defer></script>'
        '<form data-hs-serial><input aria-label="Serial"><div class="hs-serial-answer"></div>'
        f'<script type="application/json" class="hs-serial-data">{data}</script></form></html>',
        encoding="utf-8",
    )
