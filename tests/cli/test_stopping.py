"""A command that is stopped, or finds the disk full, leaves what was there and nothing of its own."""

from __future__ import annotations

import errno
import os
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import IO, Any

import pytest

from tests.benches import ONE_BENCH, copied
from tests.cli.shops import run

OPEN = Path.open
Event = Callable[[], object]


@pytest.fixture(autouse=True)
def heard_ctrl_c() -> Iterator[None]:
    """A run in the background may have been started deaf to Ctrl-C, and what it starts would be deaf, too."""
    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    yield
    signal.signal(signal.SIGINT, before)


def full() -> None:
    raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))


def at_the_write(monkeypatch: pytest.MonkeyPatch, number: int, event: Event) -> list[Path]:
    """Let `event` happen at that write, counted from 1, below the folder where the test is."""
    writes: list[Path] = []

    def watched(path: Path, mode: str = "r", *more: Any, **options: Any) -> IO[Any]:
        if set(mode) & set("wx"):
            writes.append(path)
            if len(writes) == number:
                OPEN(path, mode, *more, **options).close()
                event()
        return OPEN(path, mode, *more, **options)

    monkeypatch.setattr(Path, "open", watched)
    return writes


def everything_in(folder: Path) -> dict[str, bytes]:
    return {
        path.relative_to(folder).as_posix(): path.read_bytes() if path.is_file() else b""
        for path in folder.rglob("*")
    }


COMMANDS = {
    "publish": (["publish", "shop", "--to", "public"], (2, 5, 7)),
    "dump": (["dump", "shop", "--to", "old.json"], (2,)),
    "load": (["load", "old.json", "--to", "new", "--files-from", "shop"], (1, 7, 20)),
    "start": (["start", "another"], (1, 12)),
    "table": (["load", "notes.csv", "--shop", "shop", "--write"], (1, 2)),
}
NOTES = (
    "Model,Block,Revision,Problem,Cause,Fix\n"
    "pacer,clock,a,lamp glows,dry joint,reflow it\npacer,clock,a,lamp dims,dry joint,reflow it\n"
)


@pytest.fixture
def place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with a shop, an older customers' site of it, an older dump and a table."""
    folder = tmp_path / "Wérk №1 of mine"
    copied(folder / "shop")
    (folder / "notes.csv").write_text(NOTES, encoding="utf-8")
    monkeypatch.chdir(folder)
    assert run("publish", "shop", "--to", "public").exit_code == 0
    assert run("dump", "shop", "--to", "old.json").exit_code == 0
    return folder


CASES = [(name, number) for name, (_, numbers) in COMMANDS.items() for number in numbers]


@pytest.mark.parametrize(("name", "number"), CASES)
@pytest.mark.parametrize(
    ("event", "code"),
    [
        (lambda: signal.raise_signal(signal.SIGINT), 130),
        (lambda: signal.raise_signal(signal.SIGTERM), 143),
        (full, 2),
    ],
    ids=["SIGINT", "SIGTERM", "full disk"],
)
def test_what_was_there_is_as_it_was(
    name: str, number: int, event: Event, code: int, place: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = everything_in(place)
    writes = at_the_write(monkeypatch, number, event)
    found = run(*COMMANDS[name][0])
    monkeypatch.undo()
    assert len(writes) >= number
    assert found.exit_code == code, found.output
    assert (found.stderr == "stopped\n") == (event is not full)
    assert everything_in(place) == before
    assert "Traceback" not in found.output
    assert signal.getsignal(signal.SIGTERM) == signal.SIG_DFL


def test_the_same_commands_do_their_work_when_they_are_left_alone(place: Path) -> None:
    before = everything_in(place)
    for words, _ in COMMANDS.values():
        found = run(*words)
        assert found.exit_code == 0, found.output
    assert len(everything_in(place)) > len(before)


@pytest.mark.slow
@pytest.mark.parametrize(("number", "code"), [(signal.SIGINT, 130), (signal.SIGTERM, 143)])
def test_a_build_that_is_stopped_in_the_middle_says_so_in_one_word(
    tmp_path: Path, number: signal.Signals, code: int
) -> None:
    shutil.copytree(ONE_BENCH, tmp_path / "shop", ignore=shutil.ignore_patterns(".halfsplit"))
    before = everything_in(tmp_path)
    program = "from kb.cli.main import main; main()"
    words = [sys.executable, "-c", program, "build", "shop", "--to", "site", "--with", "plain"]
    build = subprocess.Popen(words, cwd=tmp_path, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
                             start_new_session=True)  # fmt: skip
    while build.poll() is None and not list(tmp_path.glob(".site-*/new")):
        time.sleep(0.01)
    os.killpg(build.pid, number)
    assert build.communicate() == ("", "stopped\n")
    assert build.returncode == code
    assert {name for name in everything_in(tmp_path) if ".halfsplit" not in name} == set(before)
