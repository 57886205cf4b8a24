"""Files and folders that cannot be looked into are problems like any other."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from kb.shop import load_shop
from tests.golden.cases import BENCH


@pytest.fixture
def bench(tmp_path: Path) -> Path:
    """A copy of the sound shop, to be spoilt."""
    return Path(shutil.copytree(BENCH, tmp_path / "shop"))


@pytest.fixture
def locked(bench: Path) -> Iterator[Path]:
    """The same with a fault and a folder that nobody may read; nothing is locked for the superuser."""
    fault, folder = bench / "faults" / "clock-stops.yml", bench / "parts"
    fault.chmod(0)
    folder.chmod(0)
    yield bench
    fault.chmod(0o644)
    folder.chmod(0o755)


def lines_of(shop: Path) -> list[str]:
    return [str(problem) for problem in load_shop(shop)[1]]


NO_FOLDER = "it must be a folder that you may open"


def test_what_may_not_be_read_is_told_and_nothing_that_names_it_is_called_dangling(locked: Path) -> None:
    if os.access(locked / "faults" / "clock-stops.yml", os.R_OK):
        pytest.skip("this user may read everything")
    assert lines_of(locked) == [
        "faults/clock-stops.yml:1:1: the file cannot be read (Permission denied); check its rights",
        f"parts/:1:1: the folder cannot be read (Permission denied); {NO_FOLDER}",
    ]


def test_a_file_where_a_folder_must_be_is_told_and_nothing_is_called_dangling(bench: Path) -> None:
    shutil.rmtree(bench / "parts")
    (bench / "parts").write_text("none yet\n", encoding="utf-8")
    assert lines_of(bench) == [f"parts/:1:1: the folder cannot be read (Not a directory); {NO_FOLDER}"]


def test_a_folder_that_is_not_there_is_no_problem(bench: Path) -> None:
    shutil.rmtree(bench / "jobs")
    assert lines_of(bench) == []


def test_a_folder_named_like_a_file_holds_records_all_the_same(bench: Path) -> None:
    (bench / "faults" / "old.yml").mkdir()
    shutil.move(bench / "faults" / "clock-stops.yml", bench / "faults" / "old.yml" / "clock-stops.yml")
    assert lines_of(bench) == []


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no pipes with names here")
def test_a_pipe_is_not_waited_for(bench: Path) -> None:
    os.mkfifo(bench / "parts" / "pipe.yml")
    assert lines_of(bench) == [
        "parts/pipe.yml:1:1: the file cannot be read (it is no ordinary file); check its rights"
    ]


def test_a_link_that_goes_round_is_told(bench: Path) -> None:
    (bench / "parts" / "round.yml").symlink_to("round.yml")
    (line,) = lines_of(bench)
    assert line.startswith("parts/round.yml:1:1: the file cannot be read (")


def test_no_folder_at_all_is_one_problem(tmp_path: Path) -> None:
    assert lines_of(tmp_path / "nowhere") == [
        f'{tmp_path}/nowhere:1:1: there is no folder "nowhere"; name a shop folder; halfsplit start makes one'
    ]


def test_an_empty_folder_lacks_only_the_shops_card(tmp_path: Path) -> None:
    assert lines_of(tmp_path) == ["shop.yml:1:1: shop.yml is missing; halfsplit start writes a first one"]


def test_a_file_name_that_would_break_the_line_is_written_out(bench: Path) -> None:
    (bench / "parts" / "two\nlines.yml").write_text("name: p\n", encoding="utf-8")
    (line,) = lines_of(bench)
    assert line.startswith('parts/two\\nlines.yml:1:1: the file name "two\\nlines.yml" cannot be an id')
