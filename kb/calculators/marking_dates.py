"""Date codes of two characters (IEC 60062, cycle of 20 years): always both years, never one of them.

The letters are from memory, which every table made of them says.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from kb.formulas import Expression

FIRST_YEAR, CYCLE_YEARS = 1990, 20
YEAR = Expression("y_1 + i")
LETTERS = "ABCDEFHJKLMNPRSTUVWX"
"""One for each year of the cycle; G, I, O, Q, Y and Z are left out."""

MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September", "October",
    "November", "December",
)  # fmt: skip
_MONTH = dict(zip("123456789OND", MONTHS, strict=True))
_CODE = re.compile(rf"([{LETTERS}])([1-9OND])")


@dataclass(frozen=True)
class DateCode:
    """The place of the year in its cycle and the month."""

    place: int
    month: str

    @property
    def years(self) -> tuple[int, int]:
        """Both years it may mean, from 1990 and from 2010 on."""
        first, second = (
            int(YEAR.evaluate({"y_1": start, "i": self.place}))
            for start in (FIRST_YEAR, FIRST_YEAR + CYCLE_YEARS)
        )
        return first, second

    @property
    def shown(self) -> str:
        """Both candidates in words."""
        first, second = self.years
        return f"{self.month} {first} or {self.month} {second}"


def read_date(text: str) -> DateCode | None:
    """The date code `text`; None when it is none."""
    found = _CODE.fullmatch(text)
    return DateCode(LETTERS.index(found[1]), _MONTH[found[2]]) if found else None
