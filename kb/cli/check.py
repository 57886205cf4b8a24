"""`halfsplit check`: everything that is wrong in a shop folder, at once."""

from __future__ import annotations

from pathlib import Path

import click

from kb.cli.loading import count, report, shop_argument, shop_or_stop
from kb.cli.memory import keep_everything
from kb.cli.publish import publishing_problems
from kb.cli.reports_refused import open_jobs, refused_of_returned
from kb.pages import inspect
from kb.pages.anchors import MISSING_HEADING
from kb.shop import Shop
from kb.store import Store


@click.command()
@shop_argument
@click.option("--jobs", is_flag=True,
              help="Also list the open jobs, and what handover would refuse of each.")  # fmt: skip
def check(folder: Path, jobs: bool) -> None:
    """Tell all problems and disagreements of the shop in DIR.

    A disagreement is a recorded value that its own calculation does not give. A job with a day of return
    has to be fit for its report. Ends with 1 when there is anything to tell.
    """
    keep_everything()
    shop = shop_or_stop(folder)
    problems, disagreements = inspect(shop, Store(folder))
    # What customers may not be led to, as publish would tell it; a link to nothing is told once.
    told = {
        (each.file, each.line, each.column) for each in problems if not each.what.startswith(MISSING_HEADING)
    }
    # And what an owner may not read, as handover would tell it.
    of_readers = (
        each for each in (*publishing_problems(shop), *refused_of_returned(shop))
        if (each.file, each.line, each.column) not in told
    )  # fmt: skip
    problems = tuple(sorted({*problems, *of_readers}))
    report(problems)
    report(disagreements)
    if jobs:
        _tell_open_jobs(shop)
    records = sum(len(each) for each in (shop.models, shop.faults, shop.parts, shop.guides, shop.jobs))
    if problems or disagreements:
        click.echo(
            f"{count(len(problems), 'problem')}, {count(len(disagreements), 'disagreement')}", err=True
        )
        raise SystemExit(1)
    click.echo(f"{count(records, 'record')}, no problem")


def _tell_open_jobs(shop: Shop) -> None:
    """The open jobs on standard output: what is still to be done is no mistake."""
    for job, problems in open_jobs(shop):
        click.echo(f"{job}: {f'{len(problems)} to mend' if problems else 'fit for its report'}")
        for each in problems:
            click.echo(f"  {each}")
