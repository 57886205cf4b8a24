"""`halfsplit load TABLE.csv`: what was understood, what would be written, and what is left for a person."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence
from pathlib import Path

import click

from kb.cli.asking import refuse
from kb.cli.loading import count, folder_as_kept, shop_or_stop
from kb.cli.new_file import write_new
from kb.cli.working import remove_left_overs, working_folder
from kb.moving.columns import LEFT_BY_US, Columns, understood
from kb.moving.fault_rows import Draft, FaultRows, Given, Left
from kb.moving.table_reading import Table, UnreadableTable, read_table
from kb.problems import on_one_line


def load_table(
    file: Path, data: bytes, shop: Path, said: Iterable[str], given: Given, *, write: bool, rest: Path | None
) -> None:
    """Sort the rows out, show them, and with `write` write the ones that leave no doubt."""
    if rest is not None and rest.exists():
        refuse(f'there is a file "{rest}" already', "name a new one with --rest")
    shop_or_stop(shop)
    table = _table(file, data)
    columns = understood(table.head, said)
    _show_columns(file, table, columns)
    if columns.doubts:
        refuse("\n".join(columns.doubts))
    sorted_out = tuple(FaultRows(table, columns, folder_as_kept(shop), given).sorted_out())
    drafts = [each for each in sorted_out if isinstance(each, Draft)]
    left = [each for each in sorted_out if isinstance(each, Left)]
    if write:
        _write_all(shop, drafts)
    _show_rows(drafts, left, written=write)
    if rest is not None and left:
        write_new(rest, _as_csv(table, left), if_taken="move it away")
        click.echo(f"the rows that are left are in {rest}")
    _show_sum(len(drafts), len(left), written=write)
    if left:
        raise SystemExit(1)


def _table(file: Path, data: bytes) -> Table:
    if data.startswith((b"PK", b"\xd0\xcf\x11\xe0")):
        refuse(f'"{file}" is a workbook', "save its sheet as CSV in UTF-8")
    try:
        return read_table(data)
    except UnreadableTable as error:
        refuse(f'"{file}": {error.what}', error.advice)


def _show_columns(file: Path, table: Table, columns: Columns) -> None:
    rows = count(len(table.rows), "row")
    click.echo(f"{file.name}: {rows}, {table.encoding}, {table.separator} between columns")
    for number, name in enumerate(table.head):
        field = columns.fields.get(number)
        if field is not None:
            click.echo(on_one_line(f'  "{name}" is read as {field}'))
    for name in columns.unused:
        click.echo(on_one_line(f'  "{name}" is not loaded; --map "{name}=notes" would keep it'))


def _show_rows(drafts: Iterable[Draft], left: Iterable[Left], *, written: bool) -> None:
    for draft in drafts:
        done = "written" if written else "to be written"
        click.echo(on_one_line(f"row {draft.row}: {done}: {draft.file}: {draft.title}"))
    for each in left:
        for reason in each.reasons:
            click.echo(on_one_line(f"row {each.row.number}: left for you: {reason}"), err=True)


def _show_sum(drafts: int, left: int, *, written: bool) -> None:
    what = f"{count(drafts, 'fault')} {'written' if written else 'to be written'}, {count(left, 'row')} left"
    if drafts and written:
        what += "; read them, then halfsplit check"
    elif drafts:
        what += "; nothing was written yet, --write does"
    click.echo(what)


def _as_csv(table: Table, left: Iterable[Left]) -> str:
    """The rows as they came, with the reasons; what `halfsplit load` reads again once they are mended."""
    text = io.StringIO()
    out = csv.writer(text, lineterminator="\n")
    keeps = [number for number, name in enumerate(table.head) if name != LEFT_BY_US]
    out.writerow([*(table.head[number] for number in keeps), LEFT_BY_US])
    for each in left:
        cells = each.row.cells
        # A row of too many or too few cells stays as it came, for a person to mend.
        kept = [cells[number] for number in keeps] if len(cells) == len(table.head) else list(cells)
        out.writerow([*kept, "; ".join(each.reasons)])
    return text.getvalue()


def _write_all(shop: Path, drafts: Sequence[Draft]) -> None:
    """All of the records, or none; a file that is there is not written over."""
    remove_left_overs(shop / "faults")
    with working_folder(shop / "faults") as beside:
        pairs = [(beside / draft.id, shop / draft.file) for draft in drafts]
        try:
            for draft in drafts:
                (beside / draft.id).write_bytes(draft.text.encode())
            _put_in_place(pairs)
        except FileExistsError as error:
            refuse(f'there is a file "{error.filename2 or error.filename}" already', "move it away")
        except OSError as error:
            refuse(f'"{shop / "faults"}" cannot be written ({error.strerror})', "nothing was written")


def _put_in_place(pairs: Iterable[tuple[Path, Path]]) -> None:
    """Give each file its second place; where one fails, those before it are taken away again."""
    placed: list[tuple[Path, Path]] = []
    try:
        for made, path in pairs:
            path.parent.mkdir(parents=True, exist_ok=True)
            placed.append((made, path))
            # A link is there whole or not at all, and never in the place of another file.
            path.hardlink_to(made)
    except BaseException:
        for made, path in placed:
            if path.exists() and path.samefile(made):
                path.unlink()
        raise
