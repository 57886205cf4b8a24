"""Templates of the files a shop edits, filled so that no text can be taken for YAML.

Whatever a template prints passes through `_printed`: there is no way to print a value as it came.
Where a place in a template needs more than one line it asks for `prose`.
"""

from __future__ import annotations

import re
from pathlib import Path

import yaml
from jinja2 import Environment, FileSystemLoader, StrictUndefined

_HERE = Path(__file__).parent
_NEEDS_ESCAPES = re.compile(r"[\r\n\t]")
_LITERAL = re.compile(r"[^ \r\n\t][^\r\t]*")


class Emitted(str):
    """Text that is YAML already."""

    __slots__ = ()


def scalar(text: str) -> Emitted:
    """`text` as one YAML value on one line, plain where that reads the same and quoted elsewhere."""
    style = '"' if _NEEDS_ESCAPES.search(text) else None
    dumped = yaml.safe_dump({"k": text}, default_style=style, allow_unicode=True, width=float("inf"))
    return Emitted(dumped.rstrip("\n").partition(": ")[2])


def prose(text: str, indent: int = 2) -> Emitted:
    """`text` as a block after `|`, its lines `indent` in; quoted where a block would change it."""
    text = text.rstrip()
    if not _LITERAL.fullmatch(text):
        return scalar(text)
    lines = (f"{' ' * indent}{line}" if line else "" for line in text.split("\n"))
    return Emitted("\n".join(("|", *lines)))


def fill(template: str, **values: object) -> str:
    """The template of that name, relative to this folder, with `values` in it."""
    return _environment().get_template(template).render(**values)


def _printed(value: object) -> str:
    return value if isinstance(value, Emitted) else scalar(str(value))


def _environment() -> Environment:
    environment = Environment(
        loader=FileSystemLoader(_HERE),
        autoescape=False,  # noqa: S701 - what comes out is YAML, and `_printed` makes it safe as that
        finalize=_printed,
        undefined=StrictUndefined,
        keep_trailing_newline=True,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters["prose"] = prose
    return environment
