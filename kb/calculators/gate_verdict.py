"""What can be wrong between a gate output and an input, how it is recognised, and what would cure it.

Each fault is a comparison over the values of the plan, so the verdict and the notes can't disagree.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from kb.calculators.plan import Comparison, Condition
from kb.formulas import Expression

FITS, WRONG_STYLE, OVERLOADED = "fits", "wrong style", "output overloaded"

HIGH = Expression("V_OH - V_IH")
LOW = Expression("V_IL - V_OL")
DURATION = Expression("t_O - t_I")
MOST = Expression("V_IM - V_OH")


@dataclass(frozen=True)
class Margin:
    """One margin: its result key, the names of its value and of its worst case, and the formula."""

    key: str
    name: str
    worst: str
    expression: Expression
    dimension: str
    label: str


MARGINS = (
    Margin("level_margin", "h", "h_w", HIGH, "voltage", "High level"),
    Margin("low_margin", "l", "l_w", LOW, "voltage", "Low level"),
    Margin("duration_margin", "t", "t_w", DURATION, "time", "Duration"),
)


@dataclass(frozen=True)
class Fault:
    """A mismatch: its word in the verdict, when it holds, and the cure."""

    word: str
    when: Comparison
    cure: str

    def condition(self) -> Condition:
        """The warning that belongs to it."""
        return Condition.whenever("warning", self.cure, self.when)


FAULTS = (
    Fault(
        "high level fails", Comparison.read("h_w < 0"),
        "the high level does not reach what the input needs: a 74HCT input takes TTL levels, an open "
        "collector wants a pull-up to the input's supply, anything else a comparator (calculator comparator)",
    ),
    Fault(
        "low level fails", Comparison.read("l_w < 0"),
        "the low level stays above what the input takes for low: find out what holds it up, or put a "
        "comparator between (calculator comparator)",
    ),
    Fault(
        "pulse too short", Comparison.read("t_w < 0"),
        "the pulse is shorter than the input needs: stretch it with a one-shot (calculator monostable)",
    ),
    Fault(
        "level too high", Comparison.read("m_w < 0"),
        "the high level is more than the input bears: bring it down with a divider (calculator divider), and "
        "never rely on the input's protection diodes alone",
    ),
)  # fmt: skip

# TTL grants itself this much on both levels (NTE7413, seen in source).
SMALL_V = 0.4
SMALL = (
    "a margin below 0.4 V is less than TTL grants itself: mind long leads and noise between the grounds of "
    "two instruments"
)
BELOW_GROUND = (
    "the output goes below ground: the input needs a diode or resistor that keeps it from following"
)

STYLES = {
    ("voltage", "switch"): (
        "a voltage into an input that waits for a short to ground: let it switch an NPN transistor that "
        "pulls the input down (its base resistor: calculator series_resistor)"
    ),
    ("switch", "voltage"): (
        "a switch into an input that waits for a voltage: it wants a pull-up, and an inverter behind it, "
        "because a closed switch is a low level"
    ),
}
"""The cure where output and input are of different style."""


def conditions(known: frozenset[str]) -> tuple[Condition, ...]:
    """The notes that depend on the numbers, as far as these are known."""
    found = [fault.condition() for fault in faults(known)]
    for worst in ("h_w", "l_w"):
        if worst in known:
            bounds = (Comparison.read(f"{worst} >= 0"), Comparison.read(f"{worst} < {SMALL_V}"))
            found.append(Condition.whenever("note", SMALL, *bounds))
    if "V_OL" in known:
        found.append(Condition.whenever("warning", BELOW_GROUND, Comparison.read("V_OL < -0.3")))
    return tuple(found)


def faults(known: frozenset[str]) -> tuple[Fault, ...]:
    """The faults that can be looked for with these values."""
    return tuple(
        fault for fault in FAULTS if known.issuperset(fault.when.left.names + fault.when.right.names)
    )


def words(known: frozenset[str], values: Mapping[str, float]) -> list[str]:
    """The words of the faults that hold."""
    return [fault.word for fault in faults(known) if fault.when.holds(values)]
