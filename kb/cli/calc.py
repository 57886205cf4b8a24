"""`halfsplit calc`: one calculation in the terminal."""

from __future__ import annotations

import json
import shlex
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn

import click

from kb.calculators import CALCULATORS, Calculation, CalculationError, Calculator
from kb.cli.shop_pulse import shop_pulse
from kb.problems import did_you_mean
from kb.recompute import work_out
from kb.records import CalculationText

if TYPE_CHECKING:
    from kb.cli.calc_sockets import Connection

GATE_MATCH = "gate_match"
"""The calculator whose two ends may be sockets of the shop."""


@click.command(add_help_option=False)
@click.argument("name", required=False)
@click.argument("inputs", nargs=-1, metavar="[INPUT=VALUE]…")
@click.option("--sweep", metavar="INPUT=RANGE", help="Work it out over a range: resistor='10k to 100k'.")
@click.option(
    "--shop",
    type=click.Path(path_type=Path),
    default=Path(),
    help="Whose own calculators count too, and whose sockets are meant; here.",
)
@click.option("--json", "as_json", is_flag=True, help="Print the outcome as JSON, values in SI.")
@click.option("-h", "--help", "wants_help", is_flag=True, help="Show this, or the inputs of a calculator.")
@click.pass_context
def calc(
    context: click.Context,
    name: str | None,
    inputs: tuple[str, ...],
    sweep: str | None,
    shop: Path,
    as_json: bool,
    wants_help: bool,
) -> None:
    """Do one calculation; without a name, list the calculators.

    Values carry their unit: halfsplit calc monostable device=74LS123 capacitor=1uF resistor=33k
    """
    if name is None:
        if wants_help:
            click.echo(context.get_help())
        else:
            _list(_calculators(shop))
        return
    calculators = _calculators(shop)
    calculator = calculators.get(name)
    if calculator is None:
        _refuse(f'there is no calculator "{name[:40]}"; {did_you_mean(name, calculators)}')
    if wants_help:
        _explain(calculator)
        return
    pairs, connection = _pairs(inputs), None
    if name == GATE_MATCH and {"output", "input"} & pairs.keys():
        connection = _connection(pairs, shop)
        pairs = dict(connection.inputs)
    try:
        written = CalculationText(name=name, inputs=pairs, sweep=_pairs((sweep,)) if sweep else None)
        calculation = work_out(written, calculators)
    except CalculationError as error:
        _refuse(
            "; ".join(
                f"{each.input + ': ' if each.input else ''}{each.what}; {each.advice}"
                for each in error.problems
            )
        )
    if as_json:
        click.echo(json.dumps(_as_json(calculation, connection), ensure_ascii=False, indent=2))
    else:
        print_calculation(calculation)
        if connection is not None:
            _print_cure(connection)


def _connection(pairs: dict[str, str], shop: Path) -> Connection:
    """The sockets of the shop that stand in place of levels."""
    # Here and not above: reading records is slow to import, and most calls need none.
    from kb.cli.calc_sockets import connection  # noqa: PLC0415
    from kb.fits.from_shop import SocketError  # noqa: PLC0415

    try:
        return connection(pairs, shop)
    except SocketError as error:
        _refuse(str(error))


def _as_json(calculation: Calculation, connection: Connection | None) -> dict[str, object]:
    made = calculation.as_json()
    if connection is None:
        return made
    return {**made, "inputs": {**connection.references, **connection.inputs}, **connection.as_json()}


def _print_cure(connection: Connection) -> None:
    """What `fit` adds to the calculation: the verdict on the sockets, and what would cure it."""
    if connection.pair is None:
        return
    click.echo(f"\n{connection.references['output']} into {connection.references['input']}")
    what = (*connection.pair.faults, *(f"missing: {each}" for each in connection.pair.missing))
    click.echo(f"  {connection.pair.verdict}" + (f" ({', '.join(what)})" if what else ""))
    for do, commands in connection.told():
        click.echo(f"  - {do}")
        for line in commands:
            click.echo(f"      {line}")


