"""An older folder is brought up to date after a look at the changes, whole or not at all, comments kept."""

from __future__ import annotations

import os
import subprocess
from pathlib import Path

import pytest

from kb.cli import upgrade as command
from kb.moving.upgrading import STEPS, upgraded
from kb.records.shop import FORMAT
from tests.benches import copied, found_in
from tests.cli.shops import run, started


def files_in(folder: Path) -> dict[str, bytes]:
    return {
        path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()
    }


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("GIT_CEILING_DIRECTORIES", str(tmp_path))
    return copied(tmp_path / "my shop №1")


def test_the_steps_lead_from_one_format_to_the_next_up_to_that_of_today() -> None:
    assert [step.to for step in STEPS] == list(range(2, FORMAT + 1))


def test_the_changes_are_shown_and_nothing_is_written(shop: Path) -> None:
    before = files_in(shop)
    found = run("upgrade", str(shop))
    assert found.exit_code == 0, found.stderr
    assert "+format: 2\n name: One Bench\n" in found.stdout
    assert "nothing was written yet" in found.stdout
    assert files_in(shop) == before


def test_written_it_is_one_line_more_and_the_second_time_nothing(shop: Path) -> None:
    before = files_in(shop)
    (shop / "shop.yml").chmod(0o640)
    assert run("upgrade", str(shop), "--write").exit_code == 0
    after = files_in(shop)
    assert after.pop("shop.yml") == before.pop("shop.yml").replace(b"name: One", b"format: 2\nname: One")
    assert after == before
    assert (shop / "shop.yml").stat().st_mode & 0o777 == 0o640
    assert found_in(shop) == []
    assert "the newest; nothing to do" in run("upgrade", str(shop), "--write").stdout


def test_a_new_shop_has_the_format_of_today(tmp_path: Path) -> None:
    assert "nothing to do" in run("upgrade", str(started(tmp_path / "shop"))).stdout


@pytest.mark.parametrize(
    ("card", "expected"),
    [
        ("name: x\n", "format: 2\nname: x\n"),
        ("# a\n\nname: x # b\n", "# a\n\nformat: 2\nname: x # b\n"),
        ("\ufeffname: x\r\nplace: y\r\n", "\ufeffformat: 2\r\nname: x\r\nplace: y\r\n"),
        ("---\nname: x\n", "---\nformat: 2\nname: x\n"),
        ("{name: x}", "{format: 2, name: x}"),
        ("  name: x\n  place: y\n", "  format: 2\n  name: x\n  place: y\n"),
        ("name: x\nformat: 1 # old\n", "name: x\nformat: 2 # old\n"),
        ('# a\r\nname: x\r\nformat: "1"\r\n', '# a\r\nname: x\r\nformat: "2"\r\n'),
    ],
)
def test_the_number_finds_its_place_however_the_file_is_written(card: str, expected: str) -> None:
    assert upgraded({"shop.yml": card})[1] == {"shop.yml": expected}


def test_records_of_tomorrow_are_left_alone(shop: Path) -> None:
    card = shop / "shop.yml"
    card.write_text("format: 3\n" + card.read_text(encoding="utf-8"), encoding="utf-8")
    before = files_in(shop)
    for words in (["upgrade", str(shop), "--write"], ["check", str(shop)], ["dump", str(shop)]):
        found = run(*words)
        assert found.exit_code == 1
        assert found.stderr.splitlines()[0].startswith("shop.yml:1:9: the records have format 3;")
    assert files_in(shop) == before


def test_what_git_does_not_hold_is_not_changed_unless_told(shop: Path) -> None:
    environment = {**os.environ, "GIT_CONFIG_GLOBAL": os.devnull}
    who = ["-c", "user.name=a", "-c", "user.email=a@b"]
    for words in (["init", "-q"], ["add", "."], [*who, "commit", "-q", "-m", "a"]):
        subprocess.run(["git", *words], cwd=shop, check=True, env=environment)
    card = shop / "shop.yml"
    card.write_bytes(card.read_bytes() + b"# mine\n")
    found = run("upgrade", str(shop), "--write")
    assert found.exit_code == 2
    assert "git holds no commit of the present state of shop.yml" in found.stderr
    assert b"format" not in card.read_bytes()
    subprocess.run(["git", *who, "commit", "-qam", "b"], cwd=shop, check=True, env=environment)
    assert run("upgrade", str(shop), "--write").exit_code == 0
    assert b"format: 2" in card.read_bytes()


def test_told_so_it_changes_what_is_not_committed(shop: Path) -> None:
    subprocess.run(["git", "init", "-q"], cwd=shop, check=True)
    assert run("upgrade", str(shop), "--write").exit_code == 2
    assert run("upgrade", str(shop), "--write", "--even-uncommitted").exit_code == 0


def test_a_failure_half_way_brings_the_first_files_back(shop: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    old = {
        "shop.yml": (shop / "shop.yml").read_bytes().decode(),
        "parts/belt.yml": "",
        "parts/none/x.yml": "",
    }
    before = files_in(shop)
    move = Path.replace

    def fails_at_the_second(path: Path, target: Path) -> Path:
        if target.name != "shop.yml":
            raise OSError(28, "No space left on device", str(target))
        return move(path, target)

    monkeypatch.setattr(Path, "replace", fails_at_the_second)
    with pytest.raises(SystemExit, match="2"):
        command._write_all(shop, old, {"shop.yml": "new", "parts/belt.yml": "new"})
    assert files_in(shop) == before


def test_no_shop_is_a_mistake_of_the_command(tmp_path: Path) -> None:
    assert run("upgrade", str(tmp_path)).exit_code == 2
