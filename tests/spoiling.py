"""Ways in which a file that was kept for the next run goes bad."""

from __future__ import annotations

from pathlib import Path


def cut_short(file: Path) -> None:
    file.write_bytes(file.read_bytes()[:-100])


def changed_inside(file: Path) -> None:
    data = bytearray(file.read_bytes())
    data[len(data) // 2] ^= 1
    file.write_bytes(bytes(data))


def emptied(file: Path) -> None:
    file.write_bytes(b"")


def unsigned(file: Path) -> None:
    file.write_bytes(b"0" * 64 + b"\n" + file.read_bytes().partition(b"\n")[2])


def a_folder_instead(file: Path) -> None:
    file.unlink()
    file.mkdir()