def _refuse(line: str) -> NoReturn:
    """One line on standard error, exit code 2."""
    click.echo(" ".join(line.split()).rstrip("; "), err=True)
    raise SystemExit(2)


def _pairs(inputs: tuple[str, ...]) -> dict[str, str]:
    pairs: dict[str, str] = {}
    for text in inputs:
        key, equals, value = text.partition("=")
        if not equals:
            _refuse(f'"{text[:40]}" is no input; write input=value, for example resistor=33k')
        if key in pairs:
            _refuse(f'"{key[:40]}" is given twice; give it once')
        pairs[key] = value
    return pairs


def _calculators(shop: Path) -> Mapping[str, Calculator]:
    """Halfsplit's calculators and, in a shop folder, the shop's own."""
    calculators: Mapping[str, Calculator] = {**CALCULATORS, "pulse": shop_pulse(shop)}
    if not (shop / "calculators").is_dir():
        return calculators
    # Here and not above: reading records is slow to import, and most calls need none.
    from kb.own_calculators import own_calculators  # noqa: PLC0415
    from kb.reading import read_own_calculators  # noqa: PLC0415

    records, problems = read_own_calculators(shop)
    calculators, more = own_calculators(records, calculators)
    if problems or more:
        for problem in sorted((*problems, *more)):
            click.echo(str(problem), err=True)
        raise SystemExit(1)
    return calculators


def _list(calculators: Mapping[str, Calculator]) -> None:
    width = max(len(name) for name in calculators)
    for name, calculator in calculators.items():
        click.echo(f"{name:{width}}  {calculator.summary}")
    click.echo("\nhalfsplit calc NAME --help tells the inputs of one.")


def _explain(calculator: Calculator) -> None:
    click.echo(f"{calculator.title}: {calculator.summary}\n")
    if calculator.solve_group:
        click.echo(f"Leave out the one to solve for: {', '.join(calculator.solve_group)}\n")
    width = max(len(each.key) for each in calculator.inputs)
    for each in calculator.inputs:
        choices = f" One of {', '.join(each.choices)}." if each.choices else ""
        default = f" {each.default} if left out." if each.default is not None else ""
        click.echo(f"  {each.key:{width}}  {each.help}{choices}{default} For example {each.example}.")
    if calculator.name == GATE_MATCH:
        click.echo(
            "\nIn a shop folder, or with --shop, output and input name sockets in place of their levels:"
        )
        click.echo(f"  halfsplit calc {GATE_MATCH} output=sixteenfold/trigger-out input=sorrel/trigger-in")
    words = [f"{key}={value}" for key, value in calculator.example.items()]
    click.echo(f"\nExample:\n  {shlex.join(['halfsplit', 'calc', calculator.name, *words])}")


def print_calculation(calculation: Calculation) -> None:
    """A calculation as text: inputs, results, formulas, tables, then limits, notes and sources."""
    click.echo(calculation.title)
    for given in calculation.inputs:
        click.echo(f"  {given.label}: {given.shown}{'' if given.given else ' (taken unless written)'}")
    click.echo("")
    for result in calculation.results:
        band = f"  ({result.shown_band})" if result.shown_band else ""
        click.echo(f"  {result.label}: {result.shown}{band}")
    for formula in calculation.formulas:
        click.echo(f"  {formula.name}: {formula.text}")
    for table in (calculation.sweep,) if calculation.sweep else calculation.tables:
        click.echo(f"\n{table.title}")
        rows = [
            [column.label for column in table.columns],
            *[[cell.shown for cell in row] for row in table.rows],
        ]
        widths = [max(len(row[at]) for row in rows) for at in range(len(table.columns))]
        for row in rows:
            click.echo(
                "  " + "  ".join(f"{text:{width}}" for text, width in zip(row, widths, strict=True)).rstrip()
            )
    notes = [str(note) for note in calculation.notes]
    sources = [f"{each.text} ({each.status})" for each in calculation.sources]
    for title, lines in (("Limits", calculation.limits), ("Notes", notes), ("Sources", sources)):
        if lines:
            click.echo(f"\n{title}")
            for line in lines:
                click.echo(f"  - {line}")
