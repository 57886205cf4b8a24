"""A page under watch: it may load what was built and nothing else, and it may not complain.

The site must work at a bench without a network and must tell nobody that it was opened. So every
request that is neither to a file nor to our own test server is stopped and held against the page.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import TYPE_CHECKING
from urllib.parse import urlsplit

if TYPE_CHECKING:
    from pathlib import Path

    from playwright.sync_api import Browser, BrowserContext, ConsoleMessage, Page, Request, Route, WebError

WIDTHS = (390, 820, 1400)
"""A phone, a tablet on the bench, a desk: widths in CSS pixels that every page has to fit."""

PAPER_PX = (794 - 2 * 38, 1123)
"""A4 at the 96 pixels to the inch that style sheets reckon with, less a margin of 38 on either side."""

LOCAL_SCHEMES = ("file", "data", "blob", "about")


@dataclass
class Watch:
    """What a page did that it should not have done; `served` are the origins of our own servers."""

    served: Callable[[], tuple[str, ...]] = tuple
    trouble: list[str] = field(default_factory=list)

    def is_ours(self, url: str) -> bool:
        """Whether `url` stays inside what was built."""
        parts = urlsplit(url)
        return parts.scheme in LOCAL_SCHEMES or f"{parts.scheme}://{parts.netloc}" in self.served()

    def attach(self, context: BrowserContext) -> None:
        """Listen to everything that happens in `context`, in frames, popups and workers too."""
        context.on("console", self._heard)
        context.on("weberror", self._broke)
        context.on("request", self._asked)
        context.on("page", self._opened)
        context.route(lambda url: not self.is_ours(url), self._stop)

    def _heard(self, message: ConsoleMessage) -> None:
        if message.type == "error":
            self.trouble.append(f"console error: {message.text} ({message.location.get('url', '')})")

    def _broke(self, error: WebError) -> None:
        self.trouble.append(f"script error: {error.error}")

    def _asked(self, request: Request) -> None:
        if not self.is_ours(request.url):
            self.trouble.append(f"request to the outside: {request.method} {request.url}")

    def _opened(self, page: Page) -> None:
        page.on("websocket", lambda socket: self.trouble.append(f"web socket: {socket.url}"))
        page.on("crash", lambda _page: self.trouble.append("the page crashed"))

    def _stop(self, route: Route) -> None:
        route.abort()


@contextmanager
def watching(browser: Browser, served: Callable[[], tuple[str, ...]] = tuple) -> Iterator[Page]:
    """A fresh page in a fresh profile; leaving the block fails when the page misbehaved."""
    watch = Watch(served)
    with browser.new_context(
        viewport={"width": WIDTHS[-1], "height": 900},
        locale="en-GB",
        timezone_id="UTC",
        reduced_motion="reduce",
        service_workers="block",  # requests of a service worker would not pass the watch
    ) as context:
        watch.attach(context)
        yield context.new_page()
        _let_messages_arrive(context)
    assert not watch.trouble, "the page misbehaved:\n" + "\n".join(watch.trouble)


def _let_messages_arrive(context: BrowserContext) -> None:
    """An answer from each page comes behind every message it sent before."""
    for page in context.pages:
        page.evaluate("new Promise(done => setTimeout(done, 0))")


def open_file(page: Page, path: Path) -> None:
    """Open a built page straight from disk, as somebody does who was handed the folder."""
    page.goto(path.resolve().as_uri())


def use_dark(page: Page) -> None:
    """Read the page as on a system set to dark colours."""
    page.emulate_media(color_scheme="dark")


def use_print(page: Page) -> None:
    """Lay the page out as for paper."""
    page.emulate_media(media="print")


def use_paper(page: Page) -> None:
    """Lay the page out as for paper, as wide as A4 leaves it."""
    page.set_viewport_size({"width": PAPER_PX[0], "height": PAPER_PX[1]})
    use_print(page)


def use_screen(page: Page, width: int) -> None:
    """Lay the page out for a screen `width` CSS pixels wide."""
    page.emulate_media(media="screen")
    use_width(page, width)


def use_width(page: Page, width: int) -> None:
    """Make the window `width` CSS pixels wide."""
    page.set_viewport_size({"width": width, "height": 900})


def overflows(page: Page) -> bool:
    """Whether the page is wider than the window, so that it has to be scrolled sideways."""
    return bool(page.evaluate("document.documentElement.scrollWidth > document.documentElement.clientWidth"))
