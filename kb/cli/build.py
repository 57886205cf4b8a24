"""`halfsplit build`: the shop's site."""

from __future__ import annotations

import tempfile
from pathlib import Path

import click

from kb.adapters import Adapter, BuildFailed, adapter_names, find_adapter
from kb.cli.loading import count, shop_argument
from kb.cli.memory import keep_everything
from kb.cli.placing import in_place_of

MARK = "halfsplit/site.css"
"""What every site made here holds, and what tells a folder that may be replaced from one that may not."""


def _adapter(context: click.Context, parameter: click.Parameter, name: str) -> Adapter:
    del context, parameter
    try:
        return find_adapter(name)
    except KeyError:
        raise click.BadParameter(f'there is no "{name}"; known are: {", ".join(adapter_names())}') from None


with_option = click.option(
    "--with", "adapter", default="mkdocs", callback=_adapter, metavar="ADAPTER", show_default=True,
    help="What puts the pages into a frame.",
)  # fmt: skip


@click.command()
@shop_argument
@click.option(
    "--to", "target", type=click.Path(path_type=Path), help="Where the site goes; DIR/site if left out."
)
@click.option("--strict", is_flag=True, help="Stop at a value that disagrees with its calculation.")
@with_option
def build(folder: Path, target: Path | None, strict: bool, adapter: Adapter) -> None:
    """Build the site of the shop in DIR.

    The old site stays until the new one is whole. Ends with 1, and touches nothing, when a record has a
    problem.
    """
    need_folder(folder)
    need_room_for_work()
    keep_everything()
    # In full, because "." can neither be renamed nor have anything beside it.
    target = (target or folder / "site").absolute()
    with in_place_of(target, MARK, "a site") as fresh:
        try:
            adapter.build(folder, fresh, strict=strict, earlier=target)
        except BuildFailed as error:
            click.echo(str(error), err=True)
            raise SystemExit(1) from None
    pages = sum(1 for _ in target.rglob("*.html"))
    click.echo(f"{count(pages, 'page')} in {target}; open {target / 'index.html'}")


def need_folder(folder: Path) -> None:
    """End the command with 2 where there is no such folder."""
    if not folder.is_dir():
        raise click.UsageError(f'there is no folder "{folder}"; halfsplit start makes one')


def need_room_for_work() -> None:
    """End the command with 2 where the system has no folder for temporary files: pages are framed in one."""
    try:
        tempfile.gettempdir()
    except FileNotFoundError:
        what = "no folder for temporary files can be written"
        raise click.UsageError(f"{what}; name one that can in the variable TMPDIR") from None
