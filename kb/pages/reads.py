"""What a page read of the shop while it was made, by which a later build tells whether it still holds.

A page that is made on a `PageDesk` can reach a record only through here. Each thing that it reads is noted:
a field of a record, which records there are, an answer of the cross-links. Nothing is guessed.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Iterator, Mapping
from functools import cached_property
from typing import Any, TypeAlias, cast

from kb.reading import Located
from kb.shop import Links, ModelFacts, Shop

Read: TypeAlias = tuple[str, ...]
"""(kind, id, field), (kind, id) for whether it is there, (kind,) for which there are, or a question."""

KINDS = ("models", "faults", "parts", "guides", "jobs", "calculators", "handbook")
WHOLE = "*"
LINKS = "links"


class Reads:
    """The things read so far, each once, in the order they were first read."""

    def __init__(self) -> None:
        self.noted: dict[Read, None] = {}

    def note(self, *read: str) -> None:
        """Keep that this was read."""
        self.noted[read] = None


class WatchedRecord:
    """A record that notes which of its fields are read."""

    def __init__(self, record: object, reads: Reads, kind: str, identifier: str) -> None:
        self._watched = (record, reads, kind, identifier)

    def __getattr__(self, name: str) -> Any:
        record, reads, kind, identifier = self._watched
        reads.note(kind, identifier, name)
        found = getattr(record, name)
        # The next one who reads it finds it here; it is noted.
        self.__dict__[name] = found
        return found

    def __eq__(self, other: object) -> bool:
        return isinstance(other, WatchedRecord) and self._watched[2:] == other._watched[2:]

    def __hash__(self) -> int:
        return hash(self._watched[2:])


class WatchedLocated:
    """A located record that does the same; who asks for a place depends on the whole file."""

    def __init__(self, located: Located[Any], reads: Reads, kind: str) -> None:
        self._watched = (located, reads, kind)
        self.id = located.id
        self.record = WatchedRecord(located.record, reads, kind, located.id)

    def __getattr__(self, name: str) -> Any:
        located, reads, kind = self._watched
        reads.note(kind, located.id, WHOLE)
        return getattr(located, name)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, WatchedLocated) and self.record == other.record

    def __hash__(self) -> int:
        return hash(self.record)


class WatchedRecords(Mapping[str, Any]):
    """All records of a kind."""

    def __init__(self, records: Mapping[str, Located[Any]], reads: Reads, kind: str) -> None:
        self._records, self._reads, self._kind = records, reads, kind
        self._found: dict[str, WatchedLocated] = {}

    def __getitem__(self, identifier: str) -> Any:
        found = self._found.get(identifier)
        if found is None:
            self._reads.note(self._kind, identifier)
            found = WatchedLocated(self._records[identifier], self._reads, self._kind)
            self._found[identifier] = found
        return found

    def __iter__(self) -> Iterator[str]:
        self._reads.note(self._kind)
        return iter(self._records)

    def __len__(self) -> int:
        self._reads.note(self._kind)
        return len(self._records)


class _WatchedFacts(Mapping[str, ModelFacts]):
    """What is asked of a model's facts depends on the whole model."""

    def __init__(self, facts: Mapping[str, ModelFacts], reads: Reads) -> None:
        self._facts, self._reads = facts, reads

    def __getitem__(self, identifier: str) -> ModelFacts:
        self._reads.note("models", identifier)
        found = self._facts[identifier]
        self._reads.note("models", identifier, WHOLE)
        return found

    def __iter__(self) -> Iterator[str]:
        self._reads.note("models")
        return iter(self._facts)

    def __len__(self) -> int:
        self._reads.note("models")
        return len(self._facts)


class WatchedShop(Shop):
    """A shop that notes what is read of it. Card, synonyms and the names of files count for every page."""

    @classmethod
    def of(cls, shop: Shop, reads: Reads) -> WatchedShop:
        """`shop`, watched by `reads`."""
        records = {kind: WatchedRecords(getattr(shop, kind), reads, kind) for kind in KINDS}
        found = cls(
            root=shop.root, card=shop.card, data_files=shop.data_files, synonyms=shop.synonyms, **records
        )
        object.__setattr__(found, "_watched", (shop, reads))
        return found

    @cached_property
    def facts(self) -> Mapping[str, ModelFacts]:
        """Each model with its questions answered."""
        shop, reads = cast("tuple[Shop, Reads]", self.__dict__["_watched"])
        return _WatchedFacts(shop.facts, reads)


class _WatchedLinks:
    """The cross-links, which are worked out once for all pages: each question is noted with its answer."""

    def __init__(self, links: Links, reads: Reads) -> None:
        self._watched = (links, reads)

    def __getattr__(self, name: str) -> Any:
        links, reads = self._watched
        found = getattr(links, name)
        if not callable(found):
            reads.note(LINKS, name)
            return found

        def answer(*given: Any, **named: Any) -> Any:
            reads.note(LINKS, name, json.dumps([given, named], sort_keys=True))
            return found(*given, **named)

        return answer


def watched_links(links: Links, reads: Reads) -> Links:
    """`links`, watched by `reads`."""
    return cast("Links", _WatchedLinks(links, reads))


class Answers:
    """What a shop gives for each thing that can be read of it, as a short text that changes with it."""

    def __init__(self, shop: Shop, links: Links) -> None:
        self._shop, self._links = shop, links
        self._found: dict[Read, str] = {}

    def of(self, read: Read) -> str:
        """The answer as it is now."""
        if read not in self._found:
            self._found[read] = self._of(read)
        return self._found[read]

    def watching(self, questions: Iterable[Read]) -> tuple[list[str], dict[str, tuple[Read, ...]]]:
        """The answers to questions to the cross-links, and what is read to answer those of each kind."""
        asked = list(questions)
        answers: dict[Read, str] = {}
        known: dict[Read, Read] = {}
        reads = {}
        for kind in dict.fromkeys(each[1] for each in asked):
            # One kind after the other: what is watched takes room.
            noted = Reads()
            now = Answers(self._shop, Links(WatchedShop.of(self._shop, noted)))
            answers |= {each: now.of(each) for each in asked if each[1] == kind}
            reads[kind] = tuple(known.setdefault(each, each) for each in noted.noted)
        return [answers[each] for each in asked], reads

    def file(self, kind: str, identifier: str) -> str:
        """Changes with the file of a record; empty for none, or where that cannot be told."""
        located = getattr(self._shop, kind).get(identifier)
        return "" if located is None or not located.digest else f"{located.file} {located.digest}"

    def _of(self, read: Read) -> str:
        if read[0] == LINKS:
            try:
                return short(repr(self._asked(*read[1:])))
            except KeyError:
                # An earlier build asked about something that is no more.
                return ""
        records: Mapping[str, Located[Any]] = getattr(self._shop, read[0])
        if len(read) == 1:
            return short("\n".join(records))
        located = records.get(read[1])
        if located is None or len(read) == 2:
            return str(located is not None)
        if read[2] == WHOLE:
            return self.file(*read[:2]) or short(repr(located))
        missing = object()
        value = getattr(located.record, read[2], missing)
        return "" if value is missing else short(repr(value))

    def _asked(self, name: str, written: str = "") -> object:
        found = getattr(self._links, name)
        if not written:
            return found
        given, named = json.loads(written)
        return found(*given, **named)


def short(text: str) -> str:
    """A short text that changes with `text`."""
    return hashlib.blake2b(text.encode("utf-8", "surrogatepass"), digest_size=12).hexdigest()
