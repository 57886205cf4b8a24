"""A new file, there whole or not at all, and never in the place of another."""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path

from kb.cli.asking import refuse


def write_new(path: Path, text: str, *, if_taken: str) -> None:
    """Make the file and the folders above it; `if_taken` is what to do when there is one already."""
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with path.open("xb") as file:
            try:
                file.write(text.encode())
                file.flush()
            except BaseException:
                with suppress(OSError):
                    path.unlink()
                raise
    except FileExistsError:
        refuse(f'there is a file "{path}" already', if_taken)
    except OSError as error:
        refuse(f'"{path}" cannot be written ({error.strerror})', "check the rights of the folder")
