"""Every way bytes may be read: what a search must look through so that nothing hides in an encoding."""

from __future__ import annotations

import base64
import binascii
import gzip
import html
import io
import json
import re
import urllib.parse
import zlib
from collections.abc import Iterator

from PIL import Image, UnidentifiedImageError

MOST_UNPACKED = 50_000_000
DEEPEST = 3

_BASE64 = re.compile(r"[A-Za-z0-9+/_-]{8,}")
_JSON_ESCAPE = re.compile(r"(?:\\(?:u[0-9a-fA-F]{4}|[\"\\/bfnrt]))+")
_PICTURES = (".png", ".jpg", ".jpeg", ".webp", ".gif", ".tif", ".tiff")


def readings(name: str, data: bytes) -> Iterator[tuple[str, str]]:
    """How the bytes of a file may be read: what was done with them, and the text that came of it."""
    for how, each in _unpacked(name, data):
        seen: set[str] = set()
        for way, text in _texts(each):
            yield from _deciphered(how + way, text, seen, 0)


def _unpacked(name: str, data: bytes) -> Iterator[tuple[str, bytes]]:
    yield "", data
    if data[:2] == b"\x1f\x8b":
        try:
            with gzip.GzipFile(fileobj=io.BytesIO(data)) as file:
                yield "unpacked, ", file.read(MOST_UNPACKED)
        except (OSError, EOFError, zlib.error):
            return
    if name.lower().endswith(_PICTURES):
        yield from (("in the picture's data, ", each) for each in _beside_the_pixels(data))


def _beside_the_pixels(data: bytes) -> Iterator[bytes]:
    """What a picture carries beside what it shows, unpacked."""
    try:
        with Image.open(io.BytesIO(data)) as picture:
            picture.load()
            carried = list(picture.info.values())
            carried += list(picture.getexif().values())
    except (UnidentifiedImageError, OSError, ValueError, SyntaxError):
        return
    for each in carried:
        yield each if isinstance(each, bytes) else str(each).encode("utf-8", "replace")


def _texts(data: bytes) -> Iterator[tuple[str, str]]:
    """The bytes as UTF-8, and as UTF-16 from either of two starts where they look like it."""
    yield "", data.decode("utf-8", "replace")
    if b"\x00" in data:
        for start in (0, 1):
            for order in ("le", "be"):
                yield "as UTF-16, ", data[start:].decode(f"utf-16-{order}", "replace")


def _deciphered(how: str, text: str, seen: set[str], depth: int) -> Iterator[tuple[str, str]]:
    """A text, and what it becomes when an encoding is taken off, and another below that."""
    if text in seen:
        return
    seen.add(text)
    yield how.rstrip(", "), text
    if depth == DEEPEST:
        return
    ways = (
        ("HTML-escaped, ", html.unescape(text) if "&" in text else text),
        ("percent-escaped, ", urllib.parse.unquote(text, errors="replace") if "%" in text else text),
        ("JSON-escaped, ", _JSON_ESCAPE.sub(_unescaped, text) if "\\" in text else text),
        ("base64, ", "\n".join(_from_base64(text)) if depth == 0 else text),
    )
    for way, other in ways:
        if other and other != text:
            yield from _deciphered(how + way, other, seen, depth + 1)


def _unescaped(found: re.Match[str]) -> str:
    try:
        return str(json.loads(f'"{found[0]}"')).encode("utf-16", "surrogatepass").decode("utf-16", "replace")
    except ValueError:
        return found[0]


def _from_base64(text: str) -> Iterator[str]:
    """What runs of base64 letters stand for, wherever in a run it begins."""
    for run in _BASE64.findall(text):
        letters = run.replace("-", "+").replace("_", "/")
        for start in range(4):
            piece = letters[start:]
            # One letter alone stands for nothing; two or three want what was cut off behind them.
            piece = piece[:-1] if len(piece) % 4 == 1 else piece + "=" * (-len(piece) % 4)
            try:
                found = base64.b64decode(piece)
            except (binascii.Error, ValueError):
                continue
            # Words survive as words; digests and pictures come out as what cannot be read.
            yield found.decode("utf-8", "replace")
            if b"\x00" in found:
                yield found.decode("utf-16-le", "replace")
