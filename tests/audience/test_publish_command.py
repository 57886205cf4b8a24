"""`halfsplit publish` puts a whole site in place or touches nothing."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from kb.cli import placing
from kb.cli import publish as module
from kb.cli.main import main
from kb.pages.public import MARK
from tests.audience.public_bench import tree, write_public_bench


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return write_public_bench(tmp_path / "shop")


def publish(folder: Path, target: Path) -> Result:
    return CliRunner().invoke(main, ["publish", str(folder), "--to", str(target)])


def nothing_beside(tmp_path: Path) -> bool:
    return not [path for path in tmp_path.iterdir() if path.name.startswith(".")]


def test_it_says_what_was_published_and_where(folder: Path, tmp_path: Path) -> None:
    done = publish(folder, tmp_path / "deep" / "site")
    assert done.exit_code == 0
    assert done.output.startswith("1 guide, 2 faults, 1 picture published in ")
    assert str(tmp_path / "deep" / "site" / "index.html") in done.output
    assert set(tree(tmp_path / "deep" / "site")) >= {
        "index.html", "guides/for-owners.html", "faults/lull-socket.html", "models/lull.html",
        "parts/belt.html", MARK,
    }  # fmt: skip


def test_a_place_must_be_named(folder: Path) -> None:
    assert CliRunner().invoke(main, ["publish", str(folder)]).exit_code == 2


def test_the_new_site_replaces_all_of_the_old(folder: Path, tmp_path: Path) -> None:
    assert publish(folder, tmp_path / "site").exit_code == 0
    (tmp_path / "site" / "left-over.html").write_text("old", encoding="utf-8")
    (tmp_path / "site" / ".hidden").write_text("old", encoding="utf-8")
    assert publish(folder, tmp_path / "site").exit_code == 0
    assert not {"left-over.html", ".hidden"} & set(tree(tmp_path / "site"))
    assert nothing_beside(tmp_path)


def test_a_folder_of_something_else_is_left_alone(folder: Path, tmp_path: Path) -> None:
    other = tmp_path / "letters"
    other.mkdir()
    (other / "letter.txt").write_text("dear", encoding="utf-8")
    before = tree(folder)
    for target in (other, folder, folder / "photos", other / "letter.txt"):
        done = publish(folder, target)
        assert done.exit_code == 2
        assert "is not a customers' site made by halfsplit" in done.output
    assert (tree(other), tree(folder)) == ({"letter.txt": b"dear"}, before)


def test_the_shops_own_site_and_the_customers_never_take_each_others_place(
    folder: Path, tmp_path: Path
) -> None:
    shops, customers = tmp_path / "shops", tmp_path / "customers"
    runner = CliRunner()
    built = runner.invoke(main, ["build", str(folder), "--to", str(shops), "--with", "plain"])
    assert built.exit_code == 0, built.output
    assert publish(folder, customers).exit_code == 0
    before = tree(customers)
    assert publish(folder, shops).exit_code == 2
    assert (
        runner.invoke(main, ["build", str(folder), "--to", str(customers), "--with", "plain"]).exit_code == 2
    )
    assert tree(customers) == before


def test_an_interruption_leaves_the_old_site_whole(
    folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    target = tmp_path / "site"
    publish(folder, target)
    before = tree(target)

    def interrupted(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(module, "scan", interrupted)
    assert publish(folder, target).exit_code != 0
    assert tree(target) == before
    assert nothing_beside(tmp_path)


@pytest.mark.parametrize("error", [KeyboardInterrupt, OSError(28, "No space left on device")])
def test_an_interruption_between_two_renames_brings_the_old_site_back(
    folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, error: BaseException | type[BaseException]
) -> None:
    """Where two folders cannot change places in one step."""
    target = tmp_path / "site"
    publish(folder, target)
    before = tree(target)
    rename = Path.rename

    def refuse_the_new(self: Path, to: Path) -> Path:
        if self.name == "new":
            raise error
        return rename(self, to)

    monkeypatch.setattr(placing, "_swapped", lambda one, other: False)  # noqa: ARG005
    monkeypatch.setattr(Path, "rename", refuse_the_new)
    assert publish(folder, target).exit_code != 0
    assert tree(target) == before


@pytest.mark.skipif(sys.platform != "linux", reason="other systems have other calls")
def test_two_folders_change_places_in_one_step(tmp_path: Path) -> None:
    for name in ("one", "other"):
        (tmp_path / name).mkdir()
        (tmp_path / name / name).touch()
    assert placing._swapped(tmp_path / "one", tmp_path / "other")
    assert tree(tmp_path / "one") == {"other": b""}
    assert tree(tmp_path / "other") == {"one": b""}


def test_a_run_that_is_killed_leaves_the_old_site_whole(folder: Path, tmp_path: Path) -> None:
    target = tmp_path / "site"
    publish(folder, target)
    before = tree(target)
    program = (
        "import sys, time; from kb.cli import publish as p\n"
        "p.scan = lambda *a: (print('made', flush=True), time.sleep(60))\n"
        f"sys.argv = ['halfsplit', 'publish', {str(folder)!r}, '--to', {str(target)!r}]\n"
        "from kb.cli import main; main()"
    )
    with subprocess.Popen([sys.executable, "-c", program], stdout=subprocess.PIPE) as run:
        assert run.stdout is not None
        assert run.stdout.readline() == b"made\n"
        os.kill(run.pid, signal.SIGKILL)
    assert tree(target) == before
    assert not nothing_beside(tmp_path), "what it had made so far"
    assert publish(folder, target).exit_code == 0
    assert tree(target) == before
    assert nothing_beside(tmp_path), "the next run takes it away"


def test_the_same_records_give_the_same_bytes(folder: Path, tmp_path: Path) -> None:
    publish(folder, tmp_path / "one")
    publish(folder, tmp_path / "two")
    assert tree(tmp_path / "one") == tree(tmp_path / "two")


def test_no_file_says_where_or_by_whom_it_was_made(folder: Path, tmp_path: Path) -> None:
    publish(folder, tmp_path / "site")
    for name, data in tree(tmp_path / "site").items():
        assert str(tmp_path).encode() not in data, name
        assert b"Traceback" not in data, name
        assert name.endswith((".html", ".css", ".js", ".png", ".csv")), name
