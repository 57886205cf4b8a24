"""Where the handbook's pages are: inside an installed package, or beside it in a checkout."""

from __future__ import annotations

from pathlib import Path


def handbook_folder() -> Path:
    """The folder of the handbook's Markdown files."""
    installed = Path(__file__).parent / "_content"
    return installed if installed.is_dir() else Path(__file__).parent.parent / "content"
