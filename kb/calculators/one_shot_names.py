"""Finds the device behind a type number as it is printed on the part: SN74LS123N is a 74LS123.

Maker's letters in front and package letters behind are dropped; the family letters in the middle never
are, because they decide the timing.
"""

from __future__ import annotations

import re
from functools import cache

from kb.calculators.one_shot_devices import DEVICES, Device

_BEFORE = re.compile(r"(?:SN|DM|MM|MC|CD|N|T|M)(?=74|96)")
_BEHIND = re.compile(
    r"(?:A|B|UB)?(?:N|P|PC|D|DR|DT|DW|E|J|L|F|W|PW|DB|NS|NSR|CN|CP|CM|BE|BF|BCN|BCP|BP|BT|AE)?"
)
_MAKERS = {"MM": "National", "DM": "Fairchild", "SN": "TI", "CD": "TI"}
NAMES = tuple(device.name for device in DEVICES)


@cache
def _by_spelling() -> dict[str, str]:
    """Every name and alias, longest first so that 74HC4538 is tried before 74HC453."""
    pairs = [(spelling, device.name) for device in DEVICES for spelling in (device.name, *device.aliases)]
    return dict(sorted(pairs, key=lambda pair: -len(pair[0])))


def resolve(text: str) -> str | None:
    """The name of the device that `text` is a type number of, None when it is none of them."""
    plain = re.sub(r"[\s\-/]", "", text).upper()
    bare = _BEFORE.sub("", plain, count=1) if _BEFORE.match(plain) else plain
    for spelling, name in _by_spelling().items():
        if bare.startswith(spelling) and _BEHIND.fullmatch(bare[len(spelling) :]):
            return name
    return None


def maker_by_letters(text: str) -> str | None:
    """The maker whose letters stand before a TTL or HC type number, None when they tell nothing.

    SN, MM and DM were used by licensees too; on our sheets those give the same factor.
    """
    found = _BEFORE.match(re.sub(r"[\s\-/]", "", text).upper())
    return _MAKERS.get(found[0]) if found else None


def device(name: str) -> Device:
    """The device called `name`; KeyError when there is none."""
    return {item.name: item for item in DEVICES}[name]
