"""How fast symptoms are found among five thousand faults: printed, and never failed by the clock.

`make bench` runs it. The times are of the machine it runs on; the bytes are the same everywhere.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from playwright.sync_api import Browser, expect

from kb.pages.pageset import Asset
from kb.pages.search_files import search_assets, shop_notes
from kb.search import Narrowing, SymptomIndex, files_of
from kb.search.kept import PLACE
from kb.search.notes import found_faults
from kb.search.synonyms import phrases_for
from kb.shop import Shop, load_shop
from tests.benchmarks.generated_shop import make_shop
from tests.browser.conftest import browser  # noqa: F401 - a fixture
from tests.browser.search_site import write_index, write_site
from tests.browser.watching import open_file, watching

pytestmark = pytest.mark.benchmark

FAULTS, JOBS = 5000, 1000
WORDS = (
    "clock stops when warm",
    "envelope doesn't start",
    "no gate out",
    "keyboard crackles on some steps since the last repair",
    "tape drifts",
    "hum",
    "filter repeats with a long lead",
    "clok stalls",
    "st",
    "R14",
)
FIRST_RESULT = """([words, model]) => new Promise(done => {
  const began = performance.now();
  halfsplitSearch.findFaults(words, {model}).then(found => done([performance.now() - began, found.total]));
})"""


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory, demo_content: Path) -> Path:
    return make_shop(tmp_path_factory.mktemp("large") / "shop", demo_content, FAULTS, jobs=JOBS)


@pytest.fixture(scope="module")
def shop(folder: Path) -> Shop:
    with timed("reading and checking all records"):
        found, problems = load_shop(folder)
    assert found is not None, problems[:3]
    return found


@pytest.fixture(scope="module")
def assets(shop: Shop) -> tuple[Asset, ...]:
    with timed("building the index of symptoms"):
        notes = shop_notes(shop)
        return search_assets((), phrases_for(), tuple(found_faults(notes)), notes.models)


@contextmanager
def timed(what: str) -> Iterator[None]:
    wall, cpu = time.perf_counter(), time.process_time()
    yield
    print(f"{what}: {time.perf_counter() - wall:.2f} s, of which {time.process_time() - cpu:.2f} s at work")


def test_bytes_of_a_query(assets: tuple[Asset, ...]) -> None:
    files = files_of(assets)
    total, largest = sum(map(len, files.values())), max(map(len, files.values()))
    print(f"{len(files)} files, {total / 1e6:.2f} MB, the largest {largest / 1e3:.1f} kB")
    sizes = []
    for words in WORDS:
        index = SymptomIndex(files)
        asked, wall = index.asked(words), time.perf_counter()
        hits = index.find(words, Narrowing(model="sixteenfold"))
        shown = [index.show(hit, asked) for hit in hits[:10]]
        sizes.append(sum(len(files[path]) for path in ["search/index.js", *index.index.loaded]))
        spent = 1000 * (time.perf_counter() - wall)
        print(f"  {words!r}: {len(hits)} faults, {sizes[-1] / 1e3:.0f} kB, {spent:.0f} ms in Python")
        assert len(shown) <= 10
    print(f"kB of a query: median {statistics.median(sizes) / 1e3:.0f}, most {max(sizes) / 1e3:.0f}")
    assert max(sizes) < 250_000


def test_the_first_result_in_a_browser_from_disk(
    assets: tuple[Asset, ...], tmp_path: Path, request: pytest.FixtureRequest
) -> None:
    write_index(write_site(tmp_path), assets)
    chromium: Browser = request.getfixturevalue("browser")
    first, later = [], []
    for words in WORDS:
        with watching(chromium) as page:
            open_file(page, tmp_path / "about.html")
            first.append(page.evaluate(FIRST_RESULT, [words, "sixteenfold"])[0])
            later.append(page.evaluate(FIRST_RESULT, [words[:-1], "sixteenfold"])[0])
    with watching(chromium) as page:
        open_file(page, tmp_path / "about.html")
        began = time.perf_counter()
        page.get_by_role("combobox").press_sequentially("clock stops", delay=0)
        expect(page.get_by_role("option").or_(page.locator(".hs-search-note")).first).to_be_visible()
        typed = 1000 * (time.perf_counter() - began)
    for what, spent in (("first question of a fresh page", first), ("one letter less after it", later)):
        print(f"{what}: median {statistics.median(spent):.0f} ms, most {max(spent):.0f} ms")
    print(f"typing eleven letters until the list shows: {typed:.0f} ms")


def test_the_command(folder: Path) -> None:
    for file in folder.rglob("*.yml"):
        os.utime(file, (1_700_000_000, 1_700_000_000))
    time.sleep(2.1)
    started("cold", folder)
    for _ in range(3):
        started("kept", folder)
    edited = folder / "faults" / "generated-00001.yml"
    edited.write_text(edited.read_text("utf-8").replace("title: ", "title: other "), encoding="utf-8")
    time.sleep(2.1)
    started("after an edit", folder)
    started("kept", folder)
    kept = sum(file.stat().st_size for file in (folder / PLACE).iterdir())
    print(f"kept on disk: {kept / 1e6:.1f} MB")


def started(what: str, folder: Path) -> None:
    program = "from kb.cli import main; main()"
    words = ["find", "clock stops when warm", "--shop", str(folder), "--serial", "SX16-0137", "--json"]
    before, wall = os.times(), time.perf_counter()
    ended = subprocess.run([sys.executable, "-c", program, *words], capture_output=True, check=False)
    spent, after = time.perf_counter() - wall, os.times()
    cpu = after.children_user + after.children_system - before.children_user - before.children_system
    print(f"halfsplit find, {what}: {spent:.2f} s, of which {cpu:.2f} s at work")
    assert ended.returncode == 0, ended.stderr
