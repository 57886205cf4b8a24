"""Where a capture and the needs of an input come from: a file on the command line, or the shop's own records.

The calculator asks for both by name. What answers decides which files may be opened; nothing here opens one
that was not named.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from importlib import resources
from pathlib import Path
from typing import TYPE_CHECKING

from kb.calculators.base import CalculationError, InputProblem

if TYPE_CHECKING:
    from kb.captures import Capture

EXAMPLE = "example.csv"
"""The capture that comes with halfsplit, where no file of that name is there."""


@dataclass(frozen=True)
class Needs:
    """What drives an input: least high level, highest low level, least duration, and the most it bears."""

    name: str
    high_v: float | None = None
    low_v: float | None = None
    duration_s: float | None = None
    most_v: float | None = None
    is_switch: bool = False

    @property
    def is_empty(self) -> bool:
        """Whether nothing is known that a pulse could be held against."""
        return self.high_v is None and self.low_v is None and self.duration_s is None


@dataclass(frozen=True)
class PulseSources:
    """`capture` gives the capture of a name, `port` the needs of `model/port`; or CalculationError."""

    capture: Callable[[str], Capture]
    port: Callable[[str], Needs]


def capture_of(data: bytes, file: str) -> Capture:
    """The capture in `data`; a problem in it is told as one of the input `capture`."""
    from kb.captures import read_capture  # noqa: PLC0415 - importing the calculators must stay cheap
    from kb.problems import Problem  # noqa: PLC0415

    found = read_capture(data, file)
    if isinstance(found, Problem):
        what = f"{found.file}:{found.line}:{found.column}: {found.what}"
        raise CalculationError(InputProblem("capture", what, found.advice))
    return found


def packaged() -> bytes:
    """The capture that comes with halfsplit."""
    return resources.files("kb.captures").joinpath(EXAMPLE).read_bytes()


def from_files(name: str, shop: Path | None = None) -> Capture:
    """The capture in a file, looked for where the command was given and in captures/ of the shop or below."""
    for path in (Path(name), (shop or Path()) / "captures" / name):
        if path.is_file():
            try:
                return capture_of(path.read_bytes(), name)
            except OSError as error:
                what = f'"{name[:60]}" cannot be read ({error.strerror})'
                raise CalculationError(InputProblem("capture", what, "check its rights")) from error
    if name == EXAMPLE:
        return capture_of(packaged(), name)
    what = f'there is no file "{name[:60]}"'
    raise CalculationError(InputProblem("capture", what, "name a capture's file, here or under captures/"))


def no_ports(name: str) -> Needs:
    """Without a shop no port is known."""
    what = f'"{name[:60]}" is a port of a shop\'s model, and no shop is known here'
    advice = "give needs_duration and needs_high, or use halfsplit measure --needs in the shop's folder"
    raise CalculationError(InputProblem("needs", what, advice))


PLAIN = PulseSources(from_files, no_ports)
"""What the command line has without a shop."""
