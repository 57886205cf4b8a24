"""What a page's HTML says once it is parsed: its tags in order, its text, its ids and its links."""

from __future__ import annotations

import posixpath
import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from html.parser import HTMLParser

VOID = {"area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "track", "wbr"}
BLOCKS = {
    "address", "article", "aside", "blockquote", "details", "div", "dl", "fieldset", "figure", "footer",
    "form", "h1", "h2", "h3", "h4", "h5", "h6", "header", "hr", "main", "nav", "ol", "p", "pre", "section",
    "table", "ul",
}  # fmt: skip
"""What cannot stand inside a paragraph: a browser would close the paragraph there."""


@dataclass
class Markup(HTMLParser):
    """One page or a piece of one, parsed; `faults` names every element that isn't closed in its place."""

    html: str
    tags: list[tuple[str, dict[str, str]]] = field(default_factory=list)
    texts: list[str] = field(default_factory=list)
    faults: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.open: list[str] = []
        self.feed(self.html)
        self.close()
        self.faults += [f"<{tag}> is never closed" for tag in self.open]

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag in BLOCKS and "p" in self.open and not {"svg", "math"} & set(self.open):
            self.faults.append(f"<{tag}> stands in a paragraph")
        self.tags.append((tag, {name: value or "" for name, value in attrs}))
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, {name: value or "" for name, value in attrs}))

    def handle_endtag(self, tag: str) -> None:
        if not self.open or self.open[-1] != tag:
            self.faults.append(f"</{tag}> closes {self.open[-1:] or 'nothing'}")
        if tag in self.open:
            while self.open.pop() != tag:
                pass

    def handle_data(self, data: str) -> None:
        self.texts.append(data)

    @property
    def shape(self) -> list[tuple[str, tuple[str, ...]]]:
        """The tags in order, each with the names of its attributes."""
        return [(tag, tuple(sorted(attributes))) for tag, attributes in self.tags]

    @property
    def text(self) -> str:
        """All that can be read, without the tags."""
        return "".join(self.texts)

    @property
    def ids(self) -> list[str]:
        """Every id, in order."""
        return [attributes["id"] for _, attributes in self.tags if "id" in attributes]

    @property
    def links(self) -> list[str]:
        """Every address in an attribute that a browser would follow or fetch."""
        names = ("href", "src", "xlink:href", "data", "action", "poster", "srcset")
        return [attributes[name] for _, attributes in self.tags for name in names if attributes.get(name)]

    @property
    def id_references(self) -> list[str]:
        """Every id that a label or a description points to."""
        names = ("for", "aria-describedby", "aria-labelledby", "aria-controls")
        return [each for _, found in self.tags for name in names for each in found.get(name, "").split()]


def repeated(items: Iterable[str]) -> list[str]:
    """What stands in a list more than once."""
    found = list(items)
    return sorted({each for each in found if found.count(each) > 1})


ADDRESSES = ("href", "src", "action", "data", "poster", "srcset", "xlink:href", "content")


def from_the_root(page: Markup) -> list[str]:
    """Addresses that begin at the root of a host, which holds only where a site lies there."""
    found = [attributes.get(name, "") for _, attributes in page.tags for name in ADDRESSES]
    styles = [attributes.get("style", "") for _, attributes in page.tags]
    return [each for each in found if each.startswith("/")] + [each for each in styles if "url(/" in each]


def dead_links(pages: dict[str, Markup], files: Iterable[str]) -> list[str]:
    """The links of pages (by address) that lead to no page, no file and no id."""
    known = {*pages, *files}
    ids = {path: set(page.ids) for path, page in pages.items()}
    dead = []
    for path, page in pages.items():
        for link in page.links:
            if re.match(r"(?:https?|mailto|data):", link):
                continue
            target, _, anchor = link.partition("#")
            reached = posixpath.normpath(posixpath.join(posixpath.dirname(path), target)) if target else path
            if reached not in known:
                dead.append(f"{path}: {link}")
            elif anchor and anchor not in ids.get(reached, set()):
                dead.append(f"{path}: {link} (no such id)")
    return dead
