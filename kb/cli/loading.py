"""What every command that needs a shop does first: read it, or tell all that is wrong and stop."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import NoReturn

import click

from kb.handbook import handbook_folder
from kb.problems import Problem
from kb.reading import Folder, read_folder
from kb.reading.kept_records import KeptRecords
from kb.shop import Shop, load_shop
from kb.store import Store

shop_argument = click.argument("folder", default=".", type=click.Path(path_type=Path), metavar="[DIR]")


def report(problems: Iterable[Problem]) -> None:
    """One line for each problem, on standard error."""
    for problem in problems:
        click.echo(str(problem), err=True)


def count(number: int, what: str) -> str:
    """A number with its noun: 1 problem, 3 problems."""
    return f"{number} {what}" + ("" if number == 1 else "s")


def folder_as_kept(folder: Path) -> Folder:
    """The records that can be read, through what the last build kept of them; nothing is written."""
    return read_folder(folder, KeptRecords(Store(folder, keeps=False)))[0]


def shop_or_stop(folder: Path) -> Shop:
    """The shop in `folder`; where it has problems they are told and the command ends with 1."""
    if not folder.is_dir():
        raise click.UsageError(f'there is no folder "{folder}"; halfsplit start makes one')
    # What a build kept is read, and nothing is written: most commands only look.
    shop, problems = load_shop(folder, handbook_folder(), Store(folder, keeps=False))
    if shop is None:
        stop(problems)
    return shop


def stop(problems: Iterable[Problem]) -> NoReturn:
    """Tell the problems and end the command with 1."""
    found = tuple(problems)
    report(found)
    click.echo(f"{count(len(found), 'problem')}; nothing was written", err=True)
    raise SystemExit(1)
