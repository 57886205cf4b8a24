"""The fixtures a browser test asks for: `watched_page`, `site_server` for HTTP, and the demo's site.

`demo` is built as `make demo` builds it, `plain_demo` in the frame that needs no site generator.
"""

from __future__ import annotations

import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, sync_playwright

from kb.adapters import find_adapter
from tests.browser.benching import BENCH
from tests.browser.serving import SiteServers
from tests.browser.watching import open_file, watching

HERE = Path(__file__).parent

# The sandbox is off, as it can't start as root or in most containers; the pages are our own and nothing
# else can be reached. Names resolve to nothing, so that not even a look-up leaves the machine.
SWITCHES = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1",
)


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark everything in this folder, so that `-m "not browser"` leaves it out."""
    for item in items:
        if HERE in item.path.parents:
            item.add_marker(pytest.mark.browser)


@pytest.fixture(scope="session")
def browser(repository: Path) -> Iterator[Browser]:
    """One Chromium of the system for the whole run; without one the tests fail, they are not skipped."""
    found = subprocess.run(
        ["sh", repository / ".ci" / "find_chromium.sh"], capture_output=True, encoding="utf-8", check=False
    )
    if found.returncode:
        pytest.fail(
            f"no Chromium was found; run .ci/install_chromium.sh. {found.stderr}".strip(), pytrace=False
        )
    with sync_playwright() as playwright:
        running = playwright.chromium.launch(executable_path=found.stdout.strip(), args=SWITCHES)
        yield running
        running.close()


@pytest.fixture(scope="session")
def site_server() -> Iterator[SiteServers]:
    """Call it with a built folder to get the address it is served at."""
    with SiteServers() as servers:
        yield servers


@pytest.fixture
def watched_page(browser: Browser, site_server: SiteServers) -> Iterator[Page]:
    """A page that fails its test when it complains on the console or asks anything of the outside."""
    with watching(browser, site_server.origins) as page:
        yield page


@pytest.fixture(scope="session")
def demo(demo_content: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo shop's site, built once."""
    return _built("mkdocs", demo_content, tmp_path_factory)


@pytest.fixture(scope="session")
def plain_demo(demo_content: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The same pages in the plain frame."""
    return _built("plain", demo_content, tmp_path_factory)


@pytest.fixture
def bench(watched_page: Page, plain_demo: Path) -> Page:
    """The bench page of one model of the demo, opened for a new unit."""
    open_file(watched_page, plain_demo / BENCH)
    return watched_page


@pytest.fixture(params=["demo", "plain_demo"])
def site(request: pytest.FixtureRequest) -> Path:
    """The demo once in each frame, for what has to hold in both."""
    folder: Path = request.getfixturevalue(request.param)
    return folder


def _built(adapter: str, shop: Path, folders: pytest.TempPathFactory) -> Path:
    target = folders.mktemp(adapter) / "site"
    target.mkdir()
    find_adapter(adapter).build(shop, target, strict=False)
    return target
