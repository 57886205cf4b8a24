"""When a record last changed is what its git history says for certain, and nothing else."""

from __future__ import annotations

import os
import subprocess
from pathlib import Path

import pytest
from markupsafe import Markup

from kb.pages.changed_line import with_changes
from kb.pages.pageset import Page
from kb.reading import last_changed
from kb.reading.last_changed import Change, last_changes
from tests.benches import copied, small_shop
from tests.cli.shops import run

FILE = "faults/pacer-short-pulse.yml"


def git(folder: Path, *words: str, day: str = "2026-03-04") -> None:
    environment = {
        **os.environ, "GIT_CONFIG_GLOBAL": os.devnull, "GIT_CONFIG_NOSYSTEM": "1",
        "GIT_AUTHOR_NAME": "a", "GIT_AUTHOR_EMAIL": "a@b", "GIT_COMMITTER_NAME": "a",
        "GIT_COMMITTER_EMAIL": "a@b",
        "GIT_AUTHOR_DATE": f"{day}T23:30:00 +1100", "GIT_COMMITTER_DATE": "2026-06-01T00:00:00 +0000",
    }  # fmt: skip
    subprocess.run(["git", *words], cwd=folder, env=environment, check=True, capture_output=True)


def committed(folder: Path, day: str) -> None:
    git(folder, "add", "-A", ".")
    git(folder, "commit", "-q", "-m", "a change", day=day)


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    """A shop in a folder of a repository, two commits old."""
    git(tmp_path, "init", "-q")
    folder = copied(tmp_path / "my shöp №1")
    committed(tmp_path, "2026-03-04")
    (folder / "faults" / "new one.yml").write_text("x", encoding="utf-8")
    (folder / FILE).write_text("changed\n", encoding="utf-8")
    committed(tmp_path, "2026-03-07")
    return folder


def test_each_file_has_the_day_of_its_last_commit(shop: Path) -> None:
    found = last_changes(shop)
    assert found["shop.yml"] == Change("2026-03-04")
    assert found[FILE] == found["faults/new one.yml"] == Change("2026-03-07")
    assert set(found) == {path.relative_to(shop).as_posix() for path in shop.rglob("*") if path.is_file()}


def test_what_is_not_committed_is_said_and_what_never_was_has_no_day(shop: Path) -> None:
    (shop / FILE).write_text("again\n", encoding="utf-8")
    (shop / "faults" / "fresh.yml").write_text("x", encoding="utf-8")
    found = last_changes(shop)
    assert found[FILE] == Change("2026-03-07", is_changed_since=True)
    assert "faults/fresh.yml" not in found


def test_a_clone_that_was_cut_off_says_nothing_false(shop: Path, tmp_path: Path) -> None:
    git(tmp_path, "clone", "-q", "--depth", "1", tmp_path.as_uri(), str(tmp_path / "clone"))
    assert last_changes(tmp_path / "clone" / shop.name) == {}
    (tmp_path / "clone" / shop.name / "shop.yml").write_text("x", encoding="utf-8")
    committed(tmp_path / "clone", "2026-03-09")
    assert last_changes(tmp_path / "clone" / shop.name) == {"shop.yml": Change("2026-03-09")}


def test_no_repository_no_commit_and_no_git_say_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = copied(tmp_path / "shop")
    monkeypatch.setenv("GIT_CEILING_DIRECTORIES", str(tmp_path))
    assert last_changes(folder) == {}
    git(folder, "init", "-q")
    assert last_changes(folder) == {}
    committed(folder, "2026-03-04")
    assert last_changes(folder)["shop.yml"] == Change("2026-03-04")
    monkeypatch.setattr(last_changed.shutil, "which", lambda _: None)
    assert last_changes(folder) == {}


def test_no_setting_of_the_repository_or_the_user_has_a_say(
    shop: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = last_changes(shop)
    trap = tmp_path / "trap.sh"
    trap.write_text(f"#!/bin/sh\ntouch '{tmp_path}/sprung'\n", encoding="utf-8")
    trap.chmod(0o755)
    for name in ("core.fsmonitor", "core.pager", "diff.external", "gpg.program"):
        git(tmp_path, "config", name, str(trap))
    git(tmp_path, "config", "log.showSignature", "true")
    git(tmp_path, "config", "diff.noprefix", "true")
    monkeypatch.setenv("GIT_EXTERNAL_DIFF", str(trap))
    monkeypatch.setenv("GIT_DIR", str(tmp_path / "elsewhere"))
    assert last_changes(shop) == before
    assert not (tmp_path / "sprung").exists()


def test_pages_of_records_end_with_the_line_and_others_do_not() -> None:
    pages = [
        Page(path, "", "", Markup("<p>x</p>\n")) for path in ("faults/pacer-short-pulse.html", "index.html")
    ]
    changed, home = with_changes(small_shop(), pages, {FILE: Change("2026-03-07", is_changed_since=True)})
    says = "Record last changed 2026-03-07, and since then without a commit."
    line = f'<p class="hs-quiet hs-changed">{says}</p>\n'
    assert changed.body == "<p>x</p>\n" + line
    assert home == pages[1]
    plain, _ = with_changes(small_shop(), pages, {FILE: Change("2026-03-07")})
    assert plain.body.endswith("last changed 2026-03-07.</p>\n")


def test_the_customers_site_tells_no_day(tmp_path: Path) -> None:
    folder = copied(tmp_path / "shop")
    git(folder, "init", "-q")
    committed(folder, "2031-03-04")
    found = run("publish", str(folder), "--to", str(tmp_path / "site"))
    assert found.exit_code == 0, found.stderr
    pages = [path.read_text(encoding="utf-8") for path in (tmp_path / "site").rglob("*.html")]
    assert pages
    assert not [page for page in pages if "last changed" in page or "2031" in page]
