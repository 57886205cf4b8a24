"""Every page that names or declares a danger shows its caution above the step; nothing takes one away."""

from __future__ import annotations

import inspect
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from kb.pages import Page, build_site
from kb.pages.sheet import Desk
from kb.pages.site import _pages
from kb.records import HAZARD_IDS
from kb.safety import DEFERENCE, Cautions, hazards, hazards_named
from kb.shop import Shop
from tests.benches import copied, demo_shop, edited, found_in, guide_text, loaded, small_shop
from tests.markup import Markup
from tests.pages.rewriting import line_fields, rewritten

ASIDE = re.compile(r'<aside class="hs-caution hs-caution-([a-z-]+)".*?</aside>', re.DOTALL)


def shown(body: str) -> list[str]:
    """The hazards whose cautions a page shows, in order."""
    return ASIDE.findall(body)


def pages_of(shop: Shop) -> dict[str, Page]:
    return {page.path: page for page in _pages(Desk(shop, draws=False))}


def page_of(folder: Path, path: str) -> str:
    return pages_of(loaded(folder))[path].body


# Named by the words of a page


@pytest.mark.parametrize(("hazard", "word"), [(each.id, each.words[0]) for each in hazards().values()])
def test_a_step_that_names_a_danger_has_its_caution_above_it(hazard: str, word: str) -> None:
    html, problems, _ = guide_text(
        f"First, look.\n\nThen see to the {word} with care.\n\nLast, write it down."
    )
    assert problems == []
    assert shown(html) == [hazard]
    assert html.index("First, look") < html.index("<aside") < html.index("Then see to")


