"""The JSON Schema of a record accepts what the reader accepts, and refuses the commonest slips."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from kb.cli.schema import KINDS, schema_text
from kb.reading import read_record
from kb.reading.folder import FOLDERS
from kb.records import Model
from tests.cli.shops import as_editors_read, run

KIND_OF = {
    "models": "model",
    "faults": "fault",
    "parts": "part",
    "guides": "guide",
    "jobs": "job",
    "calculators": "calculator",
}


def complaints(kind: str, text: str) -> list[str]:
    """What an editor with our schema would underline."""
    schema = json.loads(schema_text(kind))
    validator = jsonschema.Draft202012Validator(schema, format_checker=jsonschema.FormatChecker())
    return [error.message for error in validator.iter_errors(as_editors_read(text))]


@pytest.mark.parametrize("kind", KINDS)
def test_the_command_prints_a_sound_schema(kind: str) -> None:
    printed = run("schema", kind).stdout
    assert printed == schema_text(kind)
    jsonschema.Draft202012Validator.check_schema(json.loads(printed))


def test_the_schemas_of_a_shop_are_renewed_by_one_command(tmp_path: Path) -> None:
    for _ in range(2):
        assert run("schema", "--to", str(tmp_path / "schemas")).exit_code == 0
        (tmp_path / "schemas" / "fault.json").write_text("old", encoding="utf-8")
    run("schema", "--to", str(tmp_path / "schemas"))
    found = {path.stem: path.read_text(encoding="utf-8") for path in (tmp_path / "schemas").iterdir()}
    assert found == {kind: schema_text(kind) for kind in KINDS}


@pytest.mark.parametrize("words", [(), ("fault", "--to", "somewhere")])
def test_a_schema_is_printed_or_all_are_written(words: tuple[str, ...]) -> None:
    assert run("schema", *words).exit_code == 2


def test_every_record_of_the_demo_shop_is_accepted(demo_content: Path) -> None:
    files = [path for place in FOLDERS for path in (demo_content / place).rglob("*.[ym]*")]
    assert len(files) > 50
    found = {
        path.name: complaints(
            KIND_OF[path.relative_to(demo_content).parts[0]], path.read_text(encoding="utf-8")
        )
        for path in files
    }
    found["shop.yml"] = complaints("shop", (demo_content / "shop.yml").read_text(encoding="utf-8"))
    assert {name: each for name, each in found.items() if each} == {}


LEAST = """\
name: 303
maker: NO
kind: true
summary: 1979
revisions: [{id: a, serials: 0100}]
blocks: [{id: supply, name: Supply}]
"""


@pytest.mark.parametrize(
    "more",
    [
        "years: 1979",
        "years: 1979.5",
        "recorded: 2024-03-14",
        'recorded: "2024-03-14"',
        "checks: [{id: c, block: supply, do: look, good: true, minutes: 5}]",
        'checks: [{id: 1, block: supply, do: 1, good: fine, minutes: "5"}]',
        "blocks: [{id: 1, name: 2, feeds: 1, hazards: [mains]}]",
        "blocks: [{id: a, name: b, feeds: [1, {to: 1, revisions: a}]}]",
        "calculations: [{tempo: {bpm: 120 BPM, pulses_per_quarter: 24}}]",
    ],
)
def test_what_the_reader_takes_as_text_an_editor_may_take_as_a_number(more: str) -> None:
    text = LEAST + more if not more.startswith("blocks") else LEAST.partition("blocks")[0] + more
    record, problems = read_record(text.encode(), "models/x.yml", "x", Model)
    assert record, problems
    assert complaints("model", text) == []


@pytest.mark.parametrize(
    ("more", "word"),
    [
        ("colour: red", "colour"),
        ("years:", "None"),
        ("recorded: March", "March"),
        ("audience: everybody", "everybody"),
        ("supply: {frequency: 50}", "50"),
        ("supply: {rails: [{id: a, name: b, limits: 5}]}", "5"),
        ("checks: [{id: c, block: supply, do: look, good: 5}]", "5"),
        ("checks: [{id: c, block: supply, do: look, good: fine, minutes: five}]", "five"),
        ("checks: [{id: c, block: supply, do: look}]", "good"),
        ("calculations: [{tempo: 120 BPM}]", "120 BPM"),
    ],
)
def test_what_the_reader_refuses_is_underlined(more: str, word: str) -> None:
    text = LEAST + more
    assert read_record(text.encode(), "models/x.yml", "x", Model)[0] is None
    assert any(word in each for each in complaints("model", text))


def test_a_share_may_be_written_without_a_unit_and_nothing_else_may() -> None:
    fault: dict[str, Any] = json.loads(schema_text("fault"))
    value = fault["$defs"]["ChangedValue"]["properties"]
    assert "number" in value["within"]["type"]
    shop = json.loads(schema_text("shop"))
    assert shop["properties"]["safe_voltage"]["type"] == ["string"]
