"""Links in prose to records and pictures: where they lead, their words, and what is told of a miss."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from kb.pages import relative
from tests.benches import BODY_LINE, body_of, copied, edited, found_in, guide_text, loaded
from tests.markup import Markup

LINKS = {
    "model:pacer": ("../models/pacer.html", "Pacer"),
    "revision:pacer/b": ("../models/pacer/revision-b.html", "Pacer, revision B"),
    "block:pacer/clock": ("../models/pacer/block-clock.html", "Pacer: Clock"),
    "fault:pacer-warm-stop": ("../faults/pacer-warm-stop.html", "Stops when warm on the second series"),
    "part:one-shot": ("../parts/one-shot.html", "74LS123"),
    "guide:for-owners": ("for-owners.html", "Looking after it"),
    "handbook:reading-a-pulse": ("../handbook/reading-a-pulse.html", "Reading a pulse"),
    "job:2026-pacer-0007": ("../jobs/2026-pacer-0007.html", "Job 2026-pacer-0007"),
}


@pytest.mark.parametrize(("link", "found"), LINKS.items())
def test_a_link_names_a_kind_and_an_id(link: str, found: tuple[str, str]) -> None:
    html, problems, _ = guide_text(f"See [our words]({link}) and [*more*]({link}).")
    assert problems == []
    assert f'<a href="{found[0]}">our words</a>' in html
    assert f'<a href="{found[0]}"><em>more</em></a>' in html


@pytest.mark.parametrize(("link", "found"), LINKS.items())
def test_a_link_without_words_takes_the_title(link: str, found: tuple[str, str]) -> None:
    html, problems, _ = guide_text(f"See []({link}).")
    assert problems == []
    assert f'<a href="{found[0]}">{found[1]}</a>' in html


MISSES = {
    "modl:pacer": 'the link "modl:pacer" leads nowhere; did you mean "model"?',
    "model:pacr": 'there is no model "pacr"; did you mean "pacer"?',
    "revision:pacer/c": 'there is no revision "pacer/c"; did you mean "pacer/',
    "revision:pacer": 'there is no revision "pacer"; did you mean "pacer/',
    "block:pacer/clok": 'there is no block "pacer/clok"; did you mean "pacer/clock"?',
    "fault:pacer-warm-stops": 'there is no fault "pacer-warm-stops"; did you mean "pacer-warm-stop"?',
    "part:oneshot": 'there is no part "oneshot"; did you mean "one-shot"?',
    "guide:first-looks": 'there is no guide "first-looks"; did you mean "first-look"?',
    "handbook:reading-pulse": 'there is no handbook "reading-pulse"; did you mean "reading-a-pulse"?',
    "job:2026-pacer-0008": 'there is no job "2026-pacer-0008"; did you mean "2026-pacer-0007"?',
    "fault:": 'there is no fault ""; known are: ',
}


@pytest.mark.parametrize(("link", "what"), MISSES.items())
def test_a_link_that_misses_is_told_with_what_is_near(link: str, what: str) -> None:
    _, problems, _ = guide_text(f"First line.\n\nSee [this]({link}).")
    assert len(problems) == 1
    assert problems[0].startswith(f"guides/g.md:{BODY_LINE + 2}:12: {what}")


def test_of_several_links_each_is_told_in_its_own_place() -> None:
    body = "[a](fault:no) and [b](fault:no) and\n[c](fault:no-more) [d](fault:no)\n\n[e]\n\n[e]: fault:no"
    places = [each.split(": ")[0].removeprefix("guides/g.md:") for each in guide_text(body)[1]]
    first = BODY_LINE
    assert places == [f"{first}:5", f"{first}:23", f"{first + 1}:5", f"{first + 1}:24", f"{first + 5}:6"]


def test_in_a_block_text_the_place_is_that_of_the_link(tmp_path: Path) -> None:
    before = "  The one-shot gives up above 40 degC. See [](part:one-shot)."
    after = "  It stops.\n\n  See [](part:two-shot)."
    folder = edited(tmp_path / "shop", "faults/pacer-warm-stop.yml", (before, after))
    assert [each.split(": ")[0] for each in found_in(folder)] == ["faults/pacer-warm-stop.yml:9:10"]


@pytest.mark.parametrize("field", ["cause: See [](part:two-shot).", "cause: >\n  See\n  [](part:two-shot)."])
def test_in_a_plain_or_folded_text_the_place_is_that_of_the_field(tmp_path: Path, field: str) -> None:
    text = f"title: A fault\nmodels: pacer\nblock: clock\nsymptoms: something\n{field}\nfix: This.\n"
    problems = found_in(copied(tmp_path / "shop", {"faults/a-fault.yml": text}))
    assert [each.split(": ")[0] for each in problems] == ["faults/a-fault.yml:5:8"]


GUIDE = "---\ntitle: A\nsummary: B.\n---\n\n## First part\n\n"


@pytest.mark.parametrize(
    ("link", "what"),
    [
        ("#first-part", None),
        ("#frist-part", 'there is no heading "#frist-part" there; did you mean "first-part"?'),
        ("fault:pacer-warm-stop#cause", None),
        ("fault:pacer-warm-stop#caus", 'there is no heading "#caus" there; did you mean "cause"?'),
        ("model:pacer#signal-flow", None),
        ("handbook:reading-a-pulse#edges", 'there is no heading "#edges" there'),
    ],
)
def test_a_heading_that_a_link_names_is_there(tmp_path: Path, link: str, what: str | None) -> None:
    problems = found_in(copied(tmp_path / "shop", {"guides/a.md": f"{GUIDE}See [it]({link}).\n"}))
    assert [each.partition(": ")[2][: len(what or "")] for each in problems] == ([what] if what else [])
    assert [each.split(": ")[0] for each in problems] == (["guides/a.md:8:10"] if what else [])


def test_headings_in_prose_of_a_record_take_no_id_of_the_page(tmp_path: Path) -> None:
    text = (
        "title: A fault\nmodels: pacer\nblock: clock\nsymptoms: something\n"
        "cause: |\n  ## Cause\n\n  See [above](#cause) and [the cure](#fix).\n"
        "fix:\n  - |\n    ## Test\n\n    One.\n  - |\n    ## Test\n\n    Two.\n"
    )
    folder = copied(tmp_path / "shop", {"faults/a-fault.yml": text})
    assert found_in(folder) == []
    body = body_of(loaded(folder), "faults/a-fault.html")
    ids = re.findall(r'<h2 id="([^"]*)"', body)
    assert len(ids) == len(set(ids))
    assert ids[1:6] == ["cause", "cause-cause", "fix", "fix-0-test", "fix-1-test"]
    assert '<a href="#cause-cause">above</a>' in body
    assert '<a href="#fix">the cure</a>' in body


def test_a_picture_is_one_of_the_shop_and_has_words() -> None:
    html, problems, sheet = guide_text("![The front](photos/pacer.png)")
    assert problems == []
    image = dict(Markup(html).tags)["img"]
    assert image == {"src": "../photos/pacer.png", "alt": "The front"}
    assert sheet.desk.pictures == {"photos/pacer.png"}


ELSEWHERE = (
    "photos/pacr.png", "pacr.png", "https://example.org/x.png", "photos/../shop.yml", "../shop.yml",
    "data:image/png;base64,AA", "/photos/pacer.png",
)  # fmt: skip


@pytest.mark.parametrize("source", ELSEWHERE)
def test_a_picture_that_is_not_there_is_told_and_not_shown(source: str) -> None:
    html, problems, sheet = guide_text(f"Text.\n\n![The front]({source})")
    assert len(problems) == 1
    assert problems[0].startswith(f'guides/g.md:{BODY_LINE + 2}:14: there is no picture "{source}"')
    assert "src" not in html
    assert sheet.desk.pictures == set()


def test_a_picture_without_words_is_told() -> None:
    _, problems, _ = guide_text("![](photos/pacer.png)")
    what = 'the picture "photos/pacer.png" has no words for those who cannot see it'
    assert [each.split("; ")[0] for each in problems] == [f"guides/g.md:{BODY_LINE}:5: {what}"]


@pytest.mark.parametrize(
    ("target", "page", "link"),
    [
        ("index.html", "index.html", "index.html"),
        ("faults/a.html", "faults/b.html", "a.html"),
        ("models/a.html", "models/a/block-b.html", "../a.html"),
        ("models/a/block-b.html#x", "faults/c.html", "../models/a/block-b.html#x"),
        ("#x", "faults/c.html", "#x"),
    ],
)
def test_a_link_is_relative_to_its_page(target: str, page: str, link: str) -> None:
    assert relative(target, page) == link
