"""`halfsplit find`: past symptoms, best first.

It answers in the middle of a repair, so it starts without loading what a question does not need, and a
record with problems is passed over instead of standing in the way.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any, NoReturn

import click

from kb.cli.find_index import shop_index
from kb.search.narrowing import Narrowing, Table, units_of
from kb.search.symptoms import Hit, Shown


@click.command()
@click.argument("words", nargs=-1, metavar="WORDS…")
@click.option("--shop", "folder", default=".", type=click.Path(path_type=Path), metavar="DIR",
              help="The shop's folder; this one if left out.")  # fmt: skip
@click.option("--model", help="Only faults of this model; others in the same kind of block come after.")
@click.option("--serial", help="Only faults of the revision that has this serial number.")
@click.option("--block", help="Only faults in this block, by its id or its role.")
@click.option("--hazard", help="Only faults that warn of this hazard.")
@click.option(
    "--limit", default=10, show_default=True, type=click.IntRange(1, 1000), help="How many at most."
)
@click.option("--json", "as_json", is_flag=True, help="Print them as JSON.")
def find(
    words: tuple[str, ...], folder: Path, model: str | None, serial: str | None, block: str | None,
    hazard: str | None, limit: int, as_json: bool,
) -> None:  # fmt: skip
    """Find past symptoms in the words of a customer or a technician, best first.

    halfsplit find envelope does not start --serial SX16-0123
    """
    typed = " ".join(words)
    if not typed.strip() and (model, serial, block, hazard) == (None,) * 4:
        _refuse("nothing is asked for", "give words, or --model, --serial, --block or --hazard")
    if not (folder / "shop.yml").is_file():
        _refuse(f'"{folder}" is no shop folder: shop.yml is missing', "name one with --shop DIR")
    found = shop_index(folder)
    symptoms = found.symptoms
    narrowing = _narrowing(symptoms.table, model, serial, block, hazard)
    hits = symptoms.find(typed, narrowing)[:limit]
    asked = symptoms.asked(typed)
    results = [(hit, symptoms.show(hit, asked)) for hit in hits]
    if found.left_out:
        files = "1 record has" if found.left_out == 1 else f"{found.left_out} records have"
        click.echo(f"{files} problems and cannot be searched; halfsplit check tells them", err=True)
    if as_json:
        click.echo(json.dumps([_as_json(folder, *each) for each in results], ensure_ascii=False, indent=2))
    elif not results:
        click.echo("Nothing found; fewer or other words may help.")
    else:
        click.echo("\n\n".join(_lines(folder, results)))


def _refuse(what: str, advice: str) -> NoReturn:
    """One line on standard error, exit code 2."""
    click.echo(" ".join(f"{what}; {advice}".split()), err=True)
    raise SystemExit(2)


def _narrowing(
    table: Table, model: str | None, serial: str | None, block: str | None, hazard: str | None
) -> Narrowing:
    """What is asked for by ids that there are; anything else is refused with what is near."""
    if model is not None:
        model = _known("model", model, [(each[0], each[1]) for each in table.models])
    units = units_of(table, model, serial)
    if serial is not None and not units:
        _refuse(*_no_such_serial(table, model, serial))
    if block is not None:
        blocks = [each for number in units for each in table.models[number][3]]
        named = [(identifier, name) for identifier, name, _ in blocks]
        block = _known("block", block, [*named, *((role, role) for _, _, role in blocks)])
    if hazard is not None:
        hazard = _known("hazard", hazard, [(each[0], each[1]) for each in table.hazards])
    return Narrowing(model, serial, block, hazard)


def _known(what: str, text: str, known: Sequence[tuple[str, str]]) -> str:
    """The id that `text` is, or is the name of."""
    wanted = " ".join(text.casefold().split())
    for identifier, name in known:
        if wanted in (identifier, name.casefold()):
            return identifier
    from kb.problems import did_you_mean  # noqa: PLC0415 - most questions are answered without it

    near = did_you_mean(wanted, [identifier for identifier, _ in known])
    _refuse(f'there is no {what} "{text[:60]}"', near)


def _no_such_serial(table: Table, model: str | None, serial: str) -> tuple[str, str]:
    what = f'no revision on record has the serial number "{serial[:60]}"'
    known = [each for each in table.models if model in (None, each[0])]
    ranges = [
        f"{name} {revision.upper()} {_range(*each)}"
        for _, name, revisions, _ in known
        for revision, written in revisions
        for each in written
    ]
    told = ", ".join(ranges[:8]) + (" …" if len(ranges) > 8 else "")
    return what, f"on record are: {told}" if told else "no model has serial numbers on record"


def _range(prefix: str, low: int | None, high: int | None) -> str:
    if low is None:
        return f"up to {prefix}-{high}"
    if high is None:
        return f"{prefix}-{low} and up"
    return f"{prefix}-{low}" if low == high else f"{prefix}-{low} to {prefix}-{high}"


def _as_json(folder: Path, hit: Hit, shown: Shown) -> dict[str, Any]:
    return {
        "fault": Path(shown.path).stem,
        "title": shown.title,
        "symptom": shown.symptom,
        "score": hit.score,
        "models": list(shown.models),
        "revisions": list(shown.revisions),
        "block": shown.block,
        "seen": shown.seen,
        "path": str(folder / shown.path),
        "elsewhere": not hit.here,
        "confirmed": shown.confirmed,
    }


def _lines(folder: Path, results: Sequence[tuple[Hit, Shown]]) -> Iterable[str]:
    """A paragraph for each result, and a heading where other models begin."""
    was_here = True
    for hit, shown in results:
        heading = "In other models, in the same kind of block:\n\n" if was_here and not hit.here else ""
        was_here = hit.here
        seen = f" · seen {shown.seen}×" if shown.seen else ""
        suspected = "" if shown.confirmed else " (suspected)"
        yield (
            f"{heading}{shown.title}{suspected}\n  “{shown.symptom}”\n"
            f"  {'; '.join(shown.on)} · {shown.block_name}{seen}\n  {folder / shown.path}"
        )
