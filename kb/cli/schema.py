"""`halfsplit schema`: JSON Schema of a kind of record, for editors."""

from __future__ import annotations

import json

import click

from kb.records import Fault, GuideHead, Job, Model, Part, ShopCard, Written

KINDS: dict[str, type[Written]] = {
    "shop": ShopCard, "model": Model, "fault": Fault, "part": Part, "guide": GuideHead, "job": Job,
}  # fmt: skip


@click.command()
@click.argument("kind", type=click.Choice(list(KINDS)))
def schema(kind: str) -> None:
    """Print the JSON Schema of a kind of record; a guide's is that of its head."""
    found = {"$schema": "https://json-schema.org/draft/2020-12/schema", **KINDS[kind].model_json_schema()}
    click.echo(json.dumps(found, ensure_ascii=False, indent=2))
