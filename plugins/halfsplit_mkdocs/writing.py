"""Writes what is ours of a site: the pages in their frames, what lies beside them, the style of the frame."""

from __future__ import annotations

import logging
from collections.abc import Mapping
from pathlib import Path

from halfsplit_mkdocs.frames import Frame, form_of
from kb.fresh_site import FreshSite
from kb.pages import PageSet

log = logging.getLogger("mkdocs.plugins.halfsplit")
"""Below MkDocs' own, so that its strict mode counts what is said there."""

FRAME_STYLE = "halfsplit/frame.css"


def frame_style() -> bytes:
    """The style sheet of the frame, which stands at `FRAME_STYLE`."""
    return (Path(__file__).parent / "frame.css").read_bytes()


def forms_of(pages: PageSet) -> dict[str, str]:
    """The form of each page by its path."""
    sections = frozenset(each.path for each in pages.sections)
    return {page.path: form_of(page, sections) for page in pages.pages}


def write_site(pages: PageSet, frames: Mapping[str, Frame], site: FreshSite) -> None:
    """Every page and asset; raises KeyError for a form that has no frame, and OSError."""
    forms = forms_of(pages)
    for page in pages.pages:
        site.write(page.path, frames[forms[page.path]].around(page).encode(errors="xmlcharrefreplace"))
    for asset in pages.assets:
        site.write(asset.path, asset.content)
    site.write(FRAME_STYLE, frame_style())
