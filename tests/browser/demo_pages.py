"""Which pages of the demo stand for which kind: one of each is looked at closely, all are opened."""

from __future__ import annotations

import re
from pathlib import Path

FAULT = "faults/trigger-too-short-first-series.html"
MODEL = "models/sixteenfold.html"

KINDS = {
    "home": "index.html",
    "list of models": "models/index.html",
    "model": MODEL,
    "revision": "models/sixteenfold/revision-b.html",
    "block": "models/sixteenfold/block-trigger-shaper.html",
    "faults of a model": "models/sixteenfold/faults.html",
    "list of faults": "faults/index.html",
    "fault": FAULT,
    "symptoms": "symptoms/index.html",
    "list of parts": "parts/index.html",
    "part": "parts/ls123-one-shot.html",
    "list of guides": "guides/index.html",
    "guide": "guides/lengthening-triggers.html",
    "handbook": "handbook/one-shots-and-clocks.html",
    "list of calculators": "calculators/index.html",
    "calculator": "calculators/monostable.html",
    "list of jobs": "jobs/index.html",
    "job": "jobs/2025-sixteenfold-1402.html",
    "unit": "units/sixteenfold/sx16-1402.html",
    "trim sheet": "models/sorrel/trims.html",
    "bench": "models/sixteenfold/bench.html",
    "practice": "models/sixteenfold/practice.html",
    "course": "handbook/for-a-new-colleague.html",
    "statistics": "bench/statistics.html",
    "what fits what": "fits/index.html",
    "what fits a unit": "fits/sixteenfold.html",
}
"""A page of each kind, the one with most on it."""

WITH_FLOW = (
    *(f"models/{model}.html" for model in ("longshore", "sixteenfold", "sorrel", "tallyman", "weighbridge")),
    KINDS["revision"],
    KINDS["block"],
)


def all_pages(site: Path) -> list[Path]:
    """Every page of a built site, in the same order each time; without the page for lost visitors."""
    return sorted(page for page in site.rglob("*.html") if page.name != "404.html")


def kind_of(page: Path) -> str:
    """The kind a page was given when it was made."""
    found = re.search(r"hs-kind-([a-z-]+)", page.read_text(encoding="utf-8"))
    assert found, f"{page.name} does not say what kind of page it is"
    return found[1]
