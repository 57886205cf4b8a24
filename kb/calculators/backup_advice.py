"""What a colleague says about backup cells: what must never be charged, what leaks, what to plan with.

The cautions hang on the chemistry alone; no number that is given may take one away.
"""

from __future__ import annotations

from kb.calculators.base import Note
from kb.calculators.plan import Condition
from kb.formulas import Expression

LITHIUM, NICD, ALKALINE = "lithium", "nicd", "alkaline"
KINDS = (LITHIUM, NICD, ALKALINE)
DEFAULT_LOSS = {LITHIUM: "1 %", NICD: "240 %", ALKALINE: "3 %"}
"""Loss in a year: lithium as its sheets say, NiCd 20 % a month and alkaline from common practice."""

NEVER_CHARGE = (
    "never charge a lithium primary cell: it may burst and burn. See that a diode keeps every charging "
    "current out of it, and prove that by measurement before the cell goes in; where a rechargeable cell was "
    "fitted before, its charging path must come out first"
)
SWALLOWED = (
    "keep coin cells out of the reach of children and never short or solder to one: a swallowed cell is an "
    "emergency; the maker's sheet and local rules for transport and disposal come first"
)
NEVER_CHARGE_ALKALINE = (
    "never charge an alkaline cell: it leaks or bursts. See that a diode keeps charging current out of it"
)
LEAKS = (
    "old cells leak and what comes out is caustic and eats tracks: gloves and eye protection, take the cell "
    "off the board, clean the board and look for broken tracks before it is switched on"
)
TRICKLE = (
    "a NiCd cell bears a lasting charge of about a fiftieth to a twentieth of its capacity per hour (common "
    "practice, no source; the cell's own sheet decides); more dries it out, and a lithium cell in its place "
    "must not be charged at all"
)
AFTER_CHARGE = "for a rechargeable cell this is how long it keeps the memory after it was last full"

USE_THE_MAXIMUM = (
    "memories draw far less than their data sheet's maximum at room temperature and far more when warm: "
    "0.1 µA typical and 3 µA at most were seen for one part. Plan with the maximum: give current_max"
)
TOO_LONG = (
    "more than ten years is longer than a cell's seal can be trusted: write the date on it and change it by "
    "then (common practice, no source)"
)
SHELF_DECIDES = "the cell's own loss decides here: a smaller current would not make it last longer"
DRAIN = "this is more than the 0.2 mA a common coin cell is rated at: it gives less than its capacity then"


def always(chemistry: str) -> tuple[Note, ...]:
    """The cautions that stand whatever the numbers are."""
    texts = {
        LITHIUM: (NEVER_CHARGE, SWALLOWED),
        NICD: (LEAKS, TRICKLE),
        ALKALINE: (NEVER_CHARGE_ALKALINE, LEAKS),
    }[chemistry]
    found = tuple(Note("warning", text) for text in texts)
    return (*found, Note("note", AFTER_CHARGE)) if chemistry == NICD else found


def conditions(chemistry: str, has_most: bool) -> tuple[Condition, ...]:
    """The notes that depend on the numbers."""

    def when(left: str, right: str, level: str, text: str) -> Condition:
        note = Note("warning" if level == "warning" else "note", text)
        return Condition(Expression(left), ">", Expression(right), note)

    found = [when("t", "Y_10", "warning", TOO_LONG), when("t_Q", "t_S", "note", SHELF_DECIDES)]
    if chemistry == LITHIUM:
        found.append(when("max(I, I_M)" if has_most else "I", "I_D", "warning", DRAIN))
    if not has_most:
        found.append(when("I", "0 * I", "note", USE_THE_MAXIMUM))
    return tuple(found)
