"""`halfsplit measure`: the pulse parameters of a capture, and how its file was understood."""

from __future__ import annotations

import json
from functools import partial
from pathlib import Path

import click

from kb.calculators.base import CalculationError
from kb.calculators.pulse import bound
from kb.calculators.pulse_sources import PulseSources
from kb.calculators.run import run
from kb.cli.asking import refuse
from kb.cli.calc import print_calculation
from kb.cli.loading import report
from kb.cli.shop_pulse import port_in
from kb.problems import Problem


@click.command()
@click.argument("file", type=click.Path(path_type=Path), metavar="FILE.csv")
@click.option("--channel", default=1, show_default=True, help="Which trace, counted from 1.")
@click.option("--needs", metavar="MODEL/PORT", help="The input the pulse has to work: tells whether it does.")
@click.option("--shop", type=click.Path(path_type=Path), default=Path(), help="Whose ports are meant; here.")
@click.option("--json", "as_json", is_flag=True, help="Print everything as JSON, values in SI.")
def measure(file: Path, channel: int, needs: str | None, shop: Path, as_json: bool) -> None:
    """Measure a pulse, a pulse train or a step in an oscilloscope capture.

    FILE is CSV as oscilloscopes write it; separator, decimal sign, columns and units are found out and told.
    Every value comes with its uncertainty, from the sampling and the noise of the capture.
    """
    # Here and not above: numpy is slow to import, and --help needs none.
    from kb.captures import measure as measured  # noqa: PLC0415
    from kb.captures import read_capture  # noqa: PLC0415
    from kb.captures.telling import understood_json, understood_lines  # noqa: PLC0415

    found = read_capture(_bytes(file), file.name)
    if isinstance(found, Problem):
        report((found,))
        raise SystemExit(1)
    sources = PulseSources(lambda _: found, partial(port_in, shop))
    inputs = {"capture": file.name[-200:], "channel": str(channel), **({"needs": needs} if needs else {})}
    try:
        calculation = run(bound(sources), inputs)
    except CalculationError as error:
        refuse(str(error))
    states = measured(found, channel).states
    if as_json:
        made = {"file": file.name, "understood": understood_json(found, states), **calculation.as_json()}
        click.echo(json.dumps(made, ensure_ascii=False, indent=2))
        return
    for line in understood_lines(found, states):
        click.echo(f"  {line}")
    click.echo("")
    print_calculation(calculation)


def _bytes(file: Path) -> bytes:
    try:
        return file.read_bytes()
    except OSError as error:
        refuse(f'"{file}" cannot be read ({error.strerror})', "name a capture's file")
