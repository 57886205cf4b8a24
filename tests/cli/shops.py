"""Shops as `halfsplit start` makes them, and the two readings of YAML that a record has to stand."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import yaml
from click.testing import CliRunner, Result

from kb.cli.main import main
from kb.reading.tree import UnreadableYaml, decode


class EditorLoader(yaml.SafeLoader):
    """YAML as editors read it: the core schema of YAML 1.2, in which a date is a text and NO a word."""


EditorLoader.yaml_implicit_resolvers = {}
for tag, pattern, first in (
    ("null", r"(?:~|null|Null|NULL|)\Z", [*"~nN", ""]),
    ("bool", r"(?:true|True|TRUE|false|False|FALSE)\Z", list("tTfF")),
    ("int", r"[-+]?[0-9]+\Z", list("-+0123456789")),
    ("float", r"[-+]?(?:\.[0-9]+|[0-9]+(?:\.[0-9]*)?)(?:[eE][-+]?[0-9]+)?\Z", list("-+.0123456789")),
):
    EditorLoader.add_implicit_resolver(f"tag:yaml.org,2002:{tag}", re.compile(pattern), first)


def as_editors_read(text: str) -> Any:
    """The value of a YAML text, or of the head of a guide."""
    if text.startswith("---\n"):
        text = text.split("\n---\n", 1)[0].removeprefix("---\n")
    return yaml.load(text, Loader=EditorLoader)  # noqa: S506 - a safe loader with fewer types


def is_text(text: str) -> bool:
    """Whether a record may hold the text at all."""
    try:
        decode(b"." + text.encode("utf-8", "surrogatepass"), "")
    except UnreadableYaml:
        return False
    return bool(text.strip())


def run(*words: str, answers: str | None = None) -> Result:
    """The command as typed, with nobody at the keyboard unless there are answers."""
    return CliRunner().invoke(main, list(words), input=answers)


def started(folder: Path) -> Path:
    """A fresh shop in `folder`."""
    result = run("start", str(folder))
    assert result.exit_code == 0, result.output
    return folder
