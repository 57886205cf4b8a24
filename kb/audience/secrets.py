"""What only private records hold, as texts to look for in what was made for customers.

This net knows nothing of how pages are made: it gathers every private text of a shop, and takes out what
stands in public too. A word of the trade in both is no secret.
"""

from __future__ import annotations

import datetime
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields, is_dataclass
from functools import cache
from importlib import resources
from importlib.resources.abc import Traversable
from typing import Any

from kb.audience.fields import is_public, may_leave
from kb.audience.public import PublicSite, Spot
from kb.quantities import Quantity, Span
from kb.reading import Located
from kb.records import Written
from kb.shop import Shop

SHORTEST_NAME = 4
SHORTEST_NUMBER = 5
SHORTEST_SENTENCE = 12

# What tells by itself whose, which or how much; other texts must be long enough to be nobody else's.
_TELLING = frozenset((
    "id", "title", "name", "serial", "customer", "price", "kept_in", "photos", "captures", "received",
    "returned", "recorded",
))  # fmt: skip
_SENTENCE_ENDS = re.compile(r"(?<=[.!?;:])\s+|\n\s*\n|\n\s*[-*|#>]|\n\s*[0-9]+\.|\|")
_SHIPPED = ("kb.pages", "kb.calculators", "kb.safety", "kb.quantities", "kb.formulas", "kb.figures")
_ENDINGS = (".html", ".css", ".js", ".py", ".yml", ".txt")


@dataclass(frozen=True, order=True)
class Secret:
    """A private text, what it is, and the file it stands in."""

    text: str
    what: str
    file: str
    always: bool = False
    """Whether it is private even where a public text says the same: a serial, a customer."""


def secrets_of(shop: Shop) -> tuple[Secret, ...]:
    """Every private text of a shop that is long enough to be told from chance."""
    found: set[Secret] = set(_of_record(shop.card, public=True))
    kinds: Mapping[str, Mapping[str, Located[Any]]] = {
        "model": shop.models, "fault": shop.faults, "part": shop.parts, "guide": shop.guides,
        "job": shop.jobs, "calculator": shop.calculators,
    }  # fmt: skip
    for kind, records in kinds.items():
        for located in records.values():
            public = may_leave(located.record)
            found.update(_of_record(located, public=public))
            if not public:
                found.add(Secret(located.id, f"the id of a {kind}", located.file))
    found.update(Secret(name, "the name of a file", name) for name in shop.data_files)
    groups = [phrase for group in shop.synonyms for phrase in group]
    found.update(Secret(phrase, "a synonym", "synonyms.yml") for phrase in groups if len(phrase) >= 12)
    return tuple(sorted(each for each in found if _is_telling(each.text)))


def what_is_known(site: PublicSite) -> str:
    """Everything that is public anyway: the texts customers may see, and the words halfsplit brings."""
    return "\n".join((*_texts(site), _shipped()))


def _is_telling(text: str) -> bool:
    """Whether a text can be told from chance: long enough, and with more to it than a figure."""
    if len(text) < (SHORTEST_NUMBER if text.isdigit() else SHORTEST_NAME):
        return False
    return len(text) >= 8 or re.search(r"[^\W\d_]{2}|[0-9]{4}", text) is not None


def _of_record(located: Located[Any], *, public: bool) -> Iterator[Secret]:
    for name, text in _private_texts(located.record, "", public=public):
        what = f"the field {name}"
        key = name.rpartition(".")[2]
        always = name in ("serial", "customer") and not text.strip().isdigit()
        if key in _TELLING:
            yield Secret(text.strip(), what, located.file, always)
        for sentence in _SENTENCE_ENDS.split(text):
            plain = sentence.strip().strip("*_`#|>").strip()
            if len(plain) >= SHORTEST_SENTENCE:
                yield Secret(plain, what, located.file)


def _private_texts(record: Written, above: str, *, public: bool) -> Iterator[tuple[str, str]]:
    """Every text of a private field by the field's name; with `public`, public fields are passed over."""
    for name in type(record).model_fields:
        shown = public and (name == "head" or is_public(type(record), name))
        path = above if name == "head" else f"{above}.{name}".lstrip(".")
        yield from _in_value(getattr(record, name), path, shown=shown)


def _in_value(value: Any, path: str, *, shown: bool) -> Iterator[tuple[str, str]]:
    if isinstance(value, Written):
        yield from _private_texts(value, path, public=shown)
    elif isinstance(value, (tuple, list)):
        for each in value:
            yield from _in_value(each, path, shown=shown)
    elif isinstance(value, Mapping):
        for each in value.values():
            yield from _in_value(each, path, shown=shown)
    elif shown or isinstance(value, (bool, int)) or value is None:
        return
    elif isinstance(value, (Quantity, Span)):
        yield path, value.text
    elif isinstance(value, datetime.date):
        yield path, value.isoformat()
    elif isinstance(value, str):
        yield path, value


def _texts(value: Any) -> Iterator[str]:
    """Every text in the public types, places of problems aside."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, Spot):
        return
    elif isinstance(value, Mapping):
        for each in value.values():
            yield from _texts(each)
    elif isinstance(value, tuple):
        for each in value:
            yield from _texts(each)
    elif is_dataclass(value):
        for each in fields(value):
            yield from _texts(getattr(value, each.name))


@cache
def _shipped() -> str:
    """The words that come with halfsplit itself."""
    return "\n".join(text for package in _SHIPPED for text in _files(resources.files(package)))


def _files(folder: Traversable) -> Iterator[str]:
    for entry in sorted(folder.iterdir(), key=lambda each: each.name):
        if entry.is_dir():
            yield from _files(entry)
        elif entry.name.endswith(_ENDINGS):
            yield entry.read_text(encoding="utf-8")
