"""The customers' site in a real browser: from disk, from any address, on any width, with hostile records."""

from __future__ import annotations

import re
import shutil
from dataclasses import replace
from html import unescape
from pathlib import Path

import pytest
from click.testing import CliRunner
from playwright.sync_api import Browser, Page, expect

from kb.audience import select
from kb.audience.attaching import Attachments
from kb.cli.main import main
from kb.pages.public import public_site
from tests.audience.public_bench import read_public_bench, write_public_bench
from tests.browser.measuring import cut_off, faint_text
from tests.browser.serving import SiteServers
from tests.browser.test_accessibility import broken_rules
from tests.browser.watching import WIDTHS, open_file, overflows, use_dark, use_print, use_width
from tests.pages.rewriting import rewritten
from tests.pages.test_text_is_text import HOSTILE

GUIDE = "guides/for-owners.html"
FAULT = "faults/lull-socket.html"
PAGES = ("index.html", GUIDE, FAULT, "models/lull.html", "parts/belt.html")


@pytest.fixture(scope="session")
def shop_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return write_public_bench(tmp_path_factory.mktemp("published") / "shop")


@pytest.fixture(scope="session")
def published(shop_folder: Path) -> Path:
    """The customers' site of a small shop that has a picture, a figure and calculations."""
    target = shop_folder.parent / "a place with spaces" / "site"
    done = CliRunner().invoke(main, ["publish", str(shop_folder), "--to", str(target)])
    assert done.exit_code == 0, done.output
    return target


