"""Fitting people's words into boxes without knowing the reader's font.

Widths are estimates on the wide side (a wide sans serif), so that text stays in its box in any usual face.
It must never let a character through that XML forbids or that turns the writing direction of its neighbours.
"""

from __future__ import annotations

import math
import re
import unicodedata

ELLIPSIS = "\u2026"
_JOINER = "\u200d"
_NARROW = frozenset("iljI.,:;'|!()[]{}`/\\ \"")
_WIDE = frozenset("mwMW@%&\u2026\u2014")
_TURNERS = frozenset("\u200b\u200e\u200f\u061c\ufeff") | {
    chr(code) for code in (*range(0x202A, 0x202F), *range(0x2066, 0x206A))
}


def clean(text: str) -> str:
    """The text on one line, without control characters, surrogates, noncharacters and direction marks."""
    if text.isascii() and text.isprintable():
        return " ".join(text.split())
    kept = (" " if character.isspace() else character for character in text if _is_printable(character))
    return " ".join("".join(kept).split())


def _is_printable(character: str) -> bool:
    code = ord(character)
    if character in "\t\n\r":
        return True
    if character in _TURNERS or code & 0xFFFE == 0xFFFE or 0xFDD0 <= code <= 0xFDEF:
        return False
    return unicodedata.category(character) not in ("Cc", "Cs", "Co")


def width_of(text: str, size_px: float, *, bold: bool = False) -> float:
    """An upper estimate of the text's width in pixels at that font size."""
    em = sum(_character_em(character) for character in text)
    return em * size_px * (1.08 if bold else 1.0)


def _character_em(character: str) -> float:
    if character == _JOINER or unicodedata.category(character) in ("Mn", "Me", "Cf"):
        return 0.0
    if character in _NARROW:
        return 0.4
    if character in _WIDE:
        return 1.0
    if ord(character) > 0x2FFF or unicodedata.east_asian_width(character) in "WF":
        return 1.4
    if ord(character) > 0x24F:
        return 0.9
    return 0.73 if character.isupper() else 0.63


def shorten(text: str, room_px: float, size_px: float, *, bold: bool = False) -> str:
    """The text, or as much of its beginning as fits with an ellipsis after it."""
    if width_of(text, size_px, bold=bold) <= room_px:
        return text
    kept = ""
    for cluster in _clusters(text):
        if width_of(kept + cluster + ELLIPSIS, size_px, bold=bold) > room_px:
            break
        kept += cluster
    return kept.rstrip() + ELLIPSIS


def wrap(
    text: str, room_px: float, size_px: float, most_lines: int, *, bold: bool = False
) -> tuple[str, ...]:
    """The text on at most that many lines; words break after a hyphen or slash, then anywhere."""
    lines = [""]
    for piece in _pieces(text, room_px, size_px, bold):
        if width_of((lines[-1] + piece).rstrip(), size_px, bold=bold) <= room_px:
            lines[-1] += piece
        else:
            lines.append(piece)
    tidy = [line.strip() for line in lines if line.strip()]
    if len(tidy) <= most_lines:
        return tuple(tidy)
    last = shorten(tidy[most_lines - 1] + " " + tidy[most_lines], room_px, size_px, bold=bold)
    if not last.endswith(ELLIPSIS):
        last = (
            shorten(last + " " + ELLIPSIS * 2, room_px, size_px, bold=bold).rstrip(ELLIPSIS + " ") + ELLIPSIS
        )
    return (*tidy[: most_lines - 1], last)


def is_broken(text: str, room_px: float, size_px: float, *, bold: bool = False) -> bool:
    """Whether a word of the text is too long for a line of its own."""
    words = (word for word, _ in _words(text))
    return any(width_of(word, size_px, bold=bold) > room_px for word in words)


def _words(text: str) -> list[tuple[str, str]]:
    """Each word, or part of one up to a hyphen or slash, and the space after it."""
    found = re.findall(r"(\S*?[-/](?=\S)|\S+)(\s*)", text)
    return [(word, space) for word, space in found]


def _pieces(text: str, room_px: float, size_px: float, bold: bool) -> list[str]:
    pieces: list[str] = []
    for word, space in _words(text):
        if width_of(word, size_px, bold=bold) <= room_px:
            pieces.append(word + space)
        else:
            *most, last = _broken(word, room_px, size_px, bold)
            pieces.extend([*most, last + space])
    return pieces


def _broken(word: str, room_px: float, size_px: float, bold: bool) -> list[str]:
    """The word in parts of even width with a hyphen at each break."""
    hyphen = width_of("-", size_px, bold=bold)
    whole = width_of(word, size_px, bold=bold)
    share = whole / math.ceil(whole / (room_px - hyphen))
    parts = [""]
    for cluster in _clusters(word):
        grown = width_of(parts[-1] + cluster, size_px, bold=bold)
        is_full = grown + hyphen > room_px or width_of(parts[-1], size_px, bold=bold) >= share
        if parts[-1] and is_full:
            parts.append("")
        parts[-1] += cluster
    return [part + "-" for part in parts[:-1]] + parts[-1:]


def _clusters(text: str) -> list[str]:
    """Characters together with the accents, joiners and variation marks that belong to them."""
    clusters: list[str] = []
    for character in text:
        joins = character == _JOINER or unicodedata.category(character) in ("Mn", "Me", "Cf")
        skin = 0x1F3FB <= ord(character) <= 0x1F3FF
        if clusters and (joins or skin or clusters[-1].endswith(_JOINER)):
            clusters[-1] += character
        else:
            clusters.append(character)
    return clusters
