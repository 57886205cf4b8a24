"""A shop read with what an earlier run kept is the shop read without: the same records, the same problems."""

from __future__ import annotations

import os
import pickle
import random
import re
import subprocess
from collections.abc import Callable, Iterator
from decimal import Decimal
from pathlib import Path

import pytest

from kb import store
from kb.problems import Problem
from kb.quantities import conversion
from kb.quantities.spellings import UNITS
from kb.reading import kept_records, kept_units, packing, record
from kb.reading.kept_records import ALL, SINCE
from kb.records import Fault
from kb.shop import Shop, load_shop
from kb.store import PLACE, Store
from tests.benches import HANDBOOK, copied
from tests.spoiling import a_folder_instead, changed_inside, cut_short, emptied, unsigned

Found = tuple[Shop | None, tuple[Problem, ...]]


@pytest.fixture(autouse=True)
def a_key_of_its_own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    # A dozen records count as many here, so that both entries are used.
    monkeypatch.setattr(kept_records, "FEWEST_TO_WRITE_ALL", 2)
    store._secret.cache_clear()
    yield
    store._secret.cache_clear()
    as_in_another_process()


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    return copied(tmp_path / "shop")


def as_in_another_process() -> None:
    record.forget()
    kept_records.forget()


def with_kept(folder: Path, *, keeps: bool = True) -> Found:
    as_in_another_process()
    return load_shop(folder, HANDBOOK, Store(folder, keeps=keeps))


def without(folder: Path) -> Found:
    as_in_another_process()
    return load_shop(folder, HANDBOOK)


def assert_same(one: Found, other: Found) -> None:
    assert one[1] == other[1]
    assert [str(each) for each in one[1]] == [str(each) for each in other[1]]
    # Written out first: this asks for every tree.
    assert repr(one[0]) == repr(other[0])
    assert one[0] == other[0]


