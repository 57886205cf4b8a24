"""What must hold for parts and guides: whatever they name is there."""

from __future__ import annotations

from collections.abc import Iterator

from kb.problems import Problem
from kb.reading import Located
from kb.records import Guide, Part
from kb.shop.references import References


def broken_part(part: Located[Part], references: References) -> Iterator[Problem]:
    """Every rule this part breaks."""
    for number, substitute in enumerate(part.record.substitutes):
        path = ("substitutes", number, "part")
        if substitute.part == part.id:
            yield part.problem(path, "a part does not stand in for itself", "name another one")
        elif substitute.part:
            yield from references.missing(part, path, "parts", substitute.part)
    for number, photo in enumerate(part.record.photos):
        yield from references.missing_file(part, ("photos", number), f"photos/{photo}")


def broken_guide(guide: Located[Guide], references: References) -> Iterator[Problem]:
    """Every rule this guide's head breaks; the links of its text are checked where they are read."""
    head = guide.record.head
    yield from references.missing_all(guide, "models", "models", head.models)
    yield from references.missing_all(guide, "faults", "faults", head.faults)
    yield from references.missing_all(guide, "parts", "parts", head.parts)
