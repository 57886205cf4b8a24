"""References between records: one way to ask whether an id exists and to say what to write instead."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from kb.problems import Problem, did_you_mean
from kb.reading import Folder, Located
from kb.reading.finding import ANY_ID
from kb.reading.located import Step
from kb.records import Written
from kb.shop.shop import ModelFacts

_SINGULAR = {"models": "model", "faults": "fault", "parts": "part", "guides": "guide", "jobs": "job"}


class References:
    """Answers whether what a record names is there; a file with problems of its own counts as there."""

    def __init__(self, folder: Folder) -> None:
        self.folder = folder
        self.facts = {
            identifier: ModelFacts(identifier, located.record)
            for identifier, located in folder.models.items()
        }

    def missing(
        self, record: Located[Written], path: tuple[Step, ...], kind: str, identifier: str
    ) -> Iterator[Problem]:
        """A problem if no record of `kind` (the folder's name) has that id."""
        known = getattr(self.folder, kind)
        excused = {(kind, identifier), (kind, ANY_ID)} & self.folder.unreadable
        if identifier not in known and not excused:
            what = f'there is no {_SINGULAR[kind]} "{identifier}"'
            yield record.problem(path, what, did_you_mean(identifier, known))

    def missing_all(
        self, record: Located[Written], key: str, kind: str, identifiers: Iterable[str]
    ) -> Iterator[Problem]:
        """The same for a list of ids under `key`, which names each of them once."""
        seen: set[str] = set()
        for number, identifier in enumerate(identifiers):
            if identifier in seen:
                what = f'"{identifier}" stands in this list a second time'
                yield record.problem((key, number), what, "delete one of them")
                continue
            seen.add(identifier)
            yield from self.missing(record, (key, number), kind, identifier)

    def missing_file(self, record: Located[Written], path: tuple[Step, ...], file: str) -> Iterator[Problem]:
        """A problem if the folder holds no such picture or capture."""
        if file not in self.folder.data_files:
            folder = file.partition("/")[0]
            known = [each for each in self.folder.data_files if each.startswith(f"{folder}/")]
            near = did_you_mean(file, known)
            advice = (
                near
                if near.startswith("did you mean")
                else f"put it into the folder {folder}, or correct its name"
            )
            yield record.problem(path, f'there is no file "{file}"', advice)


def not_among(
    record: Located[Written], path: tuple[Step, ...], what: str, identifier: str, known: Sequence[str]
) -> Iterator[Problem]:
    """A problem if `identifier` is none of `known`; `what` names the kind, such as "block"."""
    if identifier not in known:
        yield record.problem(path, f'there is no {what} "{identifier}"', did_you_mean(identifier, known))


def repeated(
    record: Located[Written], path: tuple[Step, ...], what: str, identifiers: Sequence[str]
) -> Iterator[Problem]:
    """A problem for each id of the list at `path` that stood in it before."""
    for number, identifier in enumerate(identifiers):
        if identifier in identifiers[:number]:
            twice = f'the {what} "{identifier}" stands here a second time'
            yield record.problem((*path, number, "id"), twice, "give it another id")
