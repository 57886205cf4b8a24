"""`halfsplit dump`: the whole shop as one JSON file, for another program or for a safe place."""

from __future__ import annotations

from pathlib import Path

import click

from kb.cli.asking import refuse
from kb.cli.loading import shop_argument, shop_or_stop
from kb.cli.working import remove_left_overs, working_folder
from kb.moving import UnreadableDump, dump_of, dump_text, read_dump


@click.command()
@shop_argument
@click.option("--to", "target", type=click.Path(path_type=Path), metavar="FILE.json",
              help="Where it goes; printed if left out.")  # fmt: skip
@click.option("--with-files/--without-files", default=True, show_default=True,
              help="The content of pictures and captures, or only their names and sums.")  # fmt: skip
def dump(folder: Path, target: Path | None, with_files: bool) -> None:
    """Write everything in the shop in DIR as JSON.

    All records and the text of their files are in it, also what is private, and the content of pictures
    and captures. halfsplit load takes it back, and halfsplit schema dump tells its form.
    """
    target = target.absolute() if target else None
    if target is not None:
        _need_own_place(target)
    try:
        text = dump_text(dump_of(shop_or_stop(folder), with_files=with_files)).encode()
    except OSError as error:
        refuse(f'"{error.filename}" cannot be read ({error.strerror})', "check its rights")
    except UnicodeEncodeError as error:
        refuse(f"the name {error.object!r} is not UTF-8", "rename the file")
    if target is None:
        click.echo(text, nl=False)
        return
    _write(target, text)
    click.echo(f"{len(text):,} bytes in {target}; it holds what is private, so keep it as you keep the shop")


def _need_own_place(target: Path) -> None:
    """Refuse to write over anything but an older dump."""
    try:
        if target.exists() or target.is_symlink():
            read_dump(target.read_bytes(), target.name)
    except OSError as error:
        refuse(f'"{target}" cannot be read ({error.strerror})', "name another file with --to")
    except UnreadableDump:
        refuse(f'"{target}" was not made by halfsplit dump', "move it away, or name another file with --to")


def _write(target: Path, text: bytes) -> None:
    remove_left_overs(target)
    with working_folder(target) as beside:
        try:
            (beside / "dump").write_bytes(text)
            (beside / "dump").replace(target)
        except OSError as error:
            refuse(f'"{target}" cannot be written ({error.strerror})', "name another file with --to")