def files_read(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The files that are read from now on as a person wrote them."""
    found: list[str] = []
    read = record._read

    def noted(data: bytes, file: str, *rest: object) -> object:
        found.append(file)
        return read(data, file, *rest)  # type: ignore[arg-type]

    monkeypatch.setattr(record, "_read", noted)
    return found


def any_edit(folder: Path, draw: random.Random) -> None:
    """A line more, a line less, a line twice, other letters, another name: sound or not."""
    file = draw.choice(sorted([*folder.glob("*.yml"), *folder.glob("*/*.yml"), *folder.glob("*/*.md")]))
    lines = file.read_text(encoding="utf-8").split("\n")
    at = draw.randrange(len(lines))
    match draw.randrange(6):
        case 0:
            lines[at] += " more"
        case 1:
            del lines[at]
        case 2:
            lines.insert(at, lines[at])
        case 3:
            lines.insert(0, "# seen") if file.suffix == ".yml" else lines.append("Seen.")
        case 4:
            lines[at] = lines[at].upper()
        case _:
            file.rename(file.with_stem(f"{file.stem}-{draw.randrange(9)}"))
            return
    file.write_text("\n".join(lines), encoding="utf-8")


@pytest.mark.parametrize("seed", range(6))
def test_after_any_edits_it_is_as_without(shop: Path, seed: int) -> None:
    draw = random.Random(seed)
    with_kept(shop)
    for _ in range(8):
        before = {file: file.read_bytes() for file in shop.rglob("*") if file.suffix in (".yml", ".md")}
        for _ in range(draw.randrange(1, 3)):
            any_edit(shop, draw)
        found = with_kept(shop)
        assert_same(found, without(shop))
        if found[0] is None and draw.random() < 0.7:
            # Mostly somebody mends what was wrong, and the next edit begins from a sound shop.
            for file in {*before, *shop.rglob("*.yml"), *shop.rglob("*.md")}:
                file.write_bytes(before[file]) if file in before else file.unlink()


def test_only_what_changed_is_read_again(shop: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with_kept(shop)
    read = files_read(monkeypatch)
    with_kept(shop)
    assert read == []
    file = shop / "faults" / "lull-belt-slips.yml"
    file.write_text(file.read_text(encoding="utf-8") + "# seen\n", encoding="utf-8")
    with_kept(shop)
    assert read == ["faults/lull-belt-slips.yml"]
    with_kept(shop)
    assert read == ["faults/lull-belt-slips.yml"]


def test_one_edit_does_not_write_every_record_again(shop: Path) -> None:
    with_kept(shop)
    first = (shop / PLACE / ALL).read_bytes()
    file = shop / "faults" / "lull-belt-slips.yml"
    file.write_text(file.read_text(encoding="utf-8") + "# seen\n", encoding="utf-8")
    with_kept(shop)
    assert (shop / PLACE / ALL).read_bytes() == first
    assert len((shop / PLACE / SINCE).read_bytes()) < len(first) / 2
    for file in shop.glob("faults/*.yml"):
        file.write_text(file.read_text(encoding="utf-8") + "# seen\n", encoding="utf-8")
    found = with_kept(shop)
    assert (shop / PLACE / ALL).read_bytes() != first
    assert_same(with_kept(shop), found)


def test_an_unchanged_shop_writes_nothing_again(shop: Path) -> None:
    with_kept(shop)
    before = {file: file.stat().st_ino for file in (shop / PLACE).iterdir()}
    with_kept(shop)
    assert {file: file.stat().st_ino for file in (shop / PLACE).iterdir()} == before


def test_a_file_is_known_by_its_bytes_and_not_by_its_times(shop: Path) -> None:
    with_kept(shop)
    file = shop / "faults" / "lull-belt-slips.yml"
    times = file.stat()
    text = file.read_text(encoding="utf-8")
    file.write_text(text.replace("older than the owner", "rather than an owner"), encoding="utf-8")
    os.utime(file, ns=(times.st_atime_ns, times.st_mtime_ns))
    assert file.stat().st_size == times.st_size
    found = with_kept(shop)
    assert_same(found, without(shop))
    assert found[0] is not None
    assert "rather than an owner" in repr(found[0].faults["lull-belt-slips"].record)


def test_a_place_is_told_of_a_kept_record_as_of_a_read_one(shop: Path) -> None:
    with_kept(shop)
    kept, read = with_kept(shop)[0], without(shop)[0]
    assert kept is not None
    assert read is not None
    fault = kept.faults["pacer-bleeder-open"]
    assert "tree" not in vars(fault)
    assert fault.place("values", 0) == read.faults["pacer-bleeder-open"].place("values", 0)
    with pytest.raises(AttributeError):
        _ = fault.branch  # type: ignore[attr-defined]


def test_a_file_with_problems_is_never_kept(shop: Path) -> None:
    with_kept(shop)
    before = {file.name: file.read_bytes() for file in (shop / PLACE).iterdir()}
    (shop / "faults" / "lull-belt-slips.yml").write_text("title: Half of it\n", encoding="utf-8")
    assert with_kept(shop)[0] is None
    assert {file.name: file.read_bytes() for file in (shop / PLACE).iterdir()} == before
    assert_same(with_kept(shop), without(shop))


def something_else_signed(file: Path) -> None:
    Store(file.parents[2]).keep(file.name, store.code_key(), [b"\x80\x05no pickle at all"])


def another_shape_signed(file: Path) -> None:
    Store(file.parents[2]).keep(file.name, store.code_key(), [pickle.dumps({"shop.yml": [1, 2]})])


def of_another_version(file: Path) -> None:
    Store(file.parents[2]).keep(file.name, "another version", [file.read_bytes().partition(b"\n")[2]])


@pytest.mark.parametrize("name", [ALL, SINCE])
@pytest.mark.parametrize(
    "spoil",
    [cut_short, changed_inside, emptied, unsigned, a_folder_instead, something_else_signed,
     another_shape_signed, of_another_version, Path.unlink],
)  # fmt: skip
def test_what_is_spoilt_is_as_if_it_were_not_there(
    shop: Path, name: str, spoil: Callable[[Path], None], monkeypatch: pytest.MonkeyPatch
) -> None:
    with_kept(shop)
    file = shop / "faults" / "lull-belt-slips.yml"
    file.write_text(file.read_text(encoding="utf-8") + "# seen\n", encoding="utf-8")
    with_kept(shop)
    spoil(shop / PLACE / name)
    read = files_read(monkeypatch)
    found = with_kept(shop)
    assert file.relative_to(shop).as_posix() in read or name == ALL
    assert read
    assert_same(found, without(shop))


def test_another_users_entries_bring_nothing_in(
    shop: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with_kept(shop)
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "another"))
    store._secret.cache_clear()
    read = files_read(monkeypatch)
    with_kept(shop)
    assert len(read) > 10


def test_another_version_takes_nothing(shop: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with_kept(shop)
    monkeypatch.setattr(kept_records, "code_key", lambda: "another version")
    read = files_read(monkeypatch)
    with_kept(shop)
    assert len(read) > 10


@pytest.mark.parametrize("blocked", ["shop", "key"])
def test_where_nothing_can_be_kept_it_is_read_all_the_same(shop: Path, tmp_path: Path, blocked: str) -> None:
    # A file in the place of a folder: that stops everybody, whatever rights they have.
    place = shop / ".halfsplit" if blocked == "shop" else tmp_path / "cache"
    place.write_text("not a folder")
    assert_same(with_kept(shop), without(shop))


def test_who_only_looks_writes_nothing_and_takes_what_there_is(
    shop: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with_kept(shop, keeps=False)
    assert not (shop / ".halfsplit").exists()
    with_kept(shop)
    read = files_read(monkeypatch)
    assert_same(with_kept(shop, keeps=False), load_shop(shop, HANDBOOK))
    assert read == []


def test_a_record_that_moved_is_not_taken_for_one_of_another_kind(shop: Path) -> None:
    with_kept(shop)
    part = next(iter(sorted((shop / "parts").glob("*.yml"))))
    part.rename(shop / "faults" / part.name)
    assert_same(with_kept(shop), without(shop))


def test_bytes_that_would_run_something_are_refused() -> None:
    assert packing.unpacked(pickle.dumps(subprocess.run)) is None
    assert packing.unpacked(pickle.dumps(re.compile)) is None
    assert packing.unpacked(pickle.dumps(Fault)) is Fault


def test_what_cannot_be_packed_is_not_kept() -> None:
    assert packing.packed({"a": lambda: 0}) is None


def test_units_that_were_worked_out_once_need_no_library(shop: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with_kept(shop)
    spellings = ("kohm", "°C", "ppm", "BPM", "day")
    wanted = [conversion.to_si(Decimal("4.7"), UNITS[each]) for each in spellings]
    monkeypatch.setattr(conversion, "_lines", {})
    monkeypatch.setattr(conversion, "registry", no_library)
    with pytest.raises(AssertionError):
        conversion.to_si(Decimal(1), UNITS["V"])
    with_kept(shop)
    assert [conversion.to_si(Decimal("4.7"), UNITS[each]) for each in spellings] == wanted
    (shop / PLACE / kept_units.UNITS).unlink()
    conversion._lines.clear()
    with_kept(shop, keeps=False)
    with pytest.raises(AssertionError):
        conversion.to_si(Decimal(1), UNITS["V"])


def no_library() -> None:
    raise AssertionError("the unit library was asked for")
