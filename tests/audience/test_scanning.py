"""The last net: a private text is found in every byte that was made, whatever it is wrapped in."""

from __future__ import annotations

import base64
import gzip
import html
import io
import json
import urllib.parse
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner
from PIL import Image
from PIL.PngImagePlugin import PngInfo

from kb.audience import select
from kb.audience.scanning import scan
from kb.audience.secrets import Secret, secrets_of, what_is_known
from kb.cli.main import main
from kb.shop import Shop
from tests.audience.public_bench import files, tree, write_public_bench

VISITOR = "Pennick & Söhne, 3rd visit"
SECRET = Secret(VISITOR, "the field note", "jobs/x.yml")


def _png(**how: bool) -> bytes:
    said = PngInfo()
    said.add_itxt("Comment", VISITOR, **how)
    file = io.BytesIO()
    Image.new("RGB", (4, 4)).save(file, "PNG", pnginfo=said)
    return file.getvalue()


def _jpeg() -> bytes:
    exif = Image.Exif()
    exif[0x010E] = VISITOR
    file = io.BytesIO()
    Image.new("RGB", (4, 4)).save(file, "JPEG", exif=exif, comment=VISITOR.encode())
    return file.getvalue()


def _text(text: str) -> bytes:
    return f"<p>before {text} after</p>".encode()


DISGUISES: dict[str, tuple[str, bytes]] = {
    "plain": ("a.html", _text(VISITOR)),
    "in capitals": ("a.html", _text(VISITOR.upper())),
    "over two lines": ("a.html", _text(VISITOR.replace(" ", "\n   "))),
    "as HTML": ("a.html", _text(html.escape(VISITOR))),
    "as numbers of HTML": ("a.html", _text("".join(f"&#{ord(each)};" for each in VISITOR))),
    "as hexadecimal HTML": ("a.html", _text("".join(f"&#x{ord(each):X};" for each in VISITOR))),
    "in an address": ("a.html", _text(urllib.parse.quote(VISITOR))),
    "in an address, every letter": ("a.html", _text("".join(f"%{each:02x}" for each in VISITOR.encode()))),
    "as JSON": ("a.js", _text(json.dumps(VISITOR))),
    "as JSON, every letter": ("a.js", _text("".join(f"\\u{ord(each):04x}" for each in VISITOR))),
    "as JSON in HTML": ("a.html", _text(html.escape(json.dumps(VISITOR)))),
    "as HTML twice": ("a.html", _text(html.escape(html.escape(VISITOR)))),
    "as base64": ("a.html", _text(base64.b64encode(VISITOR.encode()).decode())),
    "as base64 of a URL": ("a.html", _text(base64.urlsafe_b64encode(VISITOR.encode()).decode())),
    "as base64, one letter on": ("a.html", _text(base64.b64encode(b"x" + VISITOR.encode()).decode())),
    "as base64, two letters on": ("a.html", _text(base64.b64encode(b"xy" + VISITOR.encode()).decode())),
    "as UTF-16": ("a.bin", VISITOR.encode("utf-16")),
    "as UTF-16, big end first": ("a.bin", b"\x01" + VISITOR.encode("utf-16-be")),
    "as UTF-16, little end first": ("a.bin", b"\x01\x02" + VISITOR.encode("utf-16-le")),
    "packed": ("a.xml.gz", gzip.compress(_text(VISITOR))),
    "packed as HTML": ("a.gz", gzip.compress(_text(html.escape(VISITOR)))),
    "in a picture": ("a.png", _png()),
    "in a picture, packed": ("a.png", _png(zip=True)),
    "in a photograph": ("a.jpg", _jpeg()),
    "behind a photograph": ("a.jpg", _jpeg()[:2] + b"\x00" + VISITOR.encode()),
    "in a file's name": (f"{VISITOR.lower()}.html", b""),
    "in a folder's name": (f"{VISITOR}/a.html", b""),
}


@pytest.mark.parametrize("disguise", DISGUISES)
def test_it_is_found(tmp_path: Path, disguise: str) -> None:
    name, data = DISGUISES[disguise]
    (tmp_path / name).parent.mkdir(exist_ok=True)
    (tmp_path / name).write_bytes(data)
    leaks = scan(tmp_path, [SECRET], "")
    assert leaks, disguise
    assert {leak.secret for leak in leaks} == {SECRET}
    assert "the field note of jobs/x.yml" in str(leaks[0])


def test_what_is_not_there_is_not_found(tmp_path: Path) -> None:
    for number, (name, data) in enumerate(DISGUISES.values()):
        (tmp_path / f"{number}-{Path(name).suffix}").write_bytes(data)
    other = (Secret("Pennick & Söhne, 4th visit", "x", "y"), Secret("nowhere in it", "x", "y"))
    assert not scan(tmp_path, other, "")


