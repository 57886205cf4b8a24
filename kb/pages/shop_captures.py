"""Captures and ports of a shop for the calculator `pulse`, and the captures that records list, as blocks.

Only files the shop folder holds under captures/ are opened, by the names that records give them.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from functools import partial
from pathlib import PurePosixPath
from typing import TYPE_CHECKING, Any

from markupsafe import Markup

from kb.calculators import Calculator
from kb.calculators.base import CalculationError, InputProblem
from kb.calculators.pulse import bound
from kb.calculators.pulse_sources import EXAMPLE, Needs, PulseSources, capture_of, packaged
from kb.fits.from_shop import SocketError, find_socket
from kb.pages.calculation_view import problem_html, words_of_capture
from kb.problems import Problem, did_you_mean
from kb.reading import Located
from kb.reading.located import Step
from kb.recompute import work_out
from kb.records import CalculationText, NamedCapture
from kb.shop import Shop

if TYPE_CHECKING:
    from kb.captures import Capture
    from kb.pages.sheet import Sheet

FOLDER = "captures/"
TABLES = (".csv", ".txt", ".tsv")
_MOST_KEPT = 500_000
_FIELD_OF = {"capture": "file"}


@dataclass
class ShopCaptures:
    """Opens each capture of a shop once, as long as it is no large one."""

    shop: Shop
    kept: dict[str, Capture] = field(default_factory=dict)

    def calculator(self) -> Calculator:
        """The calculator `pulse` for the records of this shop."""
        return bound(PulseSources(self.capture, partial(port_of, self.shop)))

    def capture(self, name: str) -> Capture:
        """The capture that a record calls `name`; raises CalculationError."""
        file = name if name.startswith(FOLDER) else FOLDER + name
        if file not in self.kept:
            found = capture_of(self._bytes(file), file)
            if found.time.count > _MOST_KEPT:
                return found
            self.kept[file] = found
        return self.kept[file]

    def _bytes(self, file: str) -> bytes:
        if file == FOLDER + EXAMPLE and file not in self.shop.data_files:
            return packaged()
        if file not in self.shop.data_files:
            known = [each.removeprefix(FOLDER) for each in self.shop.data_files if each.startswith(FOLDER)]
            what = f'there is no capture "{file.removeprefix(FOLDER)[:60]}"'
            raise CalculationError(
                InputProblem("capture", what, did_you_mean(file.removeprefix(FOLDER), known))
            )
        path = self.shop.root / file
        try:
            if not path.resolve().is_relative_to(self.shop.root.resolve()):
                what = f'"{file[:60]}" leads out of the shop folder'
                raise CalculationError(InputProblem("capture", what, "put the file itself there"))
            return path.read_bytes()
        except OSError as error:
            what = f'"{file[:60]}" cannot be read ({error.strerror})'
            raise CalculationError(InputProblem("capture", what, "check its rights")) from error


def port_of(shop: Shop, reference: str) -> Needs:
    """What the input `model/port` of a shop needs; raises CalculationError."""
    try:
        socket = find_socket(shop, reference)
    except SocketError as error:
        raise CalculationError(InputProblem("needs", error.what, error.advice)) from error
    if socket.direction != "in":
        what = f'"{reference[:60]}" is an output'
        raise CalculationError(InputProblem("needs", what, "name the input that this pulse goes to"))
    return Needs(
        f"{socket.model_name}, {socket.name}", socket.least_high_v, socket.most_low_v,
        socket.least_duration_s, socket.most_high_v, socket.style == "switch",
    )  # fmt: skip


def capture_blocks(
    sheet: Sheet, record: Located[Any], captures: tuple[NamedCapture, ...]
) -> list[tuple[Markup, str, str]]:
    """For each capture that a record lists under `captures`: its block, its file's address and its name."""
    found = []
    for number, named in enumerate(captures):
        path: tuple[Step, ...] = ("captures", number)
        block = _block(sheet, record, path, named) if _is_table(named.file) else Markup("")
        block = block or sheet.cautions_before(named.about)
        missing: Callable[[str, str], Problem] = partial(record.problem, (*path, "file"))
        address = sheet.capture(FOLDER + named.file, missing)
        found.append((block, sheet.link(address) if address else "", named.file))
    return found


def _is_table(file: str) -> bool:
    return PurePosixPath(file).suffix.lower() in TABLES


def _block(sheet: Sheet, record: Located[Any], path: tuple[Step, ...], named: NamedCapture) -> Markup:
    inputs = {"capture": named.file, "channel": str(named.channel)}
    if named.needs:
        inputs["needs"] = named.needs
    written = CalculationText(name="pulse", inputs=inputs, about=named.about)
    try:
        calculation = work_out(written, sheet.desk.calculators)
        cautions = sheet.cautions_before(named.about, *words_of_capture(calculation))
        return cautions + sheet.finished(calculation, written)
    except CalculationError as error:
        problems = tuple(
            record.problem(
                (*path, _FIELD_OF.get(each.input or "", each.input or "file")), each.what, each.advice
            )
            for each in error.problems
        )
    for problem in problems:
        sheet.problem(problem)
    return problem_html(problems)
