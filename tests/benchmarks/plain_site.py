"""The pages of a shop as ready-made Markdown for plain MkDocs with Material: what speed is measured against.

It is set up as by somebody who knows MkDocs and has thousands of pages: the navigation holds the sections
alone, so that no page carries the names of all others, and is pruned. Nothing of halfsplit runs in it.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import yaml

from kb.pages import PageSet


def write_plain_site(pages: PageSet, folder: Path) -> Path:
    """The pages and assets under `folder`, with its mkdocs.yml, whose path comes back."""
    for page in pages.pages:
        head = f"---\ntitle: {json.dumps(page.title)}\n---\n\n"
        _write(folder / "docs" / _source(page.path), f"{head}<div>\n{page.body}\n</div>\n".encode())
    for asset in pages.assets:
        _write(folder / "docs" / asset.path, asset.content)
    nav = [{each.title: _source(each.path)} for each in pages.sections]
    settings = {
        "site_name": pages.name,
        "use_directory_urls": False,
        "theme": {"name": "material", "font": False, "features": ["navigation.prune", "navigation.top"]},
        "plugins": ["search"],
        "extra_css": list(pages.styles),
        "extra_javascript": list(pages.scripts),
        "nav": nav,
        "not_in_nav": "*.md",
        # The links were checked when the pages were made.
        "validation": {"links": {"not_found": "ignore", "unrecognized_links": "ignore"}},
    }
    file = folder / "mkdocs.yml"
    file.write_text(yaml.safe_dump(settings), encoding="utf-8")
    return file


def edit_plain_site(folder: Path, page: str) -> None:
    """Change one word of one page."""
    file = folder / "docs" / _source(page)
    text = file.read_text(encoding="utf-8")
    file.write_text(text.replace("Measure", "Look", 1), encoding="utf-8")


def plain_command(file: Path) -> list[str]:
    """The command that builds it."""
    return [sys.executable, "-m", "mkdocs", "build", "--quiet", "--config-file", os.fspath(file)]


def _source(path: str) -> str:
    return path.removesuffix(".html") + ".md"


def _write(path: Path, content: bytes) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(content)


def quiet_environment() -> dict[str, str]:
    """Without the notice that the theme prints at its start, and with modules as Python has compiled them."""
    kept = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    return {**kept, "NO_MKDOCS_2_WARNING": "1"}


def run_quietly(command: list[str]) -> None:
    """For a look by hand."""
    subprocess.run(command, check=True, env=quiet_environment())
