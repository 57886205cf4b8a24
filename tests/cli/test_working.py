"""What a killed run left behind goes with the next run; what lives or is not ours stays."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from kb.cli.placing import in_place_of
from kb.cli.working import MARK, remove_left_overs, working_folder

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="there are no such locks")

PROGRAM = """
import sys, time
from pathlib import Path
from kb.cli.working import working_folder
with working_folder(Path(sys.argv[1])) as folder:
    (folder / "new").mkdir()
    (folder / "new" / "page.html").write_text("half")
    print(folder, flush=True)
    time.sleep(600)
"""


@contextmanager
def another_run(target: Path) -> Iterator[tuple[Path, Callable[[], None]]]:
    """A run at work in a process of its own: its folder, and what kills it."""
    with subprocess.Popen(
        [sys.executable, "-c", PROGRAM, str(target)], stdout=subprocess.PIPE, encoding="utf-8"
    ) as run:
        assert run.stdout is not None

        def kill() -> None:
            os.kill(run.pid, signal.SIGKILL)
            run.wait()

        try:
            yield Path(run.stdout.readline().strip()), kill
        finally:
            run.kill()


def test_the_folder_of_a_run_goes_when_the_run_was_killed_and_not_before(tmp_path: Path) -> None:
    target = tmp_path / "site"
    with another_run(target) as (folder, kill):
        remove_left_overs(target)
        assert (folder / "new" / "page.html").exists(), "it is still at work"
        kill()
        remove_left_overs(tmp_path / "another-site")
        assert folder.exists(), "it is of another site"
        with in_place_of(target, "mark", "a site") as fresh:
            assert not folder.exists()
            (fresh / "mark").touch()
    assert [each.name for each in tmp_path.iterdir()] == ["site"]


def test_a_site_that_was_moved_away_comes_back_first(tmp_path: Path) -> None:
    """Killed between two renames, the only whole site is the old one in the left-over."""
    target = tmp_path / "site"
    with another_run(target) as (folder, kill):
        (folder / "old").mkdir()
        (folder / "old" / "mark").write_text("whole", encoding="utf-8")
        kill()
    with pytest.raises(KeyboardInterrupt), in_place_of(target, "mark", "a site"):
        raise KeyboardInterrupt
    assert (target / "mark").read_text(encoding="utf-8") == "whole"
    assert not folder.exists()


def test_an_old_site_is_not_brought_back_over_a_new_one(tmp_path: Path) -> None:
    target = tmp_path / "site"
    with another_run(target) as (folder, kill):
        (folder / "old").mkdir()
        kill()
    target.mkdir()
    (target / "mark").write_text("new", encoding="utf-8")
    remove_left_overs(target)
    assert (target / "mark").read_text(encoding="utf-8") == "new"
    assert not folder.exists()


@pytest.mark.parametrize("name", [".site-backup", ".site-abcdefgh", ".site-abcdefghi", "site-abcdefgh"])
def test_a_folder_without_the_mark_is_somebody_elses(tmp_path: Path, name: str) -> None:
    (tmp_path / name).mkdir()
    (tmp_path / name / "letter.txt").touch()
    remove_left_overs(tmp_path / "site")
    assert (tmp_path / name / "letter.txt").exists()


@pytest.mark.parametrize("name", [".site-backup", ".site-ABCDEFGH", ".other-abcdefgh", "site-abcdefgh"])
def test_a_name_that_no_run_gives_is_somebody_elses_with_the_mark_too(tmp_path: Path, name: str) -> None:
    (tmp_path / name).mkdir()
    (tmp_path / name / MARK).touch()
    remove_left_overs(tmp_path / "site")
    # ".site-backup" has no more than six letters behind its hyphen.
    assert (tmp_path / name / MARK).exists()


def test_what_a_link_leads_to_is_left_alone(tmp_path: Path) -> None:
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    (elsewhere / MARK).touch()
    (tmp_path / ".site-abcdefgh").symlink_to(elsewhere)
    inside = tmp_path / ".site-bcdefghi"
    inside.mkdir()
    (inside / MARK).symlink_to(elsewhere / MARK)
    remove_left_overs(tmp_path / "site")
    assert (elsewhere / MARK).exists()
    assert inside.exists()


def test_a_run_that_ends_by_itself_leaves_nothing(tmp_path: Path) -> None:
    with working_folder(tmp_path / "report.pdf") as folder:
        assert (folder / MARK).exists()
        assert folder.stat().st_mode & 0o077 == 0, "nobody else reads what is not finished"
    with pytest.raises(ZeroDivisionError), working_folder(tmp_path / "report.pdf"):
        raise ZeroDivisionError
    assert not list(tmp_path.iterdir())


def test_a_place_whose_folder_is_missing_has_no_left_overs(tmp_path: Path) -> None:
    remove_left_overs(tmp_path / "nowhere" / "site")
    assert not (tmp_path / "nowhere").exists()
