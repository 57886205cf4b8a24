"""A few pages with a search field and nothing else, written as a frame writes them, under a strict policy."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from kb.pages import pageset
from kb.pages.search_files import search_assets
from tests.search.bench_pages import BENCH

POLICY = "default-src 'none'; script-src 'self'; style-src 'self'; base-uri 'none'; form-action 'none'"
SCRIPTS = ("serial.js", "search-words.js", "search-core.js", "search-narrow.js", "search.js")
FRAME = """<!doctype html><html lang="en"><head><meta charset="utf-8"><title>{number}</title>
<meta http-equiv="Content-Security-Policy" content="{policy}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<link rel="stylesheet" href="{root}search.css">{scripts}</head><body>
<form class="hs-search" role="search" data-hs-root="{root}">
<label class="hs-visually-hidden" for="hs-search-input">Search</label>
<input id="hs-search-input" class="hs-search-input" type="search" autocomplete="off"></form>
<main>{body}<textarea aria-label="Note"></textarea></main></body></html>"""


def write_site(folder: Path, pages: Sequence[pageset.Page] = BENCH) -> Path:
    assets = Path(__file__).parents[2] / "kb" / "pages" / "assets"
    for name in (*SCRIPTS, "search.css"):
        (folder / name).write_bytes((assets / name).read_bytes())
    write_index(folder, search_assets(pages))
    for number, page in enumerate(pages):
        place = folder / page.path
        place.parent.mkdir(exist_ok=True)
        root = "../" * page.path.count("/")
        scripts = "".join(f'<script defer src="{root}{name}"></script>' for name in SCRIPTS)
        frame = FRAME.format(number=number, policy=POLICY, root=root, scripts=scripts, body=page.body)
        place.write_text(frame, "utf-8")
    return folder


def write_index(folder: Path, assets: Sequence[pageset.Asset]) -> None:
    (folder / "search" / "faults").mkdir(parents=True, exist_ok=True)
    for asset in assets:
        (folder / asset.path).write_bytes(asset.content)
