"""An index that is kept between two questions: never wrong after an edit, and never in the way."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from kb.search.kept import PLACE, State, keep, load, pack, unpack


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    for name in (
        "models/pacer.yml",
        "faults/pacer/one.yml",
        "faults/two.yml",
        "jobs/2026/a.yml",
        "synonyms.yml",
    ):
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text("first", encoding="utf-8")
    return tmp_path


def key(shop: Path) -> str:
    return State.of(shop).key


def same_size_and_time(file: Path) -> None:
    times = file.stat()
    file.write_text("other", encoding="utf-8")
    os.utime(file, ns=(times.st_atime_ns, times.st_mtime_ns))


@pytest.mark.parametrize(
    "edit",
    [
        lambda shop: (shop / "faults" / "two.yml").write_text("longer than before", encoding="utf-8"),
        lambda shop: same_size_and_time(shop / "faults" / "two.yml"),
        lambda shop: (shop / "faults" / "two.yml").unlink(),
        lambda shop: (shop / "faults" / "two.yml").rename(shop / "faults" / "three.yml"),
        lambda shop: (shop / "faults" / "pacer" / "new.yml").write_text("first", encoding="utf-8"),
        lambda shop: (shop / "models" / "pacer.yml").write_text("x", encoding="utf-8"),
        lambda shop: (shop / "jobs" / "2026" / "b.yml").write_text("x", encoding="utf-8"),
        lambda shop: (shop / "synonyms.yml").unlink(),
        lambda shop: (shop / "faults" / "two.yml").chmod(0o600),
    ],
)
def test_every_edit_gives_another_key(shop: Path, edit) -> None:  # type: ignore[no-untyped-def]  # noqa: ANN001
    before = key(shop)
    assert key(shop) == before
    edit(shop)
    assert key(shop) != before


def test_what_the_search_does_not_read_changes_nothing(shop: Path) -> None:
    before = key(shop)
    (shop / "parts").mkdir()
    (shop / "parts" / "belt.yml").write_text("x", encoding="utf-8")
    assert key(shop) == before


def test_a_file_just_written_is_not_settled(shop: Path) -> None:
    state = State.of(shop)
    assert not state.is_settled("faults/two.yml")
    later = State(state.stamps, state.taken_ns + 10_000_000_000)
    assert later.all_settled
    assert not later.is_settled("faults/unheard-of.yml")


def test_what_is_kept_comes_back_for_its_key_alone(shop: Path) -> None:
    keep(shop, "index", "k1", b"body\nof lines")
    assert load(shop, "index", "k1") == b"body\nof lines"
    assert load(shop, "index", "k2") is None
    assert load(shop, "other", "k1") is None
    keep(shop, "index", "k2", b"new")
    assert (load(shop, "index", "k1"), load(shop, "index", "k2")) == (None, b"new")
    assert [each.name for each in (shop / PLACE).iterdir()] == ["index"]


@pytest.mark.parametrize(
    "spoil",
    [
        lambda data: data[:0],
        lambda data: data[:-1],
        lambda data: data + b"x",
        lambda data: data.replace(b"body", b"b\x00dy"),
        lambda data: b"\xff" * len(data),
        lambda data: data.partition(b"\n")[2],
    ],
)
def test_what_was_spoilt_is_not_used(shop: Path, spoil) -> None:  # type: ignore[no-untyped-def]  # noqa: ANN001
    keep(shop, "index", "k1", b"body")
    file = shop / PLACE / "index"
    file.write_bytes(spoil(file.read_bytes()))
    assert load(shop, "index", "k1") is None


@pytest.mark.parametrize("in_the_way", [".halfsplit", ".halfsplit/find", ".halfsplit/find/index"])
def test_nothing_can_be_in_the_way(shop: Path, in_the_way: str) -> None:
    place = shop / in_the_way
    place.parent.mkdir(parents=True, exist_ok=True)
    if in_the_way.endswith("index"):
        (place / "folder").mkdir(parents=True)
    else:
        place.write_text("a file where a folder should be", encoding="utf-8")
    keep(shop, "index", "k1", b"body")
    assert load(shop, "index", "k1") is None


def test_named_values_are_read_one_by_one() -> None:
    files = {"search/a.js": ["t\tab", "line\nline", "é"], "left-out": 3}
    assert unpack(pack(files)) == {"left-out": b"3", "search/a.js": b'["t\\tab","line\\nline","\\u00e9"]'}
