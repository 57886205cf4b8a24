"""Captures on pages for customers: measured and drawn from the figures made anew, never from the file itself.

What the customers' site may hold decides: a file it would refuse is refused here, a shop's port is no answer,
and the file's name stays in the shop.
"""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING, Protocol

from kb.audience.attaching import Attached, Refused
from kb.calculators import Calculation, Calculator
from kb.calculators.base import CalculationError, InputProblem
from kb.calculators.pulse import bound
from kb.calculators.pulse_sources import EXAMPLE, Needs, PulseSources, capture_of, packaged

if TYPE_CHECKING:
    from kb.captures import Capture

FOLDER = "captures/"
INSTEAD_OF_NAME = "shown below"


class Captures(Protocol):
    """Where the figures of a capture come from, made anew."""

    def capture(self, name: str) -> Attached | Refused:
        """The figures of `captures/name.csv`, or why they cannot be published."""


def public_pulse(captures: Captures) -> Calculator:
    """The calculator `pulse` as it works on pages for customers."""
    return bound(PulseSources(partial(_capture, captures), _no_port))


def without_file_name(calculation: Calculation) -> Calculation:
    """A calculation for customers: a capture's file may be called by a serial or a name."""
    if calculation.calculator != "pulse":
        return calculation
    inputs = tuple(
        replace(each, text=INSTEAD_OF_NAME, shown=INSTEAD_OF_NAME, value=INSTEAD_OF_NAME)
        if each.key == "capture"
        else each
        for each in calculation.inputs
    )
    return replace(calculation, inputs=inputs)


def _capture(captures: Captures, name: str) -> Capture:
    if name == EXAMPLE:
        return capture_of(packaged(), name)
    found = captures.capture(name if name.startswith(FOLDER) else FOLDER + name)
    if isinstance(found, Refused):
        raise CalculationError(InputProblem("capture", found.what, found.advice))
    return capture_of(found.content, name)


def _no_port(name: str) -> Needs:
    del name
    what = "names a socket, and what sockets need is for the shop"
    raise CalculationError(InputProblem("needs", what, "write needs_duration and needs_high in its place"))
