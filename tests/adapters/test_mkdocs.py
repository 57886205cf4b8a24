"""The MkDocs plugin: what it does with a good shop, with a bad one, and with odd settings."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest
from mkdocs.exceptions import Abort, PluginError

from halfsplit_mkdocs.plugin import HalfsplitPlugin
from kb.pages.sheet import Desk
from kb.pages.site import _pages
from tests.adapters.making import build_with_mkdocs, configured, files_of, warnings_of_mkdocs
from tests.benches import ONE_BENCH, copied, loaded, small_page
from tests.markup import Markup

HOSTILE = '</title><script>alert(1)</script> & "q" \' {{ 7 * 7 }} {% raw %}'


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The small shop with the theme as it comes: no font, no feature and no colour was chosen."""
    folder = tmp_path_factory.mktemp("site")
    build_with_mkdocs(configured(folder), folder / "site", strict=True)
    return folder / "site"


def test_the_theme_as_it_comes_asks_nobody_for_a_font(site: Path) -> None:
    for path in site.rglob("*.html"):
        text = path.read_text(encoding="utf-8")
        assert "fonts.g" not in text
        assert "preconnect" not in text


def test_pages_carry_the_name_of_the_shop_and_their_own(site: Path) -> None:
    text = (site / "models/pacer.html").read_text(encoding="utf-8")
    assert re.search(r"<title>\s*Pacer - One Bench\s*</title>", text)
    assert "to be replaced" not in text


def test_the_bar_leads_to_every_section_and_marks_where_one_is(site: Path) -> None:
    page = Markup((site / "models/pacer.html").read_text(encoding="utf-8"))
    marked = [attributes for tag, attributes in page.tags if tag == "a" and "aria-current" in attributes]
    assert [each["href"] for each in marked] == ["index.html"]
    for section in ("../index.html", "../symptoms/index.html", "../jobs/index.html"):
        assert section in page.links


def test_markdown_beside_the_shop_is_not_made_a_page(tmp_path: Path) -> None:
    file = configured(tmp_path)
    (tmp_path / "docs" / "private.md").write_text("# Private\n\nnobody should read this\n", encoding="utf-8")
    build_with_mkdocs(file, tmp_path / "site", strict=True)
    for path in (tmp_path / "site").rglob("*"):
        assert "private" not in path.name
        assert not path.is_file() or b"nobody should read this" not in path.read_bytes()


def test_titles_are_text_in_the_frame_too(tmp_path: Path) -> None:
    def with_title(name: str, key: str) -> tuple[str, str]:
        text = (ONE_BENCH / name).read_text(encoding="utf-8")
        line = f"{key}: {json.dumps(HOSTILE)}"
        return name, re.sub(rf"^{key}: .*$", lambda _: line, text, flags=re.MULTILINE)

    files = dict([
        with_title("shop.yml", "name"), with_title("faults/pacer-short-pulse.yml", "title"),
        with_title("models/pacer.yml", "name"), with_title("guides/first-look.md", "title"),
        with_title("parts/one-shot.yml", "name"), with_title("guides/first-look.md", "summary"),
    ])  # fmt: skip
    plain, hostile = tmp_path / "plain", tmp_path / "hostile"
    for folder, changed in ((plain, None), (hostile, files)):
        folder.mkdir()
        build_with_mkdocs(configured(folder, files=changed), folder / "site", strict=True)
    for path in sorted((plain / "site").rglob("*.html")):
        name = path.relative_to(plain / "site")
        text = (hostile / "site" / name).read_text(encoding="utf-8")
        before, after = Markup(path.read_text(encoding="utf-8")), Markup(text)
        assert [tag for tag, _ in before.tags].count("script") == [tag for tag, _ in after.tags].count(
            "script"
        ), name
        frame = [
            shape
            for shape in after.shape
            if shape[0] in ("title", "script", "b", "img", "meta", "nav", "header")
        ]
        assert frame == [shape for shape in before.shape if shape[0] in {each[0] for each in frame}], name
        assert "alert(1)" in text, name
        assert "<script>alert" not in text, name
        assert "&amp;lt;" not in text, f"{name} escapes twice"


def refusal(file: Path) -> str:
    """What the plugin says when it stops a build into `site` beside the file."""
    with pytest.raises(Abort) as raised:
        build_with_mkdocs(file, file.parent / "site")
    assert isinstance(raised.value.__context__, PluginError)
    return str(raised.value.__context__)


def test_every_problem_is_told_and_the_old_site_stays(tmp_path: Path) -> None:
    file = configured(tmp_path)
    build_with_mkdocs(file, tmp_path / "site")
    before = files_of(tmp_path / "site")
    bad = tmp_path / "shop" / "faults" / "loose-lead.yml"
    bad.write_text(bad.read_text(encoding="utf-8") + "colour: red\nminuts: 3\n", encoding="utf-8")
    other = tmp_path / "shop" / "parts" / "belt.yml"
    other.write_text("name: Flat belt\n", encoding="utf-8")
    lines = refusal(file).splitlines()
    assert lines[0] == "halfsplit: 3 found in the records; nothing was written"
    assert [line.split(": ")[0] for line in lines[1:]] == [
        "faults/loose-lead.yml:11:1", "faults/loose-lead.yml:12:1", "parts/belt.yml:1:1",
    ]  # fmt: skip
    assert files_of(tmp_path / "site") == before


