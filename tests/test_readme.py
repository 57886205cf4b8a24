"""What README.md tells a stranger to write is a shop that checks clean and builds."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from click.testing import CliRunner

from kb.cli import main

BLOCK = re.compile(r"^(`{3,4})(?:yaml|markdown)\n(.*?)^\1$", re.MULTILINE | re.DOTALL)
NAMED = re.compile(r"^# ([a-z0-9/-]+\.(?:yml|md))$", re.MULTILINE)


@pytest.fixture(scope="module")
def readme(repository: Path) -> str:
    return (repository / "README.md").read_text(encoding="utf-8")


@pytest.fixture
def shop(readme: str, tmp_path: Path) -> Path:
    """The folder that somebody has who typed every example of README.md into its file."""
    for _, text in BLOCK.findall(readme):
        path = tmp_path / NAMED.search(text)[1]
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return tmp_path


def test_readme_has_an_example_of_every_kind(shop: Path) -> None:
    assert {path.relative_to(shop).parts[0] for path in shop.rglob("*.*")} == {
        "shop.yml", "models", "faults", "parts", "guides", "jobs",
    }  # fmt: skip


def test_readme_examples_check_clean(shop: Path) -> None:
    outcome = CliRunner().invoke(main, ["check", str(shop)])
    assert (outcome.exit_code, outcome.output) == (0, "5 records, no problem\n")


def test_readme_examples_build(shop: Path) -> None:
    outcome = CliRunner().invoke(main, ["build", str(shop), "--strict", "--with", "plain"])
    assert outcome.exit_code == 0, outcome.output
    assert "some notes do not sound" in (shop / "site/faults/short-triggers.html").read_text(encoding="utf-8")


def test_readme_names_only_commands_that_exist(readme: str) -> None:
    named = set(re.findall(r"(?:^|`)halfsplit ([a-z]+)", readme, re.MULTILINE))
    assert named <= set(main.list_commands(None))
