"""`halfsplit load`: a dump back to a shop folder, or the rows of a table into one.

What is written is whole and without a problem, or nothing is.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial
from pathlib import Path

import click

from kb.cli.asking import refuse
from kb.cli.load_table import load_table
from kb.cli.loading import count, stop
from kb.cli.new_folder import need_room, new_folder
from kb.cli.schema import KINDS, schema_text
from kb.moving import Dump, NamedFile, UnreadableDump, read_dump, unpacked
from kb.moving.dump import sha256
from kb.moving.fault_rows import Given
from kb.shop import load_shop


@click.command()
@click.argument("file", type=click.Path(path_type=Path), metavar="FILE")
@click.option("--to", "target", type=click.Path(path_type=Path), metavar="NEWDIR",
              help="Dump: the folder that is to hold the shop; new or empty.")  # fmt: skip
@click.option("--files-from", type=click.Path(path_type=Path), metavar="DIR",
              help="Dump: where pictures and captures lie that it names and does not hold.")  # fmt: skip
@click.option("--shop", "folder", type=click.Path(path_type=Path), metavar="DIR", default=".",
              help="Table: the shop's folder; this one if left out.")  # fmt: skip
@click.option("--map", "said", multiple=True, metavar="COLUMN=FIELD",
              help="Table: what a column means, or nothing; may be repeated.")  # fmt: skip
@click.option("--model", help="Table: the model of rows that name none.")
@click.option("--block", help="Table: the block of rows that name none.")
@click.option("--revisions", help="Table: all, or the revision of rows that name none.")
@click.option("--write", is_flag=True, help="Table: write; without it only shows what would be written.")
@click.option("--rest", type=click.Path(path_type=Path), metavar="FILE.csv",
              help="Table: a new file for the rows that are left, with the reasons.")  # fmt: skip
def load(
    file: Path, target: Path | None, files_from: Path | None, folder: Path, said: tuple[str, ...],
    model: str | None, block: str | None, revisions: str | None, write: bool, rest: Path | None,
) -> None:  # fmt: skip
    """Take in FILE: a dump that halfsplit dump wrote, or a table of faults as CSV.

    A dump becomes the shop folder NEWDIR, without loss: data, comments, folders, pictures.

    A table's rows become faults of the shop in DIR. Shown is how columns and rows were understood; written,
    with --write, are those that leave no doubt. Ends with 1 if a row is left for a person.

    halfsplit load shop.json --to my-shop

    halfsplit load notes.csv --map "Our words=symptom" --revisions all
    """
    try:
        data = file.read_bytes()
    except OSError as error:
        refuse(f'"{file}" cannot be read ({error.strerror})', "name a file")
    if _is_dump(file, data):
        if target is None:
            refuse("a dump becomes a folder of its own", f"name it: halfsplit load {file} --to NEWDIR")
        _load_dump(data, file.name, target, files_from)
        return
    if target is not None:
        refuse(f'"{file}" is no dump', "--to is for dumps; rows of a table go into the shop of --shop DIR")
    load_table(file, data, folder, said, Given(model, block, revisions), write=write, rest=rest)


def _is_dump(file: Path, data: bytes) -> bool:
    return file.suffix.lower() == ".json" or data.lstrip(b"\xef\xbb\xbf \t\r\n")[:1] == b"{"


def _load_dump(data: bytes, name: str, target: Path, files_from: Path | None) -> None:
    need_room(target)
    try:
        dump = read_dump(data, name)
    except UnreadableDump as error:
        stop(error.problems)
    _unpack(dump, target, files_from)


def _unpack(dump: Dump, target: Path, files_from: Path | None) -> None:
    files, missing = unpacked(dump, partial(_fetched, files_from))
    if missing:
        names = "\n".join(f"  {each.name}" for each in missing)
        refuse(
            f"the dump names files and does not hold them:\n{names}\nnothing was written",
            "give the folder they lie in with --files-from, or dump again without --without-files",
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
