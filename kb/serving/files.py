"""The files of a served site: one path of an address to one file's content, or to nothing.

A page gets one line more than it has in the built site: the script that reloads it and shows problems.
"""

from __future__ import annotations

import html
import re
from dataclasses import dataclass
from importlib import resources
from pathlib import Path
from urllib.parse import unquote, urlsplit

from kb.serving.showing import View

OWN = "/_serve/"
"""Where everything lies that only a served site has."""

_TYPES = {
    "html": "text/html; charset=utf-8", "css": "text/css; charset=utf-8",
    "js": "text/javascript; charset=utf-8",
    "json": "application/json", "svg": "image/svg+xml", "png": "image/png", "jpg": "image/jpeg",
    "jpeg": "image/jpeg", "webp": "image/webp", "gif": "image/gif", "avif": "image/avif",
    "ico": "image/x-icon",
    "txt": "text/plain; charset=utf-8", "csv": "text/csv; charset=utf-8", "pdf": "application/pdf",
    "woff2": "font/woff2", "xml": "application/xml",
}  # fmt: skip
_CSP_TAG = re.compile(r'<meta http-equiv="Content-Security-Policy" content="[^"]*"', re.IGNORECASE)


@dataclass(frozen=True)
class Content:
    """What is sent: its media type and its bytes."""

    kind: str
    data: bytes


def type_of(name: str) -> str:
    """The media type of a file by its ending."""
    return _TYPES.get(name.rpartition(".")[2].lower(), "application/octet-stream")


def own_asset(name: str) -> Content | None:
    """A style or script of the server itself."""
    if not re.fullmatch(r"[a-z-]+\.(css|js)", name):
        return None
    file = resources.files("kb.serving").joinpath("assets", name)
    return Content(type_of(name), file.read_bytes()) if file.is_file() else None


def site_file(view: View, address: str) -> Content | None:
    """The file of the shown site that `address` leads to."""
    if view.folder is None:
        return None
    path = _path_in(view.folder, unquote(urlsplit(address).path))
    try:
        if path is None or not path.is_file():
            return None
        data = path.read_bytes()
    except OSError:
        return None
    kind = type_of(path.name)
    return Content(kind, _with_live_script(data, view) if path.suffix == ".html" else data)


def waiting_page(view: View) -> Content:
    """What stands in for every page until there is a site."""
    what = "The records have problems" if view.problems else "The site is being built"
    text = (
        '<!doctype html>\n<html lang="en"><head><meta charset="utf-8">'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        f"<title>{what}</title></head><body><main class='hs-wait'><h1>{what}</h1>"
        "<p>This page becomes the site as soon as there is one.</p></main></body></html>"
    )
    return Content(type_of("html"), _with_live_script(text.encode(), view))


def _path_in(folder: Path, path: str) -> Path | None:
    """The file that `path` names inside `folder`; None where it would lead out of it."""
    steps = path.split("/")[1:]
    if steps and not steps[-1]:
        steps[-1] = "index.html"
    if not steps or any(step in ("", ".", "..") or re.search(r"[\\\x00:]", step) for step in steps):
        return None
    found = folder.joinpath(*steps).resolve()
    return found if found.is_relative_to(folder.resolve()) else None


def _with_live_script(data: bytes, view: View) -> bytes:
    text = data.decode("utf-8", "replace")
    version = html.escape(view.version)
    added = (
        f'<link rel="stylesheet" href="{OWN}live.css">'
        f'<script src="{OWN}live.js" data-version="{version}" defer></script>'
    )
    # A page that may ask nothing at all may ask this server whether there is a newer one.
    text = _CSP_TAG.sub(lambda found: f"{found[0][:-1]}; connect-src 'self'\"", text, count=1)
    before, end, after = text.rpartition("</body>")
    return (f"{before}{added}{end}{after}" if end else text + added).encode()