@pytest.fixture(scope="session")
def published_demo(demo_content: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    target = tmp_path_factory.mktemp("demo") / "site"
    done = CliRunner().invoke(main, ["publish", str(demo_content), "--to", str(target)])
    assert done.exit_code == 0, done.output
    return target


@pytest.fixture(scope="session", params=[HOSTILE[:12], HOSTILE[12:]], ids=["first", "second"])
def hostile(
    request: pytest.FixtureRequest, shop_folder: Path, tmp_path_factory: pytest.TempPathFactory
) -> Path:
    """The same site with hostile text in every line, and in the prose whatever Markdown might let through."""
    shop = rewritten(read_public_bench(shop_folder), lambda field: " ".join((field, *request.param)))
    guide = shop.guides["for-owners"]
    lines = [each for each in HOSTILE if "](" not in each and "```" not in each]
    body = "\n\n".join(("## How fast", *lines, "<script>alert(2)</script>", "<b onclick=alert(3)>b</b>"))
    record = guide.record.model_copy(update={"body": body})
    shop = replace(shop, guides={**shop.guides, "for-owners": replace(guide, record=record)})
    made, problems = public_site(select(shop), Attachments(shop.root, shop.data_files))
    assert made is not None, problems
    target = tmp_path_factory.mktemp("hostile")
    for file in made.files:
        (target / file.path).parent.mkdir(parents=True, exist_ok=True)
        (target / file.path).write_bytes(file.content)
    return target


def html_files(folder: Path) -> list[Path]:
    return sorted(folder.rglob("*.html"))


def test_every_page_of_the_demo_opens_from_disk(watched_page: Page, published_demo: Path) -> None:
    paths = html_files(published_demo)
    assert len(paths) == 12
    for path in paths:
        open_file(watched_page, path)
        expect(watched_page.locator("h1")).to_have_count(1)


@pytest.mark.parametrize("path", PAGES)
def test_pages_open_from_disk_and_from_any_address(
    watched_page: Page, published: Path, site_server: SiteServers, path: str
) -> None:
    root = site_server(published.parent.parent)
    for address in ((published / path).as_uri(), f"{root}a%20place%20with%20spaces/site/{path}"):
        watched_page.goto(address)
        background = "getComputedStyle(document.querySelector('.hs-bar')).borderBottomWidth"
        assert watched_page.evaluate(background) == "3px"  # the style sheets came along
        broken = watched_page.evaluate("[...document.images].filter(each => !each.naturalWidth).length")
        assert broken == 0


@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
@pytest.mark.parametrize("width", WIDTHS)
def test_pages_fit_every_width_in_both_colours(
    watched_page: Page, published: Path, width: int, dark: bool
) -> None:
    use_width(watched_page, width)
    if dark:
        use_dark(watched_page)
    for path in PAGES:
        open_file(watched_page, published / path)
        assert not overflows(watched_page), path
        assert not cut_off(watched_page), path
        assert not faint_text(watched_page)[0], path


def test_no_page_breaks_a_rule_of_accessibility(watched_page: Page, published: Path) -> None:
    for path in PAGES:
        open_file(watched_page, published / path)
        assert not broken_rules(watched_page), path


def test_paper_has_the_text_and_the_cautions_and_no_ground(watched_page: Page, published: Path) -> None:
    use_print(watched_page)
    open_file(watched_page, published / GUIDE)
    expect(watched_page.locator(".hs-caution").first).to_be_visible()
    expect(watched_page.locator(".hs-skip")).to_be_hidden()
    ground = "getComputedStyle(document.querySelector('.hs-bar')).backgroundColor"
    assert watched_page.evaluate(ground) == "rgba(0, 0, 0, 0)"


def test_links_lead_to_pages_that_are_there(published: Path) -> None:
    for path in html_files(published):
        for href in re.findall(r'(?:href|src)="([^"#]*)', path.read_text(encoding="utf-8")):
            if href and not href.startswith(("http:", "https:", "mailto:")):
                assert (path.parent / unescape(href)).is_file(), (path.name, href)


def test_nothing_is_written_into_a_page_that_could_run_or_dress_it(published: Path) -> None:
    for path in html_files(published):
        text = path.read_text(encoding="utf-8")
        assert not re.search(r"<[^>]*\s(?:style|on\w+)=", text), path.name
        assert "<style" not in text
        for tag in re.findall(r"<script[^>]*>", text):
            assert "src=" in tag or 'type="application/json"' in tag
        policy = unescape(re.findall(r'Content-Security-Policy" content="([^"]*)"', text)[0])
        assert "unsafe" not in policy
        assert policy.startswith("default-src 'none'; script-src 'self'; style-src 'self';")


def test_figures_keep_their_looks_without_styles_in_the_page(watched_page: Page, published: Path) -> None:
    open_file(watched_page, published / GUIDE)
    figure = watched_page.locator("figure.hs-figure svg")
    expect(figure).to_have_count(1)
    strokes = figure.evaluate(
        "svg => new Set([...svg.querySelectorAll('path')].map(each => getComputedStyle(each).stroke)).size"
    )
    assert strokes > 2


def test_a_calculation_can_be_changed_on_the_page(watched_page: Page, published: Path) -> None:
    open_file(watched_page, published / GUIDE)
    calculation = watched_page.locator(".hs-calc").first
    calculation.get_by_role("button", name="Change the values").click()
    field = calculation.locator("input").first
    field.fill("60 BPM")
    expect(calculation).to_contain_text("24 Hz")
    expect(watched_page.locator("body")).not_to_contain_text("In the terminal")


def test_the_policy_stops_what_somebody_writes_into_a_page(
    browser: Browser, published: Path, tmp_path: Path
) -> None:
    shutil.copytree(published, tmp_path / "site")
    page_file = tmp_path / "site" / "index.html"
    added = "<script>window.ran = 1</script><p id=p style='color: red' onclick='window.ran = 2'>x</p>"
    text = page_file.read_text(encoding="utf-8").replace("</main>", f"{added}</main>")
    page_file.write_text(text, encoding="utf-8")
    with browser.new_context() as context:
        page = context.new_page()
        open_file(page, page_file)
        page.locator("#p").click()
        assert page.evaluate("window.ran") is None
        assert page.locator("#p").evaluate("each => getComputedStyle(each).color") != "rgb(255, 0, 0)"


def test_hostile_records_come_out_as_they_were_written(watched_page: Page, hostile: Path) -> None:
    asked: list[str] = []
    watched_page.on("dialog", lambda dialog: (asked.append(dialog.message), dialog.dismiss()))
    for path in html_files(hostile):
        open_file(watched_page, path)
        for button in watched_page.get_by_role("button").all():
            button.click()
        inside = watched_page.locator("main")
        assert (
            inside.locator("script:not([type='application/json']), iframe, object, embed, form").count() == 0
        )
        assert inside.locator("a[href^='javascript'], a[href^='data'], [onerror], [onclick]").count() == 0
    assert not asked
    open_file(watched_page, hostile / FAULT)
    title = " ".join((watched_page.locator("h1").text_content() or "").split())
    wanted = {" ".join(" ".join(("Fault.title", *texts)).split()) for texts in (HOSTILE[:12], HOSTILE[12:])}
    assert title in wanted
    open_file(watched_page, hostile / GUIDE)
    for written in ("<script>alert(2)</script>", "<b onclick=alert(3)>b</b>", "<img src=x onerror=a>"):
        expect(watched_page.locator("main")).to_contain_text(written)


def test_links_out_are_followed_only_when_somebody_clicks(published: Path) -> None:
    # No page fetches anything: the only addresses elsewhere are names of XML vocabularies.
    for path in sorted(published.rglob("*")):
        if path.suffix in (".html", ".css", ".js"):
            found = re.findall(r"https?://[\w./-]+", path.read_text(encoding="utf-8"))
            assert not [each for each in found if "www.w3.org" not in each], path.name
