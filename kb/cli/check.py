"""`halfsplit check`: everything that is wrong in a shop folder, at once."""

from __future__ import annotations

from pathlib import Path

import click

from kb.cli.loading import count, report, shop_argument, shop_or_stop
from kb.cli.memory import keep_everything
from kb.cli.publish import publishing_problems
from kb.pages import inspect
from kb.pages.anchors import MISSING_HEADING
from kb.pages.store import Store


@click.command()
@shop_argument
def check(folder: Path) -> None:
    """Tell all problems and disagreements of the shop in DIR.

    A disagreement is a recorded value that its own calculation does not give. Ends with 1 when there
    is anything to tell.
    """
    keep_everything()
    shop = shop_or_stop(folder)
    problems, disagreements = inspect(shop, Store(folder))
    # What customers may not be led to, as publish would tell it; a link to nothing is told once.
    told = {
        (each.file, each.line, each.column) for each in problems if not each.what.startswith(MISSING_HEADING)
    }
    of_customers = (
        each for each in publishing_problems(shop) if (each.file, each.line, each.column) not in told
    )
    problems = tuple(sorted({*problems, *of_customers}))
    report(problems)
    report(disagreements)
    records = sum(len(each) for each in (shop.models, shop.faults, shop.parts, shop.guides, shop.jobs))
    if problems or disagreements:
        click.echo(
            f"{count(len(problems), 'problem')}, {count(len(disagreements), 'disagreement')}", err=True
        )
        raise SystemExit(1)
    click.echo(f"{count(records, 'record')}, no problem")
