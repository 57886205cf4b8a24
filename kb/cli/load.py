"""`halfsplit load`: a dump back to a shop folder.

What is written is whole and without a problem, or nothing is.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial
from pathlib import Path

import click

from kb.cli.asking import refuse
from kb.cli.loading import count, stop
from kb.cli.new_folder import need_room, new_folder
from kb.cli.schema import KINDS, schema_text
from kb.moving import Dump, NamedFile, UnreadableDump, read_dump, unpacked
from kb.moving.dump import sha256
from kb.shop import load_shop


@click.command()
@click.argument("file", type=click.Path(path_type=Path), metavar="FILE")
@click.option("--to", "target", type=click.Path(path_type=Path), metavar="NEWDIR",
              help="The folder that is to hold the shop of a dump; new or empty.")  # fmt: skip
@click.option("--files-from", type=click.Path(path_type=Path), metavar="DIR",
              help="Where pictures and captures lie that a dump names and does not hold.")  # fmt: skip
def load(file: Path, target: Path | None, files_from: Path | None) -> None:
    """Take in FILE: a dump that halfsplit dump wrote.

    It becomes the shop folder NEWDIR, without loss: data, comments, folders, pictures.

    halfsplit load shop.json --to my-shop
    """
    try:
        data = file.read_bytes()
    except OSError as error:
        refuse(f'"{file}" cannot be read ({error.strerror})', "name a file")
    if target is None:
        refuse("a dump becomes a folder of its own", f"name it: halfsplit load {file} --to NEWDIR")
    need_room(target)
    try:
        dump = read_dump(data, file.name)
    except UnreadableDump as error:
        stop(error.problems)
    _unpack(dump, target, files_from)


def _unpack(dump: Dump, target: Path, files_from: Path | None) -> None:
    files, missing = unpacked(dump, partial(_fetched, files_from))
    if missing:
        names = "\n".join(f"  {each.name}" for each in missing)
        refuse(
            f"the dump names files and does not hold them:\n{names}\nnothing was written",
            "give the folder they lie in with --files-from, or dump again with --with-files",
        )
    try:
        with new_folder(target) as fresh:
            _write_all(fresh, files)
            shop, problems = load_shop(fresh)
            if shop is None:
                stop(problems)
    except OSError as error:
        refuse(f'"{target}" cannot be written ({error.strerror})', "name another folder")
    click.echo(f'{count(len(files), "file")} in "{target}"; next: halfsplit check {target}')


def _fetched(folder: Path | None, file: NamedFile) -> bytes | None:
    """The content of a file that the dump only names: found under `folder`, and the same as it was."""
    if folder is None:
        return None
    try:
        content = (folder / file.name).read_bytes()
    except OSError:
        return None
    return content if sha256(content) == file.sha256 else None


def _write_all(root: Path, files: Mapping[str, bytes]) -> None:
    """Every file under `root`, with the schemas that the comments in records name."""
    schemas = {f"schemas/{kind}.json": schema_text(kind).encode() for kind in KINDS}
    for name, content in {**schemas, **files}.items():
        place = root / name
        place.parent.mkdir(parents=True, exist_ok=True)
        with place.open("xb") as file:
            file.write(content)
