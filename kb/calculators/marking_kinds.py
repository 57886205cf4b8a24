"""Finds every reading of a marking, likeliest first, and says why there is none.

The order is a rule and no guess: values that parts are made in come before others, and then the kinds in a
fixed order. Two rules that find the same value and tolerance count as one reading.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from kb.calculators.marking_codes import (
    digit_capacitors,
    digit_resistors,
    eia96_resistors,
    letter_capacitors,
    letter_resistors,
    small_capacitors,
)
from kb.calculators.marking_colours import WORDS, is_colour, read_bands, split_bands
from kb.calculators.marking_dates import DateCode, read_date
from kb.calculators.marking_reading import Reading, rarity
from kb.problems import did_you_mean

KINDS = ("bands", "resistor", "capacitor", "smd", "eia96", "date")
_ORDER = ("resistor", "capacitor", "smd", "eia96")
Reader = Callable[[str], Iterable[Reading]]
_READERS: dict[str, tuple[Reader, ...]] = {
    "resistor": (letter_resistors, lambda code: digit_resistors(code, "resistor")),
    "capacitor": (letter_capacitors, digit_capacitors, small_capacitors),
    "smd": (digit_resistors, lambda code: letter_resistors(code, "smd"), eia96_resistors),
    "eia96": (eia96_resistors,),
}
# Without a kind 47 and 4R7 are not offered as capacitors, because then every short code would be ambiguous.
_ANY: tuple[Reader, ...] = (
    letter_resistors, letter_capacitors, digit_capacitors, digit_resistors, eia96_resistors,
)  # fmt: skip
BACKWARDS = "read the other way round the bands are {0}: the tolerance band stands apart or is the wider one"
UNLIKELY = (
    "this is no value that parts are made in, but the other way round the bands are {0}: you may be reading "
    "them backwards"
)


@dataclass(frozen=True)
class Found:
    """All readings and the date code of a marking, or what is wrong with it."""

    readings: tuple[Reading, ...] = ()
    date: DateCode | None = None
    remarks: tuple[str, ...] = ()
    warnings: tuple[str, ...] = ()
    what: str = ""
    advice: str = ""


def find(text: str, kind: str | None) -> Found:
    """Everything that `text` may mean on a part of this kind."""
    words = split_bands(text)
    colours = [word for word in words if is_colour(word)]
    if kind == "bands" or (kind is None and colours and (len(colours) == len(words) or len(words) > 2)):
        return _bands(words)
    code, date = _without_date(text, kind)
    if kind == "date":
        return Found(date=date) if date and not code else _no_date(text)
    readings = _sorted(reading for reader in _readers(kind) for reading in reader(code))
    if readings or (date and not code):
        return Found(readings, date)
    return Found(what=f'"{text}" is no marking {_of(kind)}', advice=_advice(code, kind))


def _readers(kind: str | None) -> tuple[Reader, ...]:
    return _ANY if kind is None else _READERS[kind]


def _without_date(text: str, kind: str | None) -> tuple[str, DateCode | None]:
    """The code and the date code behind it; a date code alone leaves no code unless it may be a value too."""
    words = text.split()
    date = read_date(words[-1])
    if date is None or (len(words) == 1 and kind not in (None, "date")):
        return "".join(words), None
    code = "".join(words[:-1])
    is_value = not code and kind is None and any(list(reader(words[-1])) for reader in _ANY)
    return (words[-1] if is_value else code), date


def _sorted(readings: Iterable[Reading]) -> tuple[Reading, ...]:
    unlike: dict[tuple[object, ...], Reading] = {}
    for reading in readings:
        unlike.setdefault((reading.dimension, reading.value, reading.tolerance), reading)
    # EIA-96 finds a preferred value for every number, so that says nothing for it
    return tuple(
        sorted(
            unlike.values(),
            key=lambda each: (each.kind == "eia96", rarity(each.digits), _ORDER.index(each.kind)),
        )
    )


def _bands(words: tuple[str, ...]) -> Found:
    wrong = [word for word in words if not is_colour(word)]
    if wrong:
        return Found(what=f'"{wrong[0].lower()}" is no colour of a band', advice=_colour_advice(wrong[0]))
    readings, backwards = read_bands(words), read_bands(words[::-1])
    other = backwards[0] if backwards and words != words[::-1] else None
    if not readings:
        advice = f"the other way round they are {other.shown}" if other else _band_advice(len(words))
        return Found(what=f"these {len(words)} bands make no value in this order", advice=advice)
    likely = other is not None and rarity(other.digits) < 3 and other.shown != readings[0].shown
    if other is None or not likely:
        return Found(tuple(readings))
    if rarity(readings[0].digits) == 3:
        return Found(tuple(readings), warnings=(UNLIKELY.format(other.shown),))
    return Found(tuple(readings), remarks=(BACKWARDS.format(other.shown),))


def _band_advice(count: int) -> str:
    if count not in (1, 3, 4, 5, 6):
        return "a resistor has three to six bands, or one black band for a link"
    return "digits first, then multiplier, tolerance and temperature coefficient, e.g. yellow violet red gold"


def _colour_advice(word: str) -> str:
    if word.upper() == "BL":
        return "write BK or black, BU or blue"
    return did_you_mean(word.lower(), WORDS)


def _of(kind: str | None) -> str:
    if kind is None:
        return "that is known here"
    return {"eia96": "by EIA-96", "smd": "of an SMD resistor"}.get(kind, f"of a {kind}")


def _advice(code: str, kind: str | None) -> str:
    others = [each for each in _READERS if each != kind and any(list(read(code)) for read in _READERS[each])]
    if kind is not None and others:
        return f"it reads as {' or '.join(others)}"
    return "for example 4K7J, 2n2, 104K, 8663, 24C or the colours of the bands"


def _no_date(text: str) -> Found:
    return Found(
        what=f'"{text}" is no date code', advice="a letter for the year and 1 to 9, O, N or D, e.g. A5"
    )
