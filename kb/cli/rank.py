"""`halfsplit rank`: what is likely to be wrong with a unit, and which check to make next."""

from __future__ import annotations

import json
from pathlib import Path

import click

from kb.cli.asking import refuse
from kb.cli.loading import shop_or_stop
from kb.cli.rank_shown import as_json, as_lines
from kb.cli.unit import Unit, unit_of
from kb.diagnosis.case import Result
from kb.diagnosis.from_shop import Bench, bench_for
from kb.diagnosis.judging import is_good
from kb.diagnosis.report import report
from kb.problems import did_you_mean
from kb.quantities import QuantityError, parse_any_span
from kb.records import Check, Reading
from kb.records.fields import LONGEST_LINE

_WORDS = {"good": "pass", "bad": "fail", "not_done": "not_done", "not done": "not_done"}


@click.command()
@click.argument("model")
@click.option("--shop", "folder", default=".", type=click.Path(path_type=Path), metavar="DIR",
              help="The shop's folder; this one if left out.")  # fmt: skip
@click.option("--serial", help="The serial number as typed on the unit.")
@click.option("--revision", help="The revision, where it is known by sight.")
@click.option(
    "--symptom", "symptoms", multiple=True, help="What the customer tells; may be given several times."
)
@click.option("--result", "results", multiple=True, metavar="CHECK=good|bad|not_done|READING",
              help="What a check gave, such as rail-5=4.4V; may be repeated; the last holds.")  # fmt: skip
@click.option("--ruled-out", "ruled_out", multiple=True, metavar="FAULT",
              help="A cause that was looked at and is not it; may be repeated.")  # fmt: skip
@click.option("--json", "wants_json", is_flag=True, help="Print it as JSON, numbers in full.")
def rank(
    model: str,
    folder: Path,
    serial: str | None,
    revision: str | None,
    symptoms: tuple[str, ...],
    results: tuple[str, ...],
    ruled_out: tuple[str, ...],
    wants_json: bool,
) -> None:
    """Tell the likely causes for a unit of MODEL and propose the next check.

    halfsplit rank sixteenfold --serial SX16-0123 --symptom "some notes stay silent" --result rail-5=5.02V
    """
    shop = shop_or_stop(folder)
    unit = unit_of(shop, model, serial, revision)
    bench = bench_for(shop, unit.facts.id, unit.revisions, symptoms)
    read = [_result(bench, unit, text) for text in results]
    for name in ruled_out:
        if name not in bench.suspects:
            refuse(f'"{name[:60]}" is not among the causes of this unit', did_you_mean(name, bench.suspects))
    found = report(shop, bench, [result for result, _ in read], ruled_out)
    readings = {result.check: reading for result, reading in read}
    if wants_json:
        shown = as_json(found, readings, unit.note, serial, symptoms)
        click.echo(json.dumps(shown, ensure_ascii=False, indent=2, allow_nan=False))
    else:
        for line in as_lines(unit.facts, found, readings, unit.note):
            click.echo(line)


def _result(bench: Bench, unit: Unit, text: str) -> tuple[Result, str | None]:
    """One result, and the reading it was judged by; what cannot be judged is refused."""
    name, equals, value = (part.strip() for part in text.partition("="))
    if not equals or not value:
        refuse(f'"{text[:60]}" is no result', "write CHECK=good, bad, not_done or a reading")
    check = _check(bench, unit, name)
    if value.casefold() in _WORDS:
        return Result(name, _WORDS[value.casefold()]), None  # type: ignore[arg-type]
    reading = _reading(name, value)
    good = is_good(reading, check.good)
    if good is None:
        refuse(f'{name}: "{value[:60]}" cannot be held against "{check.good.text}"', _how_to_say(check))
    return Result(name, "pass" if good else "fail"), reading.text


def _check(bench: Bench, unit: Unit, name: str) -> Check:  # noqa: RET503 - refuse never returns
    check = bench.checks.get(name)
    if check is not None:
        return check
    if unit.facts.has_check(name):
        made_on = unit.facts.revisions_of(unit.facts.check(name).revisions)
        refuse(f'"{name}" is not made on revision {", ".join(unit.revisions)}',
               f"{unit.facts.id} has it on {', '.join(made_on)}")  # fmt: skip
    refuse(f'{unit.facts.id} has no check "{name}"', did_you_mean(name, bench.checks))


def _reading(name: str, value: str) -> Reading:
    if len(value) > LONGEST_LINE or "\n" in value:
        refuse(f"{name}: the reading is too long", f"one line of at most {LONGEST_LINE} characters")
    try:
        span = parse_any_span(value)
    except QuantityError:
        return Reading(text=value)
    return Reading(text=value, span=span)


def _how_to_say(check: Check) -> str:
    if check.good.span is None:
        return "say good or bad"
    return f"write a reading with its unit, as in {check.good.text}, or good or bad"
