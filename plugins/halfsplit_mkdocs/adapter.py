"""The site by way of MkDocs.

A shop folder may bring a `mkdocs.yml` of its own; where it has none, one is written for the time of
the run beside nothing of the shop's.
"""

from __future__ import annotations

import logging
import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import yaml

from kb.adapters import BuildFailed

# The theme prints a notice about its own future at every start; the pins say what is meant to run.
os.environ.setdefault("NO_MKDOCS_2_WARNING", "1")


class MkDocsAdapter:
    """The site with MkDocs and its theme Material as the frame."""

    def build(self, shop: Path, target: Path, *, strict: bool) -> None:
        """Write the site into `target`; raises BuildFailed."""
        from mkdocs.commands.build import build  # noqa: PLC0415 - slow to import, and not needed to list adapters
        from mkdocs.config import load_config  # noqa: PLC0415
        from mkdocs.exceptions import MkDocsException  # noqa: PLC0415

        with _configuration(shop) as file, _warnings_shown():
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
                reason = error.__context__ if isinstance(error.__context__, MkDocsException) else error
                problems = (str(each) for each in getattr(reason, "problems", ()))
                raise BuildFailed(str(reason), problems) from error


@contextmanager
def _warnings_shown() -> Iterator[None]:
    """Print MkDocs' warnings: in strict mode it only counts them, and nobody would learn which."""
    printer = logging.StreamHandler()
    printer.setLevel(logging.WARNING)
    # What MkDocs logs as an error it raises as well.
    printer.addFilter(lambda record: record.levelno < logging.ERROR)
    log = logging.getLogger("mkdocs")
    log.addHandler(printer)
    try:
        yield
    finally:
        log.removeHandler(printer)


@contextmanager
def _configuration(shop: Path) -> Iterator[Path]:
    own = shop / "mkdocs.yml"
    if own.is_file():
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
