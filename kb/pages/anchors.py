"""Links to headings, looked for once all pages are made."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator

from kb.pages.pageset import Page
from kb.problems import Problem, did_you_mean

MISSING_HEADING = "there is no heading"


def broken_anchors(
    anchors: Iterable[tuple[str, Callable[[str, str], Problem]]], pages: Iterable[Page]
) -> Iterator[Problem]:
    """A problem for each link to a heading that its page does not have."""
    wanted = tuple(anchors)
    ids = {page.path: re.findall(r'\bid="([^"]*)"', page.body) for page in pages} if wanted else {}
    for address, problem in wanted:
        path, _, anchor = address.partition("#")
        if anchor not in ids[path]:
            what = f'{MISSING_HEADING} "#{anchor[:60]}" there'
            yield problem(what, did_you_mean(anchor, ids[path]))
