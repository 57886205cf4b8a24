"""The bytes of a file as plain UTF-8 with line feeds, whatever wrote them.

Only the frame is changed here: encoding, byte order mark, line ends. Nothing is read into the text.
"""

from __future__ import annotations

import codecs

from kb.captures.refusal import refuse

LARGEST_FILE = 2_000_000_000
_LOOKED_AT = 4000
_MARKS = (
    (codecs.BOM_UTF8, "utf-8", "UTF-8 with byte order mark"),
    (codecs.BOM_UTF32_LE, "utf-32-le", "UTF-32"),
    (codecs.BOM_UTF16_LE, "utf-16-le", "UTF-16"),
    (codecs.BOM_UTF16_BE, "utf-16-be", "UTF-16"),
)
_ADVICE = "save it as CSV text"


def plain(data: bytes, file: str) -> tuple[bytes, str]:
    """The text as UTF-8 with line feeds alone, and the name of the encoding it came in."""
    if len(data) > LARGEST_FILE:
        raise refuse(file, 1, 1, "the file has more than 2 GB", "save a shorter part of the record")
    data, encoding = _as_utf8(data, file)
    if b"\r" in data:
        data = data.replace(b"\r\n", b"\n").replace(b"\r", b"\n")
    if b"\0" in data:
        line = data[: data.index(b"\0")].count(b"\n") + 1
        raise refuse(file, line, 1, "the file is not text", _ADVICE)
    if not data.strip():
        raise refuse(file, 1, 1, "the file is empty", "it needs a line for each sample")
    return data, encoding


def _as_utf8(data: bytes, file: str) -> tuple[bytes, str]:
    for mark, codec, name in _MARKS:
        if data.startswith(mark):
            rest = data[len(mark) :]
            return (rest if codec == "utf-8" else _recoded(rest, codec, file)), name
    guessed = _sixteen_bits(data)
    if guessed:
        return _recoded(data, guessed, file), "UTF-16 without byte order mark"
    return data, _eight_bits(data)


def _sixteen_bits(data: bytes) -> str | None:
    """A text of digits in 16 bits has nought in every other byte."""
    start = data[:_LOOKED_AT]
    half = len(start) // 2
    if half == 0 or len(data) % 2:
        return None
    even, odd = start[0::2].count(0), start[1::2].count(0)
    if odd > 0.9 * half and not even:
        return "utf-16-le"
    return "utf-16-be" if even > 0.9 * half and not odd else None


def _eight_bits(data: bytes) -> str:
    if data.isascii():
        return "ASCII"
    try:
        data.decode("utf-8")
    except UnicodeDecodeError:
        return "8 bits a letter, not UTF-8"
    return "UTF-8"


def _recoded(data: bytes, codec: str, file: str) -> bytes:
    try:
        return data.decode(codec).encode("utf-8")
    except UnicodeError as error:
        raise refuse(
            file, 1, 1, f"the file begins as {codec.upper()} and does not go on so", _ADVICE
        ) from error


def readable(line: bytes) -> str:
    """A line for people: UTF-8, or else one letter a byte."""
    try:
        return line.decode("utf-8")
    except UnicodeDecodeError:
        return line.decode("latin-1")
