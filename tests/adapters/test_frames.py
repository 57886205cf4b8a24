"""A site of which most files are finished already is the site that is made from nothing, byte for byte."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from halfsplit_mkdocs import frames
from kb.pages.store import PLACE
from tests.adapters.making import build_with_mkdocs, configured, files_of


def changed(file: Path, old: str, new: str) -> None:
    text = file.read_text(encoding="utf-8")
    assert old in text
    file.write_text(text.replace(old, new), encoding="utf-8")


def built_again(file: Path) -> dict[str, str]:
    build_with_mkdocs(file, file.parent / "site", strict=True)
    return files_of(file.parent / "site")


@pytest.fixture
def file(tmp_path: Path) -> Path:
    """The configuration of a small shop that keeps what it builds to itself."""
    found = configured(tmp_path, shares_figures=False)
    build_with_mkdocs(found, tmp_path / "site", strict=True)
    return found


def from_nothing(file: Path) -> dict[str, str]:
    for name in ("notes", "bodies", "frames"):
        (file.parent / "shop" / PLACE / name).unlink(missing_ok=True)
    return built_again(file)


def test_a_site_after_edits_is_as_one_from_nothing(file: Path) -> None:
    shop = file.parent / "shop"
    changed(shop / "faults/lull-belt-slips.yml", "title: Belt slips", "title: Belt & slips <b>")
    after = built_again(file)
    changed(shop / "faults/lull-belt-slips.yml", "older than the owner", "as old as the owner")
    # Made anew and then as it was: its frame is known from two builds before.
    changed(shop / "faults/lull-belt-slips.yml", "as old as the owner", "older than the owner")
    (shop / PLACE / "notes").unlink()
    assert built_again(file) == after
    assert from_nothing(file) == after


def test_a_setting_that_pages_show_makes_every_frame_anew(file: Path) -> None:
    before = files_of(file.parent / "site")
    changed(file, "name: material", "name: material\n  language: de")
    after = built_again(file)
    assert after != before
    assert from_nothing(file) == after


def test_where_somebody_else_has_a_say_no_frame_is_kept(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    changed(file, "plugins:", "hooks: [hook.py]\nplugins:")
    (file.parent / "hook.py").write_text(
        "def on_post_page(output, page, config):\n    return output + '<i>hook</i>'\n"
    )
    monkeypatch.setattr(frames.Frames, "keep", lambda self: self._store and pytest.fail("kept"))
    build_with_mkdocs(file, file.parent / "site", strict=True)
    assert "<i>hook</i>" in (file.parent / "site/models/pacer.html").read_text(encoding="utf-8")


BUILD = """
import sys
from pathlib import Path
from tests.adapters.making import build_with_mkdocs
print("begins", flush=True)
build_with_mkdocs(Path(sys.argv[1]), Path(sys.argv[2]), strict=True)
"""


@pytest.mark.parametrize("after_s", [0.1, 0.5, 0.9, 1.3])
def test_a_build_that_was_killed_leaves_nothing_wrong(file: Path, after_s: float) -> None:
    changed(file.parent / "shop/shop.yml", "One Bench", "Another Bench")
    repository = Path(__file__).parents[2]
    environment = {
        **os.environ,
        "PYTHONPATH": os.pathsep.join([str(repository), str(repository / "plugins")]),
    }
    command = [sys.executable, "-c", BUILD, str(file), str(file.parent / "killed")]
    with subprocess.Popen(command, env=environment, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL) as run:
        assert run.stdout is not None
        run.stdout.readline()
        time.sleep(after_s)
        run.send_signal(signal.SIGKILL)
    after = built_again(file)
    assert from_nothing(file) == after
