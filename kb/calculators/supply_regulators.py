"""Three-terminal regulators: what they give, and the least input that they need for it.

Negative ones are treated by magnitude. Figures are limits at 25 °C and up to 1 A; what no sheet said is
said so beside it.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

NONE = "none"
POSITIVE_SHEET = "TI LM340 (SNOSBT0J): output limits, input to hold line regulation, ripple rejection"
NEGATIVE_SHEET = (
    "79xx: dropout 1.1 V typical (Vishay), no maximum was seen; the least input is that of the 78xx beside it"
)


@dataclass(frozen=True)
class Regulator:
    """One type; `least_input_v` keeps the line regulation, `rejection_db` is the least at 120 Hz."""

    name: str
    output_v: float
    low_v: float
    high_v: float
    least_input_v: float
    rejection_db: float | None
    document: str
    status: str

    @property
    def margin_v(self) -> float:
        """How far the input must stay above the nominal output."""
        return self.least_input_v - self.output_v


def _positive(name: str, limits: tuple[float, float, float], least: float, rejection_db: float) -> Regulator:
    low, nominal, high = limits
    return Regulator(name, nominal, low, high, least, rejection_db, POSITIVE_SHEET, "seen in source")


def _negative(name: str, nominal: float, least: float) -> Regulator:
    # 4 % for the C grade (ST, Vishay)
    return Regulator(
        name,
        nominal,
        nominal * 0.96,
        nominal * 1.04,
        least,
        None,
        NEGATIVE_SHEET,
        "dropout seen; least input assumed",
    )


REGULATORS = {
    each.name: each
    for each in (
        _positive("7805", (4.8, 5.0, 5.2), 7.5, 62.0),
        _positive("7812", (11.5, 12.0, 12.5), 14.6, 55.0),
        _positive("7815", (14.4, 15.0, 15.6), 17.7, 54.0),
        _negative("7905", 5.0, 7.5),
        _negative("7912", 12.0, 14.6),
        _negative("7915", 15.0, 17.7),
    )
}
"""The regulators whose figures are known, by the number on them."""

_LM340 = re.compile(r"lm340[a-z]*-?(5|12|15)(?:\.0)?")
_SERIES = re.compile(r"[a-z]{0,3}(7[89])[a-z]{0,2}(05|12|15)[a-z]{0,3}")


def read_regulator(text: str) -> str | None:
    """`LM7805CT`, `uA78M05` or `LM340-5` as 7805; None when no such figures are known."""
    word = re.sub(r"[\sµμ]", "", text.lower())
    if word == NONE:
        return NONE
    lm340 = _LM340.fullmatch(word)
    if lm340:
        return f"78{int(lm340[1]):02d}"
    series = _SERIES.fullmatch(word)
    return series[1] + series[2] if series else None
