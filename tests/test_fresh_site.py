"""A new site takes over the files of the old one that are the same to the last byte, and no other."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from kb.fresh_site import FreshSite

FIRST = "index.html"
"""Always written anew: it tells which rights a new file gets."""


@pytest.fixture
def earlier(tmp_path: Path) -> Path:
    folder = tmp_path / "earlier"
    with FreshSite(folder) as site:
        site.write(FIRST, b"first")
        site.write("faults/belt.html", b"belt")
    return folder


def written(folder: Path, earlier: Path | None, **files: bytes) -> dict[str, bool]:
    """Write the files into a new site; whether each is the earlier one itself."""
    with FreshSite(folder, earlier) as site:
        site.write(FIRST, b"first")
        for name, content in files.items():
            site.write(f"faults/{name}.html", content)
    for name, content in files.items():
        assert (folder / "faults" / f"{name}.html").read_bytes() == content
    old = earlier or folder.parent / "earlier"
    return {
        name: (old / f"faults/{name}.html").exists()
        and (folder / f"faults/{name}.html").samefile(old / f"faults/{name}.html")
        for name in files
    }


def test_what_is_the_same_is_taken_over(tmp_path: Path, earlier: Path) -> None:
    assert written(tmp_path / "new", earlier, belt=b"belt", other=b"other") == {"belt": True, "other": False}


@pytest.mark.parametrize("content", [b"bolt", b"bel", b"belts", b""])
def test_what_differs_is_written_and_the_old_stays(tmp_path: Path, earlier: Path, content: bytes) -> None:
    assert written(tmp_path / "new", earlier, belt=content) == {"belt": False}
    assert (earlier / "faults/belt.html").read_bytes() == b"belt"


def test_a_file_with_other_rights_is_made_anew(tmp_path: Path, earlier: Path) -> None:
    (earlier / "faults/belt.html").chmod(0o600)
    assert written(tmp_path / "new", earlier, belt=b"belt") == {"belt": False}


def test_a_link_is_not_followed(tmp_path: Path, earlier: Path) -> None:
    (tmp_path / "elsewhere").write_bytes(b"belt")
    (earlier / "faults/belt.html").unlink()
    (earlier / "faults/belt.html").symlink_to(tmp_path / "elsewhere")
    written(tmp_path / "new", earlier, belt=b"belt")
    assert not (tmp_path / "new/faults/belt.html").is_symlink()
    assert not (tmp_path / "new/faults/belt.html").samefile(tmp_path / "elsewhere")


@pytest.mark.parametrize("what", ["missing", "a file", "empty"])
def test_without_an_earlier_site_everything_is_written(tmp_path: Path, what: str) -> None:
    folder = tmp_path / "odd"
    if what == "a file":
        folder.write_bytes(b"")
    elif what == "empty":
        folder.mkdir()
    with FreshSite(tmp_path / "new", folder) as site:
        site.write(FIRST, b"first")
        site.write("faults/belt.html", b"belt")
    assert (tmp_path / "new/faults/belt.html").read_bytes() == b"belt"


def test_another_site_put_in_that_place_meanwhile_is_not_looked_at(tmp_path: Path, earlier: Path) -> None:
    with FreshSite(tmp_path / "new", earlier) as site:
        site.write(FIRST, b"first")
        earlier.rename(tmp_path / "aside")
        (earlier / "faults").mkdir(parents=True)
        (earlier / "faults/belt.html").write_bytes(b"belt")
        site.write("faults/belt.html", b"belt")
    assert (tmp_path / "new/faults/belt.html").samefile(tmp_path / "aside/faults/belt.html")


def test_a_file_changed_between_the_look_and_the_link_is_not_taken(
    tmp_path: Path, earlier: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    link = os.link

    def late(source: str, target: Path, **more: object) -> None:
        (earlier / "beside").write_bytes(b"bolt")
        (earlier / "beside").replace(earlier / source)
        link(source, target, **more)  # type: ignore[arg-type]

    monkeypatch.setattr(os, "link", late)
    with FreshSite(tmp_path / "new", earlier) as site:
        site.write(FIRST, b"first")
        site.write("faults/belt.html", b"belt")
    assert (tmp_path / "new/faults/belt.html").read_bytes() == b"belt"


def test_where_files_cannot_have_two_names_they_are_written(
    tmp_path: Path, earlier: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*given: object, **named: object) -> None:
        raise PermissionError(1, f"not here: {given} {named}")

    monkeypatch.setattr(os, "link", refuse)
    assert written(tmp_path / "new", earlier, belt=b"belt") == {"belt": False}
