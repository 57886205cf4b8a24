"""Compiled templates are kept beside the templates, and trusted as long as nothing is wrong with them."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from jinja2 import DictLoader, Environment
from jinja2.bccache import Bucket

from kb.pages import compiled_templates
from kb.pages.compiled_templates import BesideTemplates

TEMPLATES = {"one.html": "{{ word }} it is"}


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setattr(compiled_templates, "FOLDER", tmp_path / "kept")
    monkeypatch.setattr("sys.dont_write_bytecode", False)
    monkeypatch.setattr("sys.pycache_prefix", None)
    return tmp_path / "kept"


def shown(word: str, *, trims: bool = False) -> str:
    environment = Environment(
        autoescape=True, trim_blocks=trims, loader=DictLoader(TEMPLATES), bytecode_cache=BesideTemplates()
    )
    return environment.get_template("one.html").render(word=word)


@pytest.fixture
def filled(monkeypatch: pytest.MonkeyPatch) -> list[bool]:
    """For each bucket that was asked for, whether it could be filled."""
    found: list[bool] = []
    load = BesideTemplates.load_bytecode

    def watched(cache: BesideTemplates, bucket: Bucket) -> None:
        load(cache, bucket)
        found.append(bucket.code is not None)

    monkeypatch.setattr(BesideTemplates, "load_bytecode", watched)
    return found


def test_a_template_is_compiled_once(folder: Path, filled: list[bool]) -> None:
    assert [shown("<a>"), shown("b")] == ["&lt;a&gt; it is", "b it is"]
    assert filled == [False, True]
    assert len(list(folder.iterdir())) == 1


@pytest.mark.parametrize(
    "spoil",
    [
        lambda file: file.write_bytes(b""),
        lambda file: file.write_bytes(file.read_bytes()[:-3]),
        lambda file: file.write_bytes(file.read_bytes().replace(b"it is", b"is it")),
    ],
)
def test_what_is_spoilt_is_compiled_anew(
    folder: Path, filled: list[bool], spoil: Callable[[Path], None]
) -> None:
    shown("a")
    spoil(next(folder.iterdir()))
    assert shown("b") == "b it is"
    assert filled == [False, False]


def test_another_template_or_setting_is_compiled_anew(
    folder: Path, filled: list[bool], monkeypatch: pytest.MonkeyPatch
) -> None:
    shown("a")
    shown("a", trims=True)
    monkeypatch.setitem(TEMPLATES, "one.html", "{{ word }} it was")
    assert shown("b") == "b it was"
    assert filled == [False, False, False]
    assert folder.is_dir()


def test_where_nothing_can_be_written_it_is_compiled_each_time(folder: Path, filled: list[bool]) -> None:
    folder.write_text("not a folder")
    assert [shown("a"), shown("b")] == ["a it is", "b it is"]
    assert filled == [False, False]
