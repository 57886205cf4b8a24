"""Finds the oscillator behind a type number as it is printed on the part: HEF40106BP is a CD40106.

The family letters in the middle are never dropped, because they decide the thresholds.
"""

from __future__ import annotations

import re
from functools import cache

from kb.calculators.astable_devices import DEVICES, Oscillator

_BEFORE = re.compile(r"(?:SN|DM|MM|MC|CD|HEF|HCF|TC|N|T|M)(?=7|4)")
_BEHIND = re.compile(r"[A-Z]{0,4}")
_MAKERS = {"HEF": "Philips", "CD": "National"}
NAMES = tuple(device.name for device in DEVICES)


@cache
def _by_spelling() -> dict[str, str]:
    """Every name and alias, longest first so that 74HC14 is never read as 7414."""
    pairs = [(word.upper(), device.name) for device in DEVICES for word in (device.name, *device.aliases)]
    return dict(sorted(pairs, key=lambda pair: -len(pair[0])))


def _plain(text: str) -> str:
    return re.sub(r"[\s\-/]", "", text).upper()


def resolve(text: str) -> str | None:
    """The name of the device that `text` is a type number of, None when it is none of them."""
    plain = _plain(text)
    for form in dict.fromkeys((plain, _BEFORE.sub("", plain, count=1))):
        for spelling, name in _by_spelling().items():
            if form.startswith(spelling) and _BEHIND.fullmatch(form[len(spelling) :]):
                return name
    return None


def maker_by_letters(text: str) -> str | None:
    """The maker whose letters stand before a type number, None when they tell nothing."""
    found = _BEFORE.match(_plain(text))
    return _MAKERS.get(found[0]) if found else None


def device(name: str) -> Oscillator:
    """The device called `name`; KeyError when there is none."""
    return {item.name: item for item in DEVICES}[name]
