"""`halfsplit new`: a new record with every field explained.

What is not given is asked for at a terminal and taken or refused elsewhere; the record passes
`halfsplit check` as it is written.
"""

from __future__ import annotations

import datetime

import click

from kb.cli.asking import (
    ask,
    ask_or_take,
    cleaned,
    date_text,
    id_text,
    is_terminal,
    line_text,
    prose_text,
    refuse,
)
from kb.cli.drafting import Bench, write_record
from kb.cli.filling import Emitted

Texts = tuple[str, ...]
NOT_KNOWN = "Not known yet."
NOT_CURED = "Not cured yet."


def today() -> datetime.date:
    """The day it is where the shop is."""
    return datetime.datetime.now().astimezone().date()


_line, _prose = cleaned(line_text), cleaned(prose_text)
_id, _date = cleaned(id_text), cleaned(date_text)
identifier_argument = click.argument("identifier", metavar="ID", callback=_id)
shop_option = click.option(
    "--shop", "bench", type=Bench.at, default=".", metavar="DIR", show_default=True, help="The shop folder."
)


@click.group()
def new() -> None:
    """Write a new record with every field explained.

    The id is the file's name: small letters, digits and hyphens.
    """


@new.command()
@identifier_argument
@shop_option
@click.option("--name", callback=_line, help="What it is called.")
@click.option("--maker", callback=_line, help="Who made it.")
@click.option("--kind", callback=_line, help="What it is, such as step sequencer.")
@click.option("--summary", callback=_prose, help="What somebody needs to know first.")
@click.option("--serials", multiple=True, callback=_line, metavar="RANGE", help="Serials; may be repeated.")
def model(
    identifier: str, bench: Bench, name: str | None, maker: str | None, kind: str | None,
    summary: str | None, serials: Texts,
) -> None:  # fmt: skip
    """An instrument and its revisions."""
    bench.need_free("model", identifier)
    name = name or ask_or_take("--name", _words(identifier))
    values = {
        "name": name,
        "maker": maker or ask_or_take("--maker", "not known yet"),
        "kind": kind or ask_or_take("--kind", "instrument"),
        "summary": summary or f"{name}: nothing written down yet.",
        "serials": serials or ("1 and up",),
    }
    write_record(bench, "model", identifier, values)


@new.command()
@identifier_argument
@shop_option
@click.option("--model", "models", multiple=True, callback=_line, help="A model by id; may be repeated.")
@click.option("--block", callback=_line, help="The block in which the cause sits.")
@click.option("--title", callback=_line, help="What is wrong, in one line.")
@click.option("--symptom", "symptoms", multiple=True, callback=_line, help="What is heard; may be repeated.")
@click.option("--revisions", multiple=True, callback=_line, help="all, or ids of revisions; may be repeated.")
@click.option("--cause", callback=_prose, help="What caused it.")
@click.option("--fix", multiple=True, callback=_prose, help="A step of the cure; may be repeated.")
def fault(
    identifier: str, bench: Bench, models: Texts, block: str | None, title: str | None, symptoms: Texts,
    revisions: Texts, cause: str | None, fix: Texts,
) -> None:  # fmt: skip
    """A fault with its symptoms, cause and cure."""
    bench.need_free("fault", identifier)
    models = models or (ask_or_take("--model", bench.models[0], bench.models),)
    blocks = [each.id for each in bench.model(models[0]).blocks]
    block = block or ask_or_take("--block", blocks[0], blocks)
    title = title or ask_or_take("--title", _words(identifier))
    named = (each.strip() for text in revisions for each in text.split(","))
    values = {
        "example": bench.example(models[0]),
        "models": models,
        "block": block,
        "title": title,
        "symptoms": symptoms or (ask_or_take("--symptom", title),),
        "revisions": tuple(filter(None, named)) or ("all",),
        "cause": cause or NOT_KNOWN,
        "fix": fix or (NOT_CURED,),
        "is_confirmed": cause is not None,
    }
    write_record(bench, "fault", identifier, values, under=models[0])


@new.command()
@identifier_argument
@shop_option
@click.option("--name", callback=_line, help="What it is called.")
@click.option("--kind", callback=_line, help="What it is, such as regulator.")
def part(identifier: str, bench: Bench, name: str | None, kind: str | None) -> None:
    """A component that is fitted or met."""
    bench.need_free("part", identifier)
    name = name or ask_or_take("--name", _words(identifier))
    values = {"name": name, "kind": kind or ask_or_take("--kind", "component")}
    write_record(bench, "part", identifier, values)


@new.command()
@identifier_argument
@shop_option
@click.option("--title", callback=_line, help="What it is about.")
@click.option("--summary", callback=_line, help="The same in a sentence.")
def guide(identifier: str, bench: Bench, title: str | None, summary: str | None) -> None:
    """A guide: prose with calculations."""
    bench.need_free("guide", identifier)
    title = title or ask_or_take("--title", _words(identifier))
    values = {"title": title, "summary": summary or ask_or_take("--summary", title)}
    write_record(bench, "guide", identifier, values)


@new.command()
@click.argument("identifier", metavar="[ID]", required=False, callback=_id)
@shop_option
@click.option("--model", "model_id", callback=_line, help="The model by id.")
@click.option("--serial", callback=_line, help="The number on the unit.")
@click.option("--revision", callback=_line, help="The revision, where the serial does not tell.")
@click.option("--seen", multiple=True, callback=_line, help="A sight mark that it shows; may be repeated.")
@click.option("--outside-because", callback=_line, help="Why the serial lies outside every range.")
@click.option("--complaint", multiple=True, callback=_line, help="In the customer's words; may be repeated.")
@click.option("--received", callback=_date, metavar="DATE", help="Year-month-day; today if left out.")
def job(
    identifier: str | None, bench: Bench, model_id: str | None, serial: str | None, revision: str | None,
    seen: Texts, outside_because: str | None, complaint: Texts, received: str | None,
) -> None:  # fmt: skip
    """A visit of one unit; without an ID the next free number of the year."""
    received = received or today().isoformat()
    year = int(received[:4])
    identifier = identifier or bench.next_job(year)
    bench.need_free("job", identifier)
    model_id = model_id or ask_or_take("--model", bench.models[0], bench.models)
    serial = serial or _serial()
    values = {
        "example": bench.example(model_id, serial),
        "model": model_id,
        "serial": serial,
        "revision": revision,
        "seen": seen,
        "outside_because": outside_because,
        "complaint": complaint,
        "received": Emitted(received),
    }
    write_record(bench, "job", identifier, values, under=str(year))
    earlier = [each for each in bench.earlier_jobs(model_id, serial) if each != identifier]
    if earlier:
        click.echo(f"this unit was here before: {', '.join(earlier)}")


def _serial() -> str:
    if not is_terminal():
        refuse("--serial is missing", "give the number on the unit, for example --serial SX-0123")
    return ask("Serial")


def _words(identifier: str) -> str:
    """An id as the beginning of a title: short-pulse is Short pulse."""
    return identifier.replace("-", " ").capitalize()
