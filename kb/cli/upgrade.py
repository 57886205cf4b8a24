"""`halfsplit upgrade`: records of an older format brought to the one of today.

What would change is shown first, and written only when asked to; all of it or nothing.
"""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from pathlib import Path

import click

from kb.cli.asking import refuse
from kb.cli.loading import count, shop_argument, stop
from kb.moving.upgrading import difference, format_of, upgraded
from kb.problems import Problem
from kb.reading import read_record
from kb.reading.finding import CARD, FOLDERS, SYNONYMS, bytes_of, record_files
from kb.reading.format_number import unknown_format
from kb.reading.last_changed import uncommitted
from kb.reading.tree import UnreadableYaml, decode
from kb.records import ShopCard, Synonyms, Written


@click.command()
@shop_argument
@click.option("--write", is_flag=True, help="Write the changes; without it they are only shown.")
@click.option(
    "--even-uncommitted", is_flag=True, help="Write to files whose present state git does not hold."
)
def upgrade(folder: Path, write: bool, even_uncommitted: bool) -> None:
    """Bring the records of the shop in DIR to the newest format.

    Shows what would change, line by line; comments stay. With --write all of it is written or nothing.
    """
    unknown = unknown_format(folder)
    if unknown is not None:
        stop([unknown])
    old = _texts(folder)
    steps, new = upgraded(old)
    if not steps:
        click.echo(f"the records have format {format_of(old[CARD])}, the newest; nothing to do")
        return
    for file, text in new.items():
        for line in difference(file, old.get(file, ""), text):
            click.echo(line)
    for step in steps:
        click.echo(f"format {step.to}: {step.about}")
    _need_sound(new)
    if not write:
        click.echo(f"{count(len(new), 'file')} to change; nothing was written yet, --write does")
        return
    if not even_uncommitted:
        _need_committed(folder, new)
    _write_all(folder, old, new)
    click.echo(f"{count(len(new), 'file')} changed; next: halfsplit check {folder}")


def _texts(root: Path) -> dict[str, str]:
    """The text of every record by its path, with its own line ends; what is none is left to `check`."""
    if not (root / CARD).is_file():
        refuse(f'"{root}" is no shop folder: {CARD} is missing', "halfsplit start makes one")
    files = [root / CARD, *(root / name for name in (SYNONYMS,) if (root / name).is_file())]
    files += [path for kind in FOLDERS for path in record_files(root, kind)[0]]
    found = {}
    for path in files:
        file = path.relative_to(root).as_posix()
        try:
            data = bytes_of(path)
            decode(data, file)
        except OSError as error:
            refuse(f'"{path}" cannot be read ({error.strerror})', "check its rights")
        except UnreadableYaml as error:
            stop([error.problem])
        found[file] = data.decode()
    return found


def _need_sound(new: Mapping[str, str]) -> None:
    """Stop where a file would not be a record of the new format: what keeps it from that has to go first."""
    problems: list[Problem] = []
    for file, text in new.items():
        problems += read_record(text.encode(), file, Path(file).stem, _kind(file))[1]
    if problems:
        stop(problems)


def _kind(file: str) -> type[Written]:
    if file == CARD:
        return ShopCard
    return Synonyms if file == SYNONYMS else FOLDERS[file.partition("/")[0]]


def _need_committed(root: Path, files: Mapping[str, str]) -> None:
    found = uncommitted(root, files)
    if found:
        names = ", ".join(found[:5]) + (", …" if len(found) > 5 else "")
        refuse(f"git holds no commit of the present state of {names}; nothing was written",
               "commit first, or add --even-uncommitted")  # fmt: skip


def _write_all(root: Path, old: Mapping[str, str], new: Mapping[str, str]) -> None:
    """All files or none: each is written beside its place first, and what was moved comes back."""
    done: list[str] = []
    try:
        with _beside(root, new) as fresh:
            try:
                for file, path in fresh.items():
                    path.replace(root / file)
                    done.append(file)
            except BaseException:
                for file in done:
                    (root / file).write_bytes(old[file].encode())
                raise
    except OSError as error:
        refuse(
            f'"{error.filename}" cannot be written ({error.strerror}); nothing was changed',
            "check its rights",
        )


@contextmanager
def _beside(root: Path, new: Mapping[str, str]) -> Iterator[dict[str, Path]]:
    """Each new text in a file beside its place, with the rights of the old one; what is left is removed."""
    fresh: dict[str, Path] = {}
    try:
        for file, text in new.items():
            place = root / file
            handle, name = tempfile.mkstemp(prefix=".upgrade-", dir=place.parent)
            fresh[file] = Path(name)
            with os.fdopen(handle, "wb") as out:
                out.write(text.encode())
            fresh[file].chmod(place.stat().st_mode)
        yield fresh
    finally:
        for path in fresh.values():
            with suppress(OSError):
                path.unlink(missing_ok=True)
