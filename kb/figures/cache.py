"""Keeps drawn figures by their content, because drawing one costs more than the rest of its page.

A cache is a convenience: whatever is wrong with it, the figure is drawn and the build goes on.
"""

from __future__ import annotations

import contextlib
import hashlib
import os
import tempfile
from functools import cache
from importlib import metadata
from pathlib import Path

from kb.figures.spec import FigureSpec

MOST_KEPT = 3000
"""Beyond so many the older half goes; a shop shows fewer, and the others are of values that were edited."""


def figure_svg(spec: FigureSpec, cache_dir: Path | None = None) -> str:
    """The SVG of `spec`, from `cache_dir` when it was drawn before; no directory means no cache."""
    place = None if cache_dir is None else cache_dir / f"{_key(spec)}.svg"
    kept = None if place is None else _read(place)
    if kept is not None:
        return kept
    # Here and not above: a page whose figures are all kept must not wait for matplotlib.
    from kb.figures.draw import draw  # noqa: PLC0415

    drawn = draw(spec)
    if place is not None:
        _write(place, drawn)
    return drawn


def _key(spec: FigureSpec) -> str:
    return hashlib.sha256(f"{_drawn_by()}\n{spec.as_json()}".encode()).hexdigest()


@cache
def _drawn_by() -> str:
    """Changes with the code that draws and its library, so that old drawings are not taken for new."""
    code = b"".join(file.read_bytes() for file in sorted(Path(__file__).parent.glob("*.py")))
    return f"{metadata.version('matplotlib')} {hashlib.sha256(code).hexdigest()}"


def _read(place: Path) -> str | None:
    """The kept drawing, unless it is missing, unreadable, cut short or changed."""
    try:
        checksum, _, drawing = place.read_text(encoding="utf-8").partition("\n")
    except (OSError, UnicodeDecodeError):
        return None
    return drawing if checksum == _checksum(drawing) else None


def _write(place: Path, drawing: str) -> None:
    """Write beside and rename, so that a build running at the same time never reads half a file."""
    with contextlib.suppress(OSError):
        place.parent.mkdir(parents=True, exist_ok=True)
        handle, beside = tempfile.mkstemp(dir=place.parent, prefix=".drawing-")
        try:
            with os.fdopen(handle, "w", encoding="utf-8", newline="\n") as file:
                file.write(f"{_checksum(drawing)}\n{drawing}")
            Path(beside).replace(place)
        except OSError:
            Path(beside).unlink(missing_ok=True)
        _thin_out(place.parent)


def _thin_out(folder: Path) -> None:
    """Let the oldest go, once there are too many."""
    with os.scandir(folder) as found:
        kept = list(found)
    if len(kept) > MOST_KEPT:
        kept.sort(key=lambda each: each.stat().st_mtime_ns)
        for each in kept[: len(kept) // 2]:
            Path(each).unlink(missing_ok=True)


def _checksum(drawing: str) -> str:
    return hashlib.sha256(drawing.encode()).hexdigest()