def test_a_word_that_is_public_too_is_no_secret(tmp_path: Path) -> None:
    (tmp_path / "a.html").write_text("the supply of the unit", encoding="utf-8")
    secret = Secret("The  supply", "x", "y")
    assert scan(tmp_path, [secret], "")
    assert not scan(tmp_path, [secret], "a word on the supply")
    assert scan(tmp_path, [Secret("The supply", "x", "y", always=True)], "a word on the supply")


@pytest.mark.parametrize(("text", "found"), [("ref-123", False), ("xref-12", False), ("(ref-12)", True)])
def test_a_reference_is_found_where_it_stands_by_itself(tmp_path: Path, text: str, found: bool) -> None:
    (tmp_path / "a.html").write_text(text, encoding="utf-8")
    assert bool(scan(tmp_path, [Secret("ref-12", "x", "y", always=True)], "")) is found


def test_a_short_name_is_not_found_inside_a_digest(tmp_path: Path) -> None:
    (tmp_path / "a.html").write_text("files/0acafe12.png", encoding="utf-8")
    assert not scan(tmp_path, [Secret("Cafe", "x", "y")], "")
    (tmp_path / "a.html").write_text("the Cafe.", encoding="utf-8")
    assert scan(tmp_path, [Secret("Cafe", "x", "y")], "")


def test_a_number_is_not_found_inside_a_digest(tmp_path: Path) -> None:
    (tmp_path / "a.html").write_text("a1234567b 0.1234567 91234567", encoding="utf-8")
    assert not scan(tmp_path, [Secret("1234567", "x", "y")], "")
    (tmp_path / "a.html").write_text("number 1234567.", encoding="utf-8")
    assert not scan(tmp_path, [Secret("1234567", "x", "y")], "number 1234567")


def test_every_private_field_gives_something_to_look_for(bench: Shop) -> None:
    secrets = secrets_of(bench)
    texts = {each.text for each in secrets}
    assert {
        "PA-0007",
        "ref-1",
        "drawer seventeen",
        "7.35 EUR",
        "2026-pacer-0007",
        "pacer-short-pulse",
    } <= texts
    assert "Mostly it is the cheap leads." in texts
    assert "photos/nobody-names-this.png" in texts
    assert not {"Looking after it", "lull-socket", "Socket is loose"} & texts


def test_the_site_that_is_published_holds_none_of_them(bench: Shop, tmp_path: Path) -> None:
    for path, content in files(bench).items():
        (tmp_path / path).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / path).write_bytes(content)
    known = what_is_known(select(bench))
    assert not scan(tmp_path, secrets_of(bench), known)
    # And the net is not empty: one sentence of a job, slipped in, is caught.
    (tmp_path / "index.html").write_text("Took a second resistor; the first was cracked.", encoding="utf-8")
    assert [leak.file for leak in scan(tmp_path, secrets_of(bench), known)][:1] == ["index.html"]


Slip = Callable[[Path], None]


def _in_a_drawing(folder: Path) -> None:
    (folder / "photos" / "new-belt.png").unlink()
    (folder / "photos" / "new-belt.svg").write_text(
        '<svg xmlns="http://www.w3.org/2000/svg"><text>7.35 EUR</text></svg>', encoding="utf-8"
    )
    _replace(folder / "guides" / "for-owners.md", "new-belt.png", "new-belt.svg")


def _in_prose(folder: Path) -> None:
    # Public by its author's hand, yet it is the text of a job: only serials and references are stopped.
    _replace(folder / "guides" / "for-owners.md", "Wipe it", "&#112;&#97;-0007: wipe it")


def _replace(path: Path, old: str, new: str) -> None:
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new), encoding="utf-8")


@pytest.mark.parametrize("slip", [_in_a_drawing, _in_prose])
def test_a_hit_stops_the_publication_and_leaves_the_old_site(tmp_path: Path, slip: Slip) -> None:
    folder = write_public_bench(tmp_path / "shop")
    target = tmp_path / "site"
    assert CliRunner().invoke(main, ["publish", str(folder), "--to", str(target)]).exit_code == 0
    before = tree(target)
    slip(folder)
    done = CliRunner().invoke(main, ["publish", str(folder), "--to", str(target)])
    assert done.exit_code == 1, done.output
    assert "nothing was published" in done.output
    assert tree(target) == before
    assert sorted(path.name for path in tmp_path.iterdir()) == ["shop", "site"]
