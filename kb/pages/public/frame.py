"""The frame around a page for customers: no script and no style in it, nothing from elsewhere."""

from __future__ import annotations

from kb.audience.public import PublicSite
from kb.pages.pageset import Page, relative
from kb.pages.rendering import render

CONTENT_POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; "
    "base-uri 'none'; form-action 'none'"
)
"""What a browser may load and run: files of this site, and nothing that is written into a page."""


def framed(site: PublicSite, page: Page, styles: tuple[str, ...], scripts: tuple[str, ...]) -> bytes:
    """The whole HTML document of a page."""
    return render(
        "public/frame.html", page=page, site=site, policy=CONTENT_POLICY,
        home=relative("index.html", page.path), is_home=page.path == "index.html",
        styles=[relative(each, page.path) for each in styles],
        scripts=[relative(each, page.path) for each in scripts],
    ).encode()  # fmt: skip