def test_a_problem_that_only_a_page_shows_is_told_before_anything_is_written(tmp_path: Path) -> None:
    file = configured(tmp_path, files={"guides/x.md": "---\ntitle: X\nsummary: Y.\n---\n\n[a](fault:none)\n"})
    assert "guides/x.md:6:5: there is no fault" in refusal(file)
    assert not (tmp_path / "site").exists()


def test_another_theme_is_refused(tmp_path: Path) -> None:
    assert "set theme: name: material" in refusal(configured(tmp_path, theme={"name": "mkdocs"}))


ODD = {"cautions": False, "hide": ["mains"], "audience": "customer", "hazards": []}


def test_an_option_that_does_not_exist_is_told_and_takes_no_caution_away(tmp_path: Path) -> None:
    options = {"shop": "shop", **ODD}
    file = configured(tmp_path, plugins=[{"halfsplit": options}], extra={"cautions": False})
    with warnings_of_mkdocs() as warnings:
        build_with_mkdocs(file, tmp_path / "site")
    for name in ODD:
        assert any(f"Unrecognised configuration name: {name}" in line for line in warnings)
    text = (tmp_path / "site/models/pacer.html").read_text(encoding="utf-8")
    assert "hs-caution-mains" in text
    assert "hs-caution-stored-energy" in text


def test_strictly_such_an_option_stops_the_build(tmp_path: Path) -> None:
    file = configured(tmp_path, plugins=[{"halfsplit": {"shop": "shop", "cautions": False}}])
    with pytest.raises(Abort):
        build_with_mkdocs(file, tmp_path / "site", strict=True)


def test_the_only_option_is_where_the_shop_is() -> None:
    plugin = HalfsplitPlugin()
    errors, warnings = plugin.load_config({})
    assert (errors, warnings) == ([], [])
    assert dict(plugin.config) == {"shop": "."}


def test_front_matter_and_macros_in_a_record_are_text(tmp_path: Path) -> None:
    body = (
        "---\ntitle: X\nsummary: Y.\n---\n\ntemplate: main.html\n\n{{ config }} {% include 'base.html' %}\n"
    )
    build_with_mkdocs(configured(tmp_path, files={"guides/x.md": body}), tmp_path / "site", strict=True)
    text = Markup((tmp_path / "site/guides/x.html").read_text(encoding="utf-8")).text
    assert "{{ config }} {% include 'base.html' %}" in text


BUILD = """
import sys
from pathlib import Path
from tests.adapters.making import build_with_mkdocs
build_with_mkdocs(Path(sys.argv[1]), Path(sys.argv[2]), strict=True)
"""


def test_the_same_shop_gives_the_same_bytes_wherever_and_whenever(site: Path, tmp_path: Path) -> None:
    """Another order of hashes, another time zone, another working directory, another place on the disk."""
    folder = tmp_path / "an other place"
    folder.mkdir()
    file = configured(folder, shares_figures=False)
    repository = Path(__file__).parents[2]
    environment = {
        **os.environ, "PYTHONHASHSEED": "4711", "TZ": "Pacific/Kiritimati", "LC_ALL": "C.UTF-8",
        "PYTHONPATH": os.pathsep.join([str(repository), str(repository / "plugins")]),
        "SOURCE_DATE_EPOCH": "86400", "NO_MKDOCS_2_WARNING": "1",
    }  # fmt: skip
    subprocess.run(
        [sys.executable, "-c", BUILD, str(file), str(folder / "site")],
        check=True, cwd=tmp_path, env=environment, capture_output=True,
    )  # fmt: skip
    assert files_of(folder / "site") == files_of(site)


def _many_faults(number: int) -> dict[str, str]:
    return {
        f"faults/many/made-{each:04}.yml": (
            f"title: Made up number {each}\nmodels: {'pacer' if each % 3 else 'lull'}\nblock: supply\n"
            f"symptoms: made up trouble {each} of its own\ncause: Number {each}.\nfix: Replace it.\n"
        )
        for each in range(number)
    }


FIXED = (
    "faults/pacer-short-pulse.html",
    "models/pacer.html",
    "models/pacer/revision-a.html",
    "jobs/index.html",
)


def test_a_page_does_not_grow_with_the_shop(tmp_path: Path) -> None:
    sizes = {}
    for number in (200, 400):
        shop = loaded(copied(tmp_path / str(number), _many_faults(number)))
        pages = {page.path: page.body for page in _pages(Desk(shop, draws=False))}
        sizes[number] = [len(pages[path].encode()) for path in FIXED]
    for path, few, many in zip(FIXED, sizes[200], sizes[400], strict=True):
        assert many == pytest.approx(few, rel=0.02), path


def test_the_frame_of_a_page_does_not_grow_at_all(tmp_path: Path) -> None:
    frames = {}
    for number in (10, 60):
        folder = tmp_path / str(number)
        folder.mkdir()
        build_with_mkdocs(configured(folder, files=_many_faults(number)), folder / "site")
        text = (folder / "site/guides/for-owners.html").read_text(encoding="utf-8")
        body = small_page("guides/for-owners.html").body
        assert body in text
        frames[number] = text.replace(body, "")
    assert frames[10] == frames[60]
