"""`halfsplit start`: a new shop folder that checks clean and builds at once.

Everything is written beside and put in place at the end, so that a folder is there whole or not at all.
"""

from __future__ import annotations

import shlex
from pathlib import Path

import click

from kb.cli.asking import ask, cleaned, is_terminal, line_text, refuse
from kb.cli.filling import fill
from kb.cli.new_folder import need_room, new_folder
from kb.cli.schema import KINDS, schema_text

STARTER = Path(__file__).parent / "starter"
NAME = "The name of your shop"
LATER = "later"


@click.command()
@click.argument("folder", type=click.Path(path_type=Path), metavar="DIR")
@click.option("--name", callback=cleaned(line_text), help="What the shop is called.")
@click.option("--place", callback=cleaned(line_text), help="Where it is.")
def start(folder: Path, name: str | None, place: str | None) -> None:
    """Make a new shop folder with one small example of every record.

    DIR must be new or empty.
    """
    need_room(folder)
    if is_terminal():
        name = name or ask("Name of the shop", NAME)
        answer = place or ask("Place", LATER)
        place = None if answer == LATER else answer
    try:
        with new_folder(folder) as fresh:
            written = _write_all(fresh, name or NAME, place)
    except OSError as error:
        refuse(f'"{folder}" cannot be written ({error.strerror})', "name another folder")
    _tell(folder, written)


def _write_all(root: Path, name: str, place: str | None) -> int:
    """Every file of a first shop under `root`; how many there are."""
    files = sorted(path.relative_to(STARTER).as_posix() for path in STARTER.rglob("*") if path.is_file())
    for file in files:
        if file.endswith(".jinja"):
            text = fill(f"starter/{file}", name=name, place=place)
        else:
            text = (STARTER / file).read_text(encoding="utf-8")
        _write(root / file.removesuffix(".jinja"), text)
    for kind in KINDS:
        _write(root / "schemas" / f"{kind}.json", schema_text(kind))
    return len(files) + len(KINDS)


def _write(path: Path, text: str) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8", newline="\n")


def _tell(folder: Path, written: int) -> None:
    click.echo(f'{written} files in "{folder}"; next:')
    if folder.resolve() != Path.cwd():
        click.echo(f"  cd {shlex.quote(str(folder))}")
    click.echo("  halfsplit check")
    click.echo("  halfsplit serve")
    click.echo("  halfsplit new model my-first-model")
