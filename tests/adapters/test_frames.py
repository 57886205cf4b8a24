"""A site framed by stand-ins is the site that MkDocs makes page by page, byte for byte."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

import halfsplit_mkdocs.plugin
from halfsplit_mkdocs.frames import Frame, stand_ins
from kb.pages import Heading, Page, Section
from tests.adapters.making import build_with_mkdocs, configured, files_of

HOSTILE = "</title> <b>&amp;  \"q\" 'q' {{ 7 * 7 }} {% raw %} hsmark \\1 ¼ x"

SETTINGS: dict[str, dict[str, Any]] = {
    "as it comes": {},
    "with an address": {"site_url": "https://bench.example/shop/", "site_description": "A bench & more"},
    "with a place to edit": {
        "repo_url": "https://bench.example/shop",
        "edit_uri": "edit/",
        "theme": {
            "name": "material",
            "language": "de",
            "features": ["content.action.edit", "navigation.tabs"],
        },
    },
}


def page_by_page(file: Path, site: Path) -> None:
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(halfsplit_mkdocs.plugin, "_is_ours_alone", lambda _: False)
        build_with_mkdocs(file, site, strict=True)


@pytest.mark.parametrize("settings", SETTINGS.values(), ids=SETTINGS)
def test_stand_ins_give_the_same_bytes(tmp_path: Path, settings: dict[str, Any]) -> None:
    fault = (
        f"title: |-\n  {HOSTILE}\nmodels: pacer\nblock: supply\nsymptoms: |-\n  {HOSTILE}\n"
        "cause: One.\nfix: Two.\n"
    )
    text = f"## {HOSTILE}\n\n### Below\n\n## Twice\n\n## Twice\n"
    guide = f"---\ntitle: |-\n  {HOSTILE}\nsummary: Short.\n---\n\n{text}"
    file = configured(tmp_path, files={"faults/odd.yml": fault, "guides/odd.md": guide}, **settings)
    pages = build_with_mkdocs(file, tmp_path / "site", strict=True)
    page_by_page(file, tmp_path / "each")
    assert files_of(tmp_path / "site") == files_of(tmp_path / "each")
    assert len(stand_ins(pages.pages, pages.sections)) < len(pages.pages)
    text = (tmp_path / "site/faults/odd.html").read_text(encoding="utf-8")
    assert "hsmark7" not in text


def test_no_stand_in_is_left_in_the_site(tmp_path: Path) -> None:
    pages = build_with_mkdocs(configured(tmp_path), tmp_path / "site", strict=True)
    found = {path.relative_to(tmp_path / "site").as_posix() for path in (tmp_path / "site").rglob("*.html")}
    assert found == {page.path for page in pages.pages}


def test_nobody_hears_of_stand_ins(tmp_path: Path, caplog: pytest.LogCaptureFixture) -> None:
    caplog.set_level("INFO", "mkdocs")
    build_with_mkdocs(configured(tmp_path), tmp_path / "site", strict=True)
    assert "Documentation built" in caplog.text
    assert "Page skipped" not in caplog.text


def page(path: str, *levels: int, summary: str = "") -> Page:
    headings = tuple(Heading(level, f"a{place}", f"T{place}") for place, level in enumerate(levels))
    return Page(path, "Title", "fault", "<p>body</p>", summary, headings)


def test_pages_of_one_form_share_a_stand_in() -> None:
    sections = (Section("Faults", "faults/index.html"),)
    pages = [
        page("faults/index.html"),
        page("faults/belt.html", 2, 3),
        page("faults/lamp.html", 2, 3),
        page("faults/lamp-2.html", 2, 3, summary="told"),
        page("faults/fuse.html", 2, 2),
        page("models/a/bench.html", 2, 3),
        page("models/b/bench.html", 2, 3),
        page("models/b.html", 2, 3),
        page("faults/ä.html", 2, 3),
    ]
    found = stand_ins(pages, sections)
    assert len(found) == 7
    assert len({each.path for each in found.values()}) == 7
    assert {"faults/index.html", "faults/ä.html"} <= {each.path for each in found.values()}


def test_a_frame_is_filled_with_the_words_of_its_page() -> None:
    first = page("models/a/bench.html", 2, 3, summary="of a")
    (stand_in,) = stand_ins([first], ()).values()
    heads = [f"{each.anchor}={each.text}" for each in stand_in.headings]
    frame = Frame.of("|".join([stand_in.path, stand_in.title, stand_in.summary, *heads, stand_in.body]))
    other = Page(
        "models/b/end.html", "B & b", "model", "<p>hs0marktitleend</p>", "of b",
        (Heading(2, "x", "<X>"), Heading(3, "y", "Y")),
    )  # fmt: skip
    assert frame.around(other) == (
        "models/b/end.html|B &amp; b|of b|x=&lt;X&gt;|y=Y|"
        '<div class="hs-page hs-kind-model" id="hs-main">\n<p>hs0marktitleend</p>\n</div>'
    )
