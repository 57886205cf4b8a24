"""`halfsplit publish`: the customers' site, and nothing else of the shop."""

from __future__ import annotations

from pathlib import Path

import click

from kb.audience import PublicSite, project, select
from kb.audience.attaching import Attachments
from kb.audience.scanning import scan
from kb.audience.secrets import secrets_of, what_is_known
from kb.cli.loading import count, shop_argument, shop_or_stop, stop
from kb.cli.placing import in_place_of
from kb.pages.public import MARK, Published, inspect_public, public_site
from kb.problems import Problem
from kb.shop import Shop


@click.command()
@shop_argument
@click.option(
    "--to", "target", required=True, type=click.Path(path_type=Path), help="Where the customers' site goes."
)
def publish(folder: Path, target: Path) -> None:
    """Write the site for the customers of the shop in DIR.

    Only records marked `audience: customer` are in it, and of those only what customers may see. The old
    site stays until the new one is whole and has been searched for everything that is private. Ends with
    1, and touches nothing, when there is anything to tell.
    """
    shop = shop_or_stop(folder)
    site, published = _made(shop)
    # In full, because "." can neither be renamed nor have anything beside it.
    target = target.absolute()
    with in_place_of(target, MARK, "a customers' site") as fresh:
        for file in published.files:
            place = fresh / file.path
            place.parent.mkdir(parents=True, exist_ok=True)
            place.write_bytes(file.content)
        _stop_at_leaks(fresh, shop, site)
    made = (("guide", published.guides), ("fault", published.faults), ("picture", published.pictures))
    counts = ", ".join(count(number, what) for what, number in made)
    click.echo(f"{counts} published in {target}; open {target / 'index.html'}")


def publishing_problems(shop: Shop) -> tuple[Problem, ...]:
    """Everything that keeps the records marked for customers from being published, all at once."""
    _, problems = project(shop)
    return tuple(sorted({*problems, *inspect_public(select(shop), Attachments(shop.root, shop.data_files))}))


def _made(shop: Shop) -> tuple[PublicSite, Published]:
    """Everything that is to be published, or all problems and the end of the command."""
    site, problems = project(shop)
    if site is None:
        stop(publishing_problems(shop))
    if not site.guides and not site.faults:
        what = "no guide and no fault is marked for customers"
        stop([Problem(shop.card.file, 1, 1, what, 'write "audience: customer" into those they may see')])
    published, problems = public_site(site, Attachments(shop.root, shop.data_files))
    if published is None:
        stop(problems)
    return site, published


def _stop_at_leaks(fresh: Path, shop: Shop, site: PublicSite) -> None:
    leaks = scan(fresh, secrets_of(shop), what_is_known(site))
    if not leaks:
        return
    for leak in leaks:
        click.echo(str(leak), err=True)
    click.echo(f"{count(len(leaks), 'private text')} found in what was made; nothing was published", err=True)
    raise SystemExit(1)
