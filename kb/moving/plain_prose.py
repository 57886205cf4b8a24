"""Text that is no markup, written so that Markdown shows it as it is."""

from __future__ import annotations

import re

_ANYWHERE = re.compile(r"[\\`*_\[\]|>]")
_AT_START = re.compile(r"(?:[#+-])|[0-9]+(?=\.)")
_ENTITY = re.compile(r"&(?=#?[0-9a-zA-Z]+;)")
# Python-Markdown has no backslash for these two, and they mean something only where a line begins.
_NO_BACKSLASH = {"=": "&#61;", "~": "&#126;"}


def as_prose(text: str) -> str:
    r"""`text` as Markdown that gives the same words, line by line.

    >>> as_prose("1. *R14* & [x](y)")
    '1\\. \\*R14\\* & \\[x\\](y)'
    """
    return "\n".join(_line(line.strip()) for line in text.strip().split("\n"))


def _line(line: str) -> str:
    line = _ANYWHERE.sub(r"\\\g<0>", _ENTITY.sub("&amp;", line))
    if line[:1] in _NO_BACKSLASH:
        return _NO_BACKSLASH[line[0]] + line[1:]
    found = _AT_START.match(line)
    if found is None:
        return line
    if found[0].isdigit():
        return f"{found[0]}\\{line[found.end() :]}"
    return f"\\{line}"
