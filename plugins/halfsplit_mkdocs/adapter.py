"""The site by way of MkDocs.

A shop folder may bring a `mkdocs.yml` of its own; where it has none, one is written for the time of
the run beside nothing of the shop's. Where the frames of an earlier run still hold, MkDocs is not needed.
"""

from __future__ import annotations

import logging
import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, TextIO, cast

import yaml

from halfsplit_mkdocs import kept_frames
from halfsplit_mkdocs.writing import log
from kb.adapters import BuildFailed
from kb.fresh_site import FreshSite
from kb.shop_site import nothing_written, pages_of_shop
from kb.store import Store

if TYPE_CHECKING:
    from halfsplit_mkdocs.plugin import HalfsplitPlugin

# The theme prints a notice about its own future at every start; the pins say what is meant to run.
os.environ.setdefault("NO_MKDOCS_2_WARNING", "1")


class MkDocsAdapter:
    """The site with MkDocs and its theme Material as the frame."""

    def build(self, shop: Path, target: Path, *, strict: bool, earlier: Path | None = None) -> None:
        """Write the site into `target`; raises BuildFailed."""
        own = shop / "mkdocs.yml"
        settings = own if own.is_file() else None
        key = kept_frames.key_of(settings)
        with _warnings_shown() as said:
            if key is not None and _built_from_kept(shop, key, target, earlier, strict=strict):
                return
            plugin = _built_by_mkdocs(shop, settings, target, said, strict=strict)
            # Where MkDocs warned of the settings, it has to do so each time.
            if key is not None and said.all_ours and plugin.has_stand_ins and plugin.root == shop.resolve():
                static = None if settings is None else plugin.static
                kept_frames.keep(Store(shop), key, plugin.page_set, plugin.frames, plugin.files, static)


def _built_from_kept(shop: Path, key: str, target: Path, earlier: Path | None, *, strict: bool) -> bool:
    """Write the site with the frames of an earlier run; False where MkDocs has to make it."""
    kept = kept_frames.load(Store(shop), key)
    if kept is None:
        return False
    pages, problems = pages_of_shop(shop)
    if pages is None:
        raise BuildFailed(nothing_written(problems), map(str, problems))
    # What strict mode makes of a disagreement is for MkDocs to say.
    if (strict and pages.disagreements) or not kept.fits(pages):
        return False
    for disagreement in pages.disagreements:
        log.warning(str(disagreement))
    with FreshSite(target, earlier) as site:
        kept.write(pages, site)
    return True


def _built_by_mkdocs(
    shop: Path, settings: Path | None, target: Path, said: _Said, *, strict: bool
) -> HalfsplitPlugin:
    from mkdocs.commands.build import build  # noqa: PLC0415 - slow to import, and mostly not needed
    from mkdocs.config import load_config  # noqa: PLC0415
    from mkdocs.exceptions import MkDocsException  # noqa: PLC0415

    with _settings(shop, settings) as file:
        try:
            # One pair of calls: the plugin lives from `startup` to `shutdown`.
            config = load_config(str(file), site_dir=str(target.resolve()), strict=strict)
            config.plugins.on_startup(command="build", dirty=False)
            try:
                build(config)
            finally:
                config.plugins.on_shutdown()
        except MkDocsException as error:
            # MkDocs stops with a word of its own; what our plugin said stands behind it.
            if isinstance(error.__context__, MkDocsException):
                problems = (str(each) for each in getattr(error.__context__, "problems", ()))
                raise BuildFailed(str(error.__context__), problems) from error
            # Of settings it says what is wrong, and then only that something is.
            raise BuildFailed("\n".join(said.errors) or str(error)) from error
        return cast("HalfsplitPlugin", config.plugins["halfsplit"])


class _Said(logging.StreamHandler[TextIO]):
    """Prints MkDocs' warnings: in strict mode it only counts them, and nobody would learn which."""

    def __init__(self) -> None:
        super().__init__()
        self.setLevel(logging.WARNING)
        self.all_ours = True
        self.errors: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        """Print one; what MkDocs logs as an error it raises as well."""
        self.all_ours = self.all_ours and record.name == log.name
        if record.levelno >= logging.ERROR:
            self.errors.append(f"mkdocs.yml: {record.getMessage()}")
        else:
            super().emit(record)


@contextmanager
def _warnings_shown() -> Iterator[_Said]:
    printer = _Said()
    mkdocs = logging.getLogger("mkdocs")
    mkdocs.addHandler(printer)
    try:
        yield printer
    finally:
        mkdocs.removeHandler(printer)


@contextmanager
def _settings(shop: Path, own: Path | None) -> Iterator[Path]:
    if own is not None:
        yield own
        return
    with tempfile.TemporaryDirectory(prefix="halfsplit-") as folder:
        docs = Path(folder) / "nothing"
        docs.mkdir()
        written = {
            "site_name": "halfsplit",
            "docs_dir": str(docs),
            "theme": {"name": "material"},
            "plugins": [{"halfsplit": {"shop": str(shop.resolve())}}],
        }
        file = Path(folder) / "mkdocs.yml"
        file.write_text(yaml.safe_dump(written, allow_unicode=True), encoding="utf-8")
        yield file