def test_every_word_of_the_table_calls_its_caution_on_a_page() -> None:
    words = [(hazard.id, word) for hazard in hazards().values() for word in hazard.words]
    body = "\n\n".join(f"- about {word}" for _, word in words)
    html, _, _ = guide_text(body)
    assert set(shown(html)) == set(HAZARD_IDS)
    for hazard, word in words[:: max(1, len(words) // 25)]:
        assert hazard in shown(guide_text(f"See to the {word}.")[0]), word


NOT_STEPS = {
    "ShopCard.currency", "ShopCard.local_code", "ShopCard.name", "ShopCard.place",
    "Fault.sources", "Model.sources", "Part.sources", "GuideHead.sources", "Part.kept_in", "Part.price",
    "Job.customer", "Job.outside_because", "Model.maker", "Model.kind", "Model.years", "Revision.years",
    "CheckOutcome.reading", "FinalTest.reading", "Reservoir.name",
}  # fmt: skip
"""Lines that tell no work and name no part to touch: who, when, where from.

A reservoir's own name always stands below the caution that its page declares.
"""

TITLES = {
    "Fault.title": "faults/pacer-short-pulse.html",
    "Fault.symptoms": "faults/pacer-short-pulse.html",
    "Model.name": "models/pacer.html",
    "Revision.name": "models/pacer/revision-b.html",
    "Block.name": "models/pacer/block-clock.html",
    "Part.name": "parts/one-shot.html",
    "Part.kind": "parts/one-shot.html",
    "Part.package": "parts/one-shot.html",
    "GuideHead.title": "guides/first-look.html",
    "GuideHead.summary": "guides/first-look.html",
    "Job.complaint": "jobs/2026-pacer-0007.html",
}
"""Lines that stand at the very top of a page, where the caution follows at once."""

RECORD_PAGES = ("model", "revision", "block", "fault", "part", "guide", "job", "unit", "trims")


@pytest.mark.parametrize("field", sorted(line_fields() - NOT_STEPS - set(TITLES)))
def test_each_line_of_a_record_is_looked_at(field: str) -> None:
    """A word in any line of a record calls the caution on the record's own page, above the word."""
    word = "accumulator pack"
    shop = rewritten(small_shop(), lambda name: f"{word} 7" if name == field else f"plain {name} 7")
    naming = {
        path: page.body
        for path, page in pages_of(shop).items()
        if page.kind in RECORD_PAGES and word in Markup(_own_words(page.body)).text
    }
    assert naming, "no page shows this line"
    for path, body in naming.items():
        assert "batteries" in shown(body), path
        above = body.index('class="hs-caution hs-caution-batteries"')
        assert word not in Markup(_own_words(body[:above])).text, path


@pytest.mark.parametrize(("field", "path"), TITLES.items())
def test_a_title_calls_its_caution_before_the_page_begins(field: str, path: str) -> None:
    shop = rewritten(small_shop(), lambda name: "accumulator pack" if name == field else f"plain {name} 7")
    body = pages_of(shop)[path].body
    assert "batteries" in shown(body)
    step = re.search(r"<ol|<dl|<table|<h2(?! id=\"symptoms)", body)
    assert step
    assert body.index("hs-caution-batteries") < step.start()


def _own_words(body: str) -> str:
    """A page without its titles and without what other records lend it: lists, links, serial data."""
    for pattern in (
        r'<p class="hs-(?:eyebrow|lead)">.*?</p>', r"<h([12])[^>]*>.*?</h\1>", r"<script.*?</script>",
        r'<ul class="hs-(?:faults|symptoms)">.*?</ul>', r"<a [^>]*>.*?</a>", r"<thead>.*?</thead>",
        r'<aside class="hs-sibling".*?</aside>', r"<details.*?</details>", r"<input[^>]*>",
    ):  # fmt: skip
        body = re.sub(pattern, "", body, flags=re.DOTALL)
    return body


@pytest.mark.parametrize(
    ("body", "hazard"),
    [
        ("```\nthe mains fuse\n```", "mains"),
        ("> the mains fuse", "mains"),
        ("- one\n- two\n    - the `mains` side", "mains"),
        ("| a |\n| --- |\n| the fuse |", "mains"),
        ("the **ma**ins side", "mains"),
        ("the\nreservoir\ncapacitor", "stored-energy"),
        ("[the fuse](https://example.org/)", "mains"),
        ("![the fuse](photos/pacer.png)", None),
        ("```calc\nabout: the bleeder\ntempo: {bpm: 120 BPM}\n```", "stored-energy"),
    ],
)
def test_words_are_found_wherever_they_stand_in_a_text(body: str, hazard: str | None) -> None:
    assert shown(guide_text(body)[0]) == ([hazard] if hazard else [])


def test_below_a_heading_that_names_it_and_above_the_first_step() -> None:
    html, _, _ = guide_text("## The mains side\n\nFirst step.\n\n## More\n\nSecond.")
    assert html.index("The mains side") < html.index("<aside") < html.index("First step")


def test_a_caution_stands_once_on_a_page_at_the_first_place(tmp_path: Path) -> None:
    folder = edited(
        tmp_path / "shop", "faults/pacer-short-pulse.yml",
        ("R7 is 10k. The receiver", "The fuse is fine. The receiver"),
        ("Change R7 to 33k.", "Unplug the fuse holder."),
    )  # fmt: skip
    body = page_of(folder, "faults/pacer-short-pulse.html")
    assert shown(body).count("mains") == 1
    assert body.index('id="cause"') < body.index("hs-caution-mains") < body.index("The fuse is fine")


def test_of_several_steps_each_has_its_own_above_it(tmp_path: Path) -> None:
    folder = edited(
        tmp_path / "shop", "faults/pacer-short-pulse.yml",
        ("Check the capacitor C3 first; it has to be 1 uF.", "Take the battery out."),
        ("Change R7 to 33k.", "Solder the new one in."),
    )  # fmt: skip
    body = page_of(folder, "faults/pacer-short-pulse.html")
    places = [body.index(each) for each in
              ("hs-caution-batteries", "Take the bat", "hs-caution-chemicals", "Solder the")]  # fmt: skip
    assert places == sorted(places)


def test_the_page_says_what_called_for_it() -> None:
    html, _, _ = guide_text("Mind the Fuse.")
    assert "Shown because the text names “Fuse”." in html


# Declared by a record


@pytest.mark.parametrize("hazard", HAZARD_IDS)
def test_what_a_fault_declares_stands_above_everything(tmp_path: Path, hazard: str) -> None:
    folder = edited(
        tmp_path / "shop", "faults/lull-belt-slips.yml", ("audience: customer", f"hazards: [{hazard}]")
    )  # fmt: skip
    body = page_of(folder, "faults/lull-belt-slips.html")
    assert hazard in shown(body)
    assert body.index(f"hs-caution-{hazard}") < body.index('id="symptoms"')


DECLARED = [
    ("block", "models/lull/block-motor.html", "sharp-or-heavy", 'id="checks"'),
    ("block, on its fault", "faults/lull-belt-slips.html", "sharp-or-heavy", 'id="symptoms"'),
    ("check", "models/lull.html", "sharp-or-heavy", "time one turn"),
    ("model", "models/lull.html", "mains", 'id="serial"'),
    ("model, on its revision", "models/lull/revision-a.html", "mains", 'id="differs"'),
    ("model, on its job", "jobs/2026-lull-0950.html", "mains", 'id="findings"'),
    ("guide", "guides/first-look.html", "chemicals", "Look at the outside"),
    ("supply with reservoirs", "models/pacer.html", "stored-energy", "C1: 1"),
    ("block that is declared to hold energy", "models/pacer/block-supply.html", "stored-energy", "Makes 5 V"),
]


@pytest.mark.parametrize(("by", "path", "hazard", "above"), DECLARED)
def test_what_is_declared_is_shown_above_the_work(by: str, path: str, hazard: str, above: str) -> None:
    del by
    body = pages_of(small_shop())[path].body
    assert hazard in shown(body)
    assert body.index(f"hs-caution-{hazard}") < body.index(above)


def test_a_check_of_a_fault_has_the_caution_its_check_declares(tmp_path: Path) -> None:
    do = "    do: measure the pulse at IC1 pin 13\n"
    folder = edited(tmp_path / "shop", "models/pacer.yml", (do, do + "    hazards: [hot-parts]\n"))
    body = page_of(folder, "faults/pacer-short-pulse.html")
    assert body.index('id="checks"') < body.index("hs-caution-hot-parts") < body.index("measure the pulse")


# What every caution holds


def cautions_of_both_shops() -> Iterator[tuple[str, str]]:
    for shop in (small_shop(), demo_shop()):
        for path, page in pages_of(shop).items():
            for match in ASIDE.finditer(page.body):
                yield path, match[0]


def test_every_caution_gives_way_to_local_codes_and_licensed_practice() -> None:
    found = list(cautions_of_both_shops())
    assert len(found) > 100
    for path, html in found:
        text = Markup(html).text
        assert DEFERENCE in text, path
        assert "Caution" in text, path


def test_every_caution_names_the_local_code_of_the_shop() -> None:
    html, _, _ = guide_text("Mind the fuse.")
    assert "Here: the wiring rules of the place" in html


def test_a_check_of_another_block_takes_no_caution_from_this_one(tmp_path: Path) -> None:
    """The page of a block shows its own checks; those before them in the record must not count."""
    rail = "    do: measure the logic rail at TP1"
    pulse = "    do: measure the pulse at IC1 pin 13"
    changes = [(do, f"{do}, by the battery") for do in (rail, pulse)]
    folder = edited(tmp_path / "shop", "models/pacer.yml", *changes)
    for block in ("supply", "clock"):
        body = page_of(folder, f"models/pacer/block-{block}.html")
        assert body.index("hs-caution-batteries") < body.index("by the battery")


def test_no_page_of_either_shop_names_a_danger_in_its_prose_without_the_caution() -> None:
    for shop in (small_shop(), demo_shop()):
        for path, page in pages_of(shop).items():
            if page.kind not in (*RECORD_PAGES, "handbook"):
                continue
            own = _own_words(ASIDE.sub("", page.body))
            paragraphs = " \n ".join(re.findall(r"<p>(.*?)</p>", own, re.DOTALL))
            named = {each.hazard for each in hazards_named(Markup(paragraphs).text)}
            assert named <= set(shown(page.body)), path


# The capacitors of the unit on the bench


def rows(body: str) -> list[list[str]]:
    table = re.search(r'<table class="hs-stored">.*?</table>', body, re.DOTALL)
    cells = re.findall(r"<tr><th.*?</tr>", table[0] if table else "", re.DOTALL)
    return [
        [Markup(cell).text for cell in re.findall(r"<t[hd].*?</t[hd]>", row, re.DOTALL)] for row in cells
    ][1:]


def test_stored_energy_is_told_of_the_records_own_capacitors() -> None:
    first, second = rows(pages_of(small_shop())["models/pacer.html"].body)
    # 1500 uF at 60 V; 10.5 kohm x 1500 uF x ln(60 / 42.4)
    assert first == ["C1: 1000\u00a0µF -20/+50\u00a0% at 60\u00a0V", "2.7\u00a0J", "10\u00a0kΩ",
                     "5.47\u00a0s until 42.4\u00a0V, then measure"]  # fmt: skip
    assert second[0] == "C2: 470\u00a0µF at 24\u00a0V"
    assert second[2:] == ["none", "below 42.4\u00a0V from the start; it can still burn a track or a ring"]


def test_a_page_of_one_revision_tells_of_the_capacitors_on_it_alone() -> None:
    fault = pages_of(small_shop())["faults/pacer-bleeder-open.html"].body
    assert [row[0][:2] for row in rows(fault)] == ["C1", "C2"]
    block = "    hazards: [mains, stored-energy]"
    assert block in (small_shop().root / "models/pacer.yml").read_text(encoding="utf-8")
    only_a = pages_of(small_shop())["faults/loose-lead.html"].body
    assert [row[0][:2] for row in rows(only_a)] == ["C1"]


def test_no_bleeder_is_said_in_strong_words(tmp_path: Path) -> None:
    folder = edited(tmp_path / "shop", "models/pacer.yml", ("      bleeder: 10k\n", ""))
    (row, _) = rows(page_of(folder, "models/pacer.html"))
    assert row[2:] == ["none", "no bleeder: it stays charged. Discharge through a resistor, then measure"]


# Nothing takes one away

BANG = "title: A fault\nmodels: pacer\nblock: supply\nsymptoms: a bang\ncause: The fuse blew.\nfix: Ask.\n"


def test_no_function_on_the_way_to_a_page_can_be_asked_to_leave_one_out() -> None:
    for function in (build_site, Cautions.before, Cautions.__init__, Desk.__init__, hazards, hazards_named):
        for name in inspect.signature(inspect.unwrap(function)).parameters:
            assert not re.search(r"caution|hazard|danger|safe|hid|omit|skip|without|quiet|only", name), (
                function
            )


@pytest.mark.parametrize("key", ["cautions: false", "no_cautions: true", "hazards: none", "hazards: [none]"])
def test_a_key_of_a_record_that_would_take_one_away_is_refused(tmp_path: Path, key: str) -> None:
    folder = copied(tmp_path / "shop", {"faults/a-fault.yml": f"{BANG}{key}\n"})
    assert any(each.startswith("faults/a-fault.yml:7:") for each in found_in(folder))


def test_declaring_nothing_takes_nothing_away(tmp_path: Path) -> None:
    folder = copied(tmp_path / "shop", {"faults/a-fault.yml": f"{BANG}hazards: []\n"})
    assert {"mains", "stored-energy"} <= set(shown(page_of(folder, "faults/a-fault.html")))


def test_a_page_asks_for_each_danger_once_whatever_the_order() -> None:
    cautions = Cautions()
    first = cautions.before("the fuse", declared=["batteries"])
    again = cautions.before("the fuse and the battery and the flywheel")
    assert [each.hazard.id for each in first] == ["mains", "batteries"]
    assert [each.hazard.id for each in again] == ["sharp-or-heavy"]
    assert [each.reason for each in first] == ["the text names “fuse”", "declared for this work"]


def test_a_declared_hazard_that_is_unknown_is_refused(tmp_path: Path) -> None:
    folder = edited(tmp_path / "shop", "models/lull.yml", ("hazards: [mains]", "hazards: [main]"))
    with pytest.raises(AssertionError, match='did you mean "mains"'):
        loaded(folder)


STYLES = ("kb/pages/assets", "plugins/halfsplit_mkdocs", "plugins/halfsplit_plain")
HIDING = (
    "display:none",
    "visibility:hidden",
    "opacity:0",
    "clip-path",
    "height:0",
    "font-size:0",
    "content-visibility",
)


def rules(css: str) -> Iterator[tuple[str, str]]:
    """Selectors and declarations of a style sheet, those inside @media too."""
    css = re.sub(r"/\*.*?\*/", "", css, flags=re.DOTALL)
    for match in re.finditer(r"([^{}]+)\{([^{}]*)\}", css):
        yield match[1].strip(), match[2].replace(" ", "")


@pytest.mark.parametrize("folder", STYLES)
def test_no_style_hides_a_caution_on_the_screen_or_in_print(repository: Path, folder: str) -> None:
    files = list((repository / folder).rglob("*.css"))
    assert files
    found: list[Any] = [
        (file.name, selector)
        for file in files
        for selector, declared in rules(file.read_text(encoding="utf-8"))
        if any(hiding in declared for hiding in HIDING)
        and re.search(
            r"caution|hs-stored(?! thead)|(?:^|[\s,>])(?:aside|ul|li|p|table|\*)(?=$|[\s,:])", selector
        )
    ]
    assert found == []
