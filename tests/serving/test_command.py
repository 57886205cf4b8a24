"""`halfsplit serve` as it is typed: there at once, gone at once, and nothing left behind."""

from __future__ import annotations

import os
import signal
import socket
import subprocess
import sys
import urllib.request
from pathlib import Path

import pytest
from click.testing import CliRunner

from kb.cli import main


def test_a_port_in_use_is_said(tmp_path: Path) -> None:
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
        found = CliRunner().invoke(main, ["serve", str(tmp_path), "--port", str(port)])
    assert found.exit_code == 2
    assert f"port {port} cannot be used (Address already in use)" in found.stderr


def test_a_folder_that_is_not_there_is_a_mistake_of_the_command(tmp_path: Path) -> None:
    assert CliRunner().invoke(main, ["serve", str(tmp_path / "none")]).exit_code == 2


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM])
def test_it_is_up_whatever_is_wrong_and_ends_when_told(tmp_path: Path, number: int) -> None:
    shop, work = tmp_path / "shop", tmp_path / "work"
    shop.mkdir()
    work.mkdir()
    command = [
        sys.executable,
        "-c",
        "from kb.cli import main; main()",
        "serve",
        str(shop),
        "--port",
        "0",
        "--with",
        "plain",
    ]
    running = subprocess.Popen(
        command, stdout=subprocess.PIPE, text=True, env={**os.environ, "TMPDIR": str(work)}
    )
    with running:
        assert running.stdout is not None
        address = running.stdout.readline().split()[0]
        told = [running.stdout.readline() for _ in range(2)]
        assert told[0] == "shop.yml:1:1: shop.yml is missing; halfsplit start writes a first one\n"
        assert told[1].endswith("1 problem; there is no site yet\n")
        with urllib.request.urlopen(f"{address}_serve/state") as answer:  # noqa: S310 - our own server
            assert b"shop.yml is missing" in answer.read()
        running.send_signal(number)
        assert running.stdout.read() == "ended\n"
    assert running.returncode == 0
    assert list(work.iterdir()) == []
