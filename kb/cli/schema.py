"""`halfsplit schema`: JSON Schema of a kind of record, for editors.

An editor sees numbers and true or false where the reader sees the text that was written, and a
list of one may be written without the list: the schema accepts whatever the reader does.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import click
from pydantic.json_schema import GenerateJsonSchema, JsonSchemaValue
from pydantic_core import core_schema

from kb.moving import dump_schema
from kb.quantities import QuantityError, parse_any_span, parse_quantity
from kb.records import Fault, GuideHead, Job, Model, OwnCalculator, Part, ShopCard, Written
from kb.records.fields import OneOrMany

KINDS: dict[str, type[Written]] = {
    "shop": ShopCard, "model": Model, "fault": Fault, "part": Part, "guide": GuideHead, "job": Job,
    "calculator": OwnCalculator,
}  # fmt: skip

DUMP = "dump"
_WHOLE = {"type": ["integer", "string"], "minimum": 0, "pattern": "^\\s*(0|[1-9][0-9]{0,8})\\s*$"}
_FLAG = {"enum": [True, False, "true", "false"]}


@click.command()
@click.argument("kind", type=click.Choice([*KINDS, DUMP]), required=False)
@click.option(
    "--to", "folder", type=click.Path(path_type=Path, file_okay=False), metavar="DIR",
    help="Write those of all kinds of record into DIR, such as the folder schemas of a shop.",
)  # fmt: skip
def schema(kind: str | None, folder: Path | None) -> None:
    """Print the JSON Schema of a kind of record, or of a dump; a guide's is that of its head.

    An editor that knows YAML finds a record's schema by a first line such as

    # yaml-language-server: $schema=../schemas/fault.json

    with the way from the record to the file. Nothing is fetched from anywhere.
    """
    if (kind is None) == (folder is None):
        raise click.UsageError("name a kind to print its schema, or --to DIR to write those of all records")
    if folder is not None:
        _write_all(folder)
    elif kind is not None:
        click.echo(_as_text(dump_schema()) if kind == DUMP else schema_text(kind), nl=False)


def _write_all(folder: Path) -> None:
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for kind in KINDS:
            (folder / f"{kind}.json").write_text(schema_text(kind), encoding="utf-8", newline="\n")
    except OSError as error:
        raise click.UsageError(f'"{folder}" cannot be written ({error.strerror})') from None
    click.echo(f"{len(KINDS)} schemas in {folder}")


def schema_text(kind: str) -> str:
    """The schema of a kind of record as JSON text."""
    made = KINDS[kind].model_json_schema(schema_generator=_EditorSchema)
    found = {"$schema": "https://json-schema.org/draft/2020-12/schema", **_as_editors_read(made)}
    return _as_text(found)


def _as_text(schema: dict[str, Any]) -> str:
    return json.dumps(schema, ensure_ascii=False, indent=2) + "\n"


class _EditorSchema(GenerateJsonSchema):
    """What pydantic makes of a record type, with the short ways of writing and without null."""

    def function_before_schema(self, schema: core_schema.BeforeValidatorFunctionSchema) -> JsonSchemaValue:
        """A list of one, or a mapping of one key, may be written as a plain text."""
        inner = super().function_before_schema(schema)
        function = schema["function"]["function"]
        if function is OneOrMany.func or getattr(function, "__name__", "") == "_plain_id":
            return {"anyOf": [{"type": "string"}, inner]}
        return inner

    def nullable_schema(self, schema: core_schema.NullableSchema) -> JsonSchemaValue:
        """A key is left out, never empty."""
        return self.generate_inner(schema["schema"])

    def default_schema(self, schema: core_schema.WithDefaultSchema) -> JsonSchemaValue:
        """None and the empty list say nothing to somebody who types."""
        made = super().default_schema(schema)
        return made if made.get("default") else {key: made[key] for key in made if key != "default"}


def _as_editors_read(node: Any) -> Any:
    """`node` with each text, whole number and flag accepting what an editor makes of it."""
    if isinstance(node, list):
        return [_as_editors_read(each) for each in node]
    if not isinstance(node, dict):
        return node
    made = {key: under if key in ("enum", "examples", "default") else _as_editors_read(under)
            for key, under in node.items()}  # fmt: skip
    match node.get("type"):
        case "string" if "enum" not in node and "const" not in node and "format" not in node:
            made["type"] = _text_types(node.get("examples", []))
        case "integer":
            made.update(_WHOLE)
        case "boolean":
            made = {key: under for key, under in made.items() if key != "type"} | _FLAG
    if "anyOf" in made and "additionalProperties" in made:
        # It speaks of the mapping alone, not of the plain text that may stand for it.
        closed = made.pop("additionalProperties")
        for branch in made["anyOf"]:
            if "properties" in branch:
                branch["additionalProperties"] = closed
    return made


def _text_types(examples: list[str]) -> list[str]:
    """What a field that shows `examples` may look like: text, a quantity, or either."""
    numbers = ["number"] if all(_stands_without_unit(each) for each in examples) else []
    flags = [] if examples and all(_is_quantity(each) for each in examples) else ["boolean"]
    return ["string", *numbers, *flags]


def _is_quantity(text: str) -> bool:
    try:
        parse_any_span(text)
    except QuantityError:
        return False
    return True


def _stands_without_unit(example: str) -> bool:
    """Whether a bare number will do where `example` stands, as it does for a share."""
    try:
        parse_quantity("5", parse_any_span(example).dimension)
    except QuantityError:
        return False
    return True
