"""Builds with the real site generator, as a test asks for them."""

from __future__ import annotations

import atexit
import hashlib
import logging
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache
from pathlib import Path
from typing import Any

import pytest
import yaml
from mkdocs.commands.build import build
from mkdocs.config import load_config

import kb.shop_site
from halfsplit_plain.adapter import PlainAdapter
from kb.pages import PageSet
from tests.benches import HANDBOOK, copied


@contextmanager
def with_handbook(folder: Path) -> Iterator[None]:
    """Both adapters with another handbook: ours is long, and most tests are not about what it says."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(kb.shop_site, "handbook_folder", lambda: folder)
        yield


def build_with_mkdocs(config_file: Path, site: Path, *, handbook: Path = HANDBOOK, **options: Any) -> PageSet:
    """One build, with the events of a process around it; its pages come back. Raises what MkDocs raises."""
    config = load_config(str(config_file), site_dir=str(site), **options)
    config.plugins.on_startup(command="build", dirty=False)
    try:
        with with_handbook(handbook):
            build(config)
    finally:
        config.plugins.on_shutdown()
    pages: PageSet = config.plugins["halfsplit"].page_set
    return pages


def build_plainly(shop: Path, site: Path, *, strict: bool = True) -> None:
    """One build with the plain adapter into a new folder."""
    site.mkdir(exist_ok=True)
    with with_handbook(HANDBOOK):
        PlainAdapter().build(shop, site, strict=strict)


@cache
def _drawn() -> Path:
    folder = Path(tempfile.mkdtemp(prefix="figures-"))
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    return folder


def with_drawn(shop: Path) -> Path:
    """The shop with figures that were drawn before; drawing is most of a build, and no figure changes."""
    (shop / ".halfsplit").symlink_to(_drawn(), target_is_directory=True)
    return shop


def configured(
    folder: Path, *, files: dict[str, str] | None = None, shares_figures: bool = True, **settings: Any
) -> Path:
    """A folder with the small shop in `shop`, an empty `docs` and an `mkdocs.yml`; its path comes back."""
    copied(folder / "shop", files)
    if shares_figures:
        with_drawn(folder / "shop")
    (folder / "docs").mkdir()
    written = {
        "site_name": "to be replaced",
        "theme": {"name": "material"},
        "plugins": [{"halfsplit": {"shop": "shop"}}],
        **settings,
    }
    file = folder / "mkdocs.yml"
    file.write_text(yaml.safe_dump(written), encoding="utf-8")
    return file


@contextmanager
def warnings_of_mkdocs() -> Iterator[list[str]]:
    """The warnings that a build logs."""
    lines: list[str] = []

    class Keep(logging.Handler):
        def emit(self, record: logging.LogRecord) -> None:
            lines.append(record.getMessage())

    keep = Keep(logging.WARNING)
    logging.getLogger("mkdocs").addHandler(keep)
    try:
        yield lines
    finally:
        logging.getLogger("mkdocs").removeHandler(keep)


def files_of(site: Path) -> dict[str, str]:
    """Every file of a site with the hash of its bytes."""
    return {
        path.relative_to(site).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in sorted(site.rglob("*"))
        if path.is_file()
    }
