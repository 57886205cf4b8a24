"""A shop folder that nobody may write to: what only reads it works, and the rest says why not."""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

import pytest

from kb.cli.build import need_room_for_work
from tests.benches import copied
from tests.cli.shops import run

MOUNTED = 'mount --bind "$1" "$1" && mount -o remount,bind,ro "$1" && echo mounted && exec "$2" -c "$3" "$4"'
PROGRAM = """
import json, sys
from tests.cli.shops import run
for words in json.loads(sys.argv[1]):
    done = run(*words)
    print(json.dumps([done.exit_code, done.stdout, done.stderr]), flush=True)
"""


def on_a_read_only_mount(shop: Path, commands: list[list[str]]) -> list[tuple[int, str, str]]:
    """The outcome of each command, with `shop` mounted read-only for these commands alone."""
    unshare = shutil.which("unshare")
    if unshare is None:
        pytest.skip("there is no unshare here, so nothing can be mounted")
    words = [unshare, "-rm", "sh", "-c", MOUNTED, "sh", str(shop), sys.executable, PROGRAM]
    root = Path(__file__).parent.parent.parent
    done = subprocess.run(
        [*words, json.dumps(commands)], cwd=root, capture_output=True, text=True, check=False
    )
    head, *lines = done.stdout.splitlines() or [""]
    if head != "mounted":
        pytest.skip(f"this system mounts nothing for ordinary users: {done.stderr.strip()}")
    assert done.returncode == 0, done.stderr
    return [tuple(json.loads(line)) for line in lines]


def test_a_shop_on_a_read_only_disk_is_read_and_its_site_goes_elsewhere(tmp_path: Path) -> None:
    shop, site = copied(tmp_path / "shop"), tmp_path / "site"
    before = {path: path.read_bytes() for path in shop.rglob("*") if path.is_file()}
    reading = [
        ["check", str(shop)], ["find", "misses", "beats", "--shop", str(shop)],
        ["find", "misses", "beats", "--shop", str(shop)],
        ["rank", "pacer", "--serial", "PA-0007", "--shop", str(shop)],
        ["calc", "gate_match", "output=pacer/clock-out", "input=pacer/reset-in", "--shop", str(shop)],
        ["build", str(shop), "--to", str(site), "--with", "plain"],
        ["handover", "2026-pacer-0007", "--shop", str(shop), "--to", str(tmp_path / "report.html")],
    ]  # fmt: skip
    writing = [
        ["build", str(shop), "--with", "plain"],
        ["handover", "2026-pacer-0007", "--shop", str(shop), "--to", str(shop / "report.html")],
        ["new", "fault", "lamp-dim", "--model", "pacer", "--shop", str(shop)],
    ]
    found = on_a_read_only_mount(shop, reading + writing)
    assert [(code, errors) for code, _, errors in found[: len(reading)]] == [(0, "")] * len(reading)
    assert found[1] == found[2]
    assert (site / "index.html").is_file()
    for code, said, errors in found[len(reading) :]:
        assert (code, said) == (2, "")
        assert "(Read-only file system); " in errors.splitlines()[-1]
    assert {path: path.read_bytes() for path in shop.rglob("*") if path.is_file()} == before


@pytest.mark.parametrize("command", ["build", "serve"])
def test_where_nothing_temporary_can_be_written_it_is_said(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, command: str
) -> None:
    def none() -> str:
        raise FileNotFoundError(2, "No usable temporary directory found")

    need_room_for_work()
    monkeypatch.setattr(tempfile, "gettempdir", none)
    found = run(command, str(copied(tmp_path / "shop")))
    assert found.exit_code == 2
    assert "no folder for temporary files can be written; name one that can in the variable TMPDIR" in (
        found.stderr
    )
    assert not (tmp_path / "shop" / "site").exists()
