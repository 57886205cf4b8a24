"""One page of each kind of the small shop, held against the HTML in `tests/golden/pages`.

When a template changes on purpose, rewrite the files and read what changed:

    HALFSPLIT_UPDATE_GOLDEN=1 .venv/bin/python -m pytest tests/pages/test_golden_pages.py
    git diff tests/golden

Drawings, formulas, calculations and cautions are shortened, so that a page can be read through. The
handbook page keeps its calculation and the model's page its cautions.
"""

from __future__ import annotations

import os
import re
from pathlib import Path

import pytest

from tests.benches import small_page

GOLDEN = Path(__file__).parent.parent / "golden" / "pages"
PAGES = {
    "model": "models/pacer.html",
    "revision": "models/pacer/revision-b.html",
    "block": "models/pacer/block-supply.html",
    "fault": "faults/pacer-short-pulse.html",
    "fault-on-two-models": "faults/loose-lead.html",
    "part": "parts/one-shot.html",
    "guide": "guides/first-look.html",
    "handbook": "handbook/reading-a-pulse.html",
    "symptoms": "symptoms/index.html",
    "job": "jobs/2026-pacer-0007.html",
    "jobs": "jobs/index.html",
    "trim-sheet": "models/pacer/trims.html",
    "unit": "units/pacer/pa-7.html",
    "home": "index.html",
    "fits": "fits/index.html",
    "fits-of-a-unit": "fits/pacer.html",
}


@pytest.mark.parametrize("kind", PAGES)
def test_a_page_is_what_it_was(kind: str) -> None:
    file = GOLDEN / f"{kind}.html"
    now = shortened(kind, small_page(PAGES[kind]).body)
    if os.environ.get("HALFSPLIT_UPDATE_GOLDEN"):
        GOLDEN.mkdir(parents=True, exist_ok=True)
        file.write_text(now, encoding="utf-8")
    assert now == file.read_text(encoding="utf-8"), f"see {Path(__file__).name} for how to accept a change"


def test_every_golden_page_is_of_a_kind() -> None:
    assert {path.stem for path in GOLDEN.glob("*.html")} == set(PAGES)


def shortened(kind: str, body: str) -> str:
    """The body of a page without what would make it long: the drawn, and what is shown elsewhere."""
    body = re.sub(r"<svg.*?</svg>", "<svg>…</svg>", body, flags=re.DOTALL)
    body = re.sub(r"<math.*?</math>", "<math>…</math>", body, flags=re.DOTALL)
    # The name of a calculation's plan is a hash of it, which changes with every calculator.
    body = re.sub(r'(?<="p": ")[\w-]+-[0-9a-f]{12}(?=")', "…", body)
    if kind != "handbook":
        body = emptied(body, "hs-calc")
    if kind != "model":
        body = emptied(body, "hs-caution")
    return re.sub(r"\n{2,}", "\n", body).strip() + "\n"


def emptied(html: str, name: str) -> str:
    """`html` with "…" for all that stands inside the elements of a class."""
    kept, at = "", 0
    for start in re.finditer(rf'<(\w+) class="({name}(?: [^"]*)?)"[^>]*>', html):
        if start.start() < at:
            continue
        depth, end = 1, None
        for each in re.finditer(rf"<(/?){start[1]}\b[^>]*>", html[start.end() :]):
            depth += -1 if each[1] else 1
            if depth == 0:
                end = start.end() + each.start()
                break
        assert end is not None
        kept += f'{html[at : start.start()]}<{start[1]} class="{start[2]}">…'
        at = end
    return kept + html[at:]
